"""One item on a page: what it is, how it scores and why, and what may be done there."""

from typing import Any

import pandas as pd
from markupsafe import Markup

from dashboard import data, decisions, exposures, history, parts, scores


def show(item: Any, told: history.Said) -> None:
    """One item: what and where, how it scores and why, doubts, what laboratories found, history and source rows."""
    name = f"{item.product_in_words}, {item.place_in_words}"
    how_much = "not given" if pd.isna(item.extent) else parts.extent(item.extent, item.extent_unit)
    said = [
        Markup("<h3>{}{} {}</h3>").format(name[:1].upper(), name[1:], scores.act_now() if item.act_now else ""),
        Markup(
            '<p class="quiet">Written as “{}”. Extent {}. <a href="{}" target="_self">Link to this item</a></p>'
        ).format(item.room_text, how_much, parts.link_to(item.building_ref, item.property_ref, item.item_id)),
        parts.paragraph(evidence(item)),
        *(parts.paragraph(laboratory(sample)) for sample in data.each(told.samples)),
    ]
    if not pd.isna(item.status_in_words):
        said.append(parts.paragraph(item.status_in_words, "lead"))
    if item.act_now:
        said.append(parts.paragraph(f"Act now: {item.act_now_why}.", "lead"))
    doubts = told.doubts_of(item.entry_id)
    if not doubts.empty:
        said.append(decisions.doubt_list(doubts, decisions.row_of(decisions.entry_of(told.entries, item.entry_id))))
    if not told.contradictions.empty:
        said.append(contradiction_list(told.contradictions))
    scored = Markup("")
    if item.status != "not_detected":
        words = scores.score_in_words(item.material_score, item.material_low, item.material_high, item.material_band)
        scored = Markup("<div>{}{}{}</div>").format(
            Markup("<p><b>Material score {}</b></p>").format(words),
            scores.score_scale(item),
            parts.paragraph(priority(item), "source"),
        )
    parts.write(Markup('<div class="item"><div>{}</div>{}</div>').format(Markup("").join(said), scored))
    decisions.item(item, doubts, told.entries)
    below(item, told)


def below(item: Any, told: history.Said) -> None:
    """What is folded away under an item."""
    rows = f"History and source rows ({parts.counted(len(told.entries), 'row')})"
    parts.folded(rows, f"history {item.item_id}", lambda: history.show(item, told))
    if item.status != "not_detected":
        score = f"Priority score {item.priority_score} of 12: its ten factors"
        acts = "What may be done here, what must not, what to ask first"
        parts.folded(score, f"factors {item.item_id}", lambda: factors(item))
        parts.folded("Who may disturb it: exposure by activity", f"works {item.item_id}", lambda: exposures.show(item))
        parts.folded(acts, f"guidance {item.item_id}", lambda: guidance(item))


def evidence(item: Any) -> str:
    """How it is known to be asbestos, or not."""
    types = " and ".join(item.asbestos_types)
    sample = "" if pd.isna(item.evidence_sample_ref) else f", sample {item.evidence_sample_ref}"
    when = f"{'analysed ' if item.is_analysis_day else ''}{parts.day(item.evidence_on)}"
    match item.identification:
        case "identified":
            return f"Identified as {types or 'asbestos of a type not stated'} ({when}{sample})."
        case "not_detected":
            return f"No asbestos detected ({when}{sample}). This clears this material and layer, not the room."
        case _:
            return f"{parts.in_words(item.identification).capitalize()}, {types or 'type unknown'} ({when})."


def could_be(item: Any) -> str:
    """How low and high the total can be, where something in it is assumed."""
    low, high = item.material_low + item.priority_low, item.material_high + item.priority_high
    return f", could be {low} to {high}" if low < high else ""


def laboratory(sample: Any) -> str:
    """What a laboratory found in a sample of the item, and which row says so."""
    by = "" if pd.isna(sample.laboratory) else f" by {sample.laboratory}"
    when = f"{parts.day(sample.analysed_on)}{by}; {parts.source(sample.path, sample.sheet, sample.row_number)}"
    return f"Laboratory: {history.found(sample)} in sample {sample.sample_ref} ({when})."


def priority(item: Any) -> str:
    """The priority assessment and the total, with what was assumed."""
    low, high = item.priority_low, item.priority_high
    said = f"Priority score {item.priority_score} of 12, could be {low} to {high}"
    n = len(item.priority_assumed)
    assumed = f"; {n} of its 10 factors {'is' if n == 1 else 'are'} assumed" if n else ""
    total = "" if pd.isna(item.total_score) else f" Total {item.total_score} of 24{could_be(item)}."
    return f"{said}{assumed} (group averages rounded {item.rounding}).{total}"


def factors(item: Any) -> None:
    """The ten factors of the priority assessment with what each was taken from, and the average of each group."""
    rows = data.ask("item_priority", item_id=item.item_id, property_ref=item.property_ref)
    groups = data.ask("item_priority_groups", item_id=item.item_id)
    parts.write(
        parts.paragraph(
            "As in HSG227 (2002), from memory: the factors of each group, 0 to 3, are averaged, the average is "
            f"rounded, and the four are added up. Rounded {item.rounding} here, by the setting priority_rounding: "
            "which way the printed rule rounds could not be checked. In homes the score is nearly flat.",
            "quiet",
        ),
        parts.table(
            ["Group", "Factor", "Score", "Score could be", "Taken from", "Source"],
            [
                (
                    row.factor_group,
                    row.in_words,
                    row.score,
                    parts.between(row.low, row.high),
                    row.taken_from,
                    row.source,
                )
                for row in data.each(rows)
            ],
            numbers=[2],
        ),
    )
    parts.as_csv("These factors as csv", lambda: rows, f"priority_factors_{item.item_id}")
    parts.write(
        parts.table(
            ["Group", "Average", f"Score, rounded {item.rounding}", "Score could be"],
            [
                (
                    row.factor_group,
                    f"{row.score_sum} / {row.n} = {row.average:.3g}",
                    row.score,
                    parts.between(row.low, row.high),
                )
                for row in data.each(groups)
            ]
            + [("all four", "", item.priority_score, parts.between(item.priority_low, item.priority_high))],
            numbers=[1, 2],
        ),
    )
    parts.as_csv("These averages as csv", lambda: groups, f"priority_groups_{item.item_id}")


def guidance(item: Any) -> None:
    """Our rules for acts at such a material, with the reason behind each. They hold whatever the chances say."""
    rules = data.ask("item_guidance", product=item.product, contact_code=item.contact_code)
    known = not pd.isna(item.damage_score) and not pd.isna(item.surface_treatment_score)
    sure = item.identification == "identified" and known and item.damage_score == 0
    columns = {"Act": "act", "May": "may", "Must not": "must_not", "Ask first": "ask_first"}
    if not sure:
        del columns["May"]
    parts.write(
        parts.paragraph(
            "What may be done holds only where the product is identified, sound, and the act does not penetrate it"
            f"{'.' if sure else '; that is not so here, so nothing may be done before it is.'}"
        ),
        parts.table(
            [*columns, "Because", "Source"],
            [
                (
                    *(getattr(row, name) for name in columns.values()),
                    row.because,
                    row.source,
                )
                for row in data.each(rules)
            ],
        ),
    )
    parts.as_csv("These rules as csv", lambda: rules, f"guidance_{item.item_id}")


def contradiction_list(contradictions: pd.DataFrame) -> Markup:
    """What visits and laboratories say against each other, a line each."""
    lines = (
        Markup("<li>Sources contradict each other: {} ({})</li>").format(row.in_words, row.said)
        for row in data.each(contradictions)
    )
    return Markup('<ul class="doubts">{}</ul>').format(Markup("").join(lines))
