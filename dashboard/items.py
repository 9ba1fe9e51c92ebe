"""One item on a page: what it is and how it scores, who may disturb it, what may be done there, and its source rows."""

from typing import Any

import pandas as pd
import streamlit as st
from markupsafe import Markup

from dashboard import data, decisions, parts
from pipelines import exports

EXPOSURE_COLUMNS = [
    "Activity",
    "By",
    "Touched a year",
    "Over 0.1 f/ml, 4 h",
    "With control",
    "Over 0.6 f/ml, 10 min",
    "With control",
    "Exceedances a year",
    "With control",
]
HOW_TO_READ = (
    "Expected values with 90 % ranges. Over the limit: the 4-hour mean above 0.1 f/ml (control limit) or the 10-minute "
    "mean above 0.6 f/ml, if the work touches it. No allowed way: no method allowed here does this work, so its "
    "figure without control stays in the sums; occupants are not expected to control theirs, so it stays for them too. "
    "Somebody beside the work breathes about a quarter of that (0.15 to 0.4, judgement). Low likelihood is not "
    "permission."
)
HOW_TO_RECOMPUTE = (
    "Touched a year = rate × (1 − (1 − contact) ^ reach and extent) × share. Share: the part of such material in the "
    "home, or in the room for work that meets one room, that this item is. Exceedances a year = touched a year × "
    "chance of being there × chance over 0.1 f/ml. That chance: ln C is normal about ln GM with standard deviation "
    "√((ln GSD)² + (ln factor / 1.645)²), and C × the lesser of minutes and 240, over 240, is above 0.1."
)
BASIS_COLUMNS = [
    "Activity",
    "Rate a year",
    "Contact",
    "Reach and extent",
    "Share",
    "Touched a year",
    "Release, f/ml: GM; GSD; factor",
    "Minutes",
]


def show(item: Any, entries: pd.DataFrame, contradictions: pd.DataFrame, samples: pd.DataFrame) -> None:
    """One item: what and where, how it scores and why, doubts, what laboratories found, history and source rows."""
    name = f"{item.product_in_words}, {item.place_in_words}"
    said = [
        Markup("<h3>{}{} {}</h3>").format(name[:1].upper(), name[1:], parts.act_now() if item.act_now else ""),
        Markup('<p class="quiet">Written as “{}”. {} <a href="{}" target="_self">Link to this item</a></p>').format(
            item.room_text, extent(item), parts.link_to(item.building_ref, item.property_ref, item.item_id)
        ),
        parts.paragraph(evidence(item)),
        *(parts.paragraph(laboratory(sample)) for sample in data.each(samples)),
    ]
    if not pd.isna(item.status_in_words):
        said.append(parts.paragraph(item.status_in_words, "lead"))
    if item.act_now:
        said.append(parts.paragraph(f"Act now: {item.act_now_why}.", "lead"))
    doubts = data.ask("entry_doubts", entry_id=item.entry_id, property_ref=item.property_ref)
    if not doubts.empty:
        said.append(doubt_list(doubts, decisions.entry_of(entries, item.entry_id)))
    if not contradictions.empty:
        said.append(contradiction_list(contradictions))
    scored = Markup("")
    if item.status != "not_detected":
        words = parts.score_in_words(item.material_score, item.material_low, item.material_high, item.material_band)
        scored = Markup("<div>{}{}{}</div>").format(
            Markup("<p><b>Material score {}</b></p>").format(words),
            parts.score_scale(item),
            parts.paragraph(priority(item), "source"),
        )
    parts.write(Markup('<div class="item"><div>{}</div>{}</div>').format(Markup("").join(said), scored))
    decisions.item(item, doubts, entries)
    below(item, entries, samples)


def below(item: Any, entries: pd.DataFrame, samples: pd.DataFrame) -> None:
    """What is folded away under an item."""
    with st.expander(f"History and source rows ({len(entries)})"):
        history(item, entries, samples)
    if item.status != "not_detected":
        with st.expander(f"Priority score {item.priority_score} of 12: its ten factors"):
            factors(item)
        with st.expander("Who may disturb it: exposure by activity"):
            exposure(item)
        with st.expander("What may be done here, what must not, what to ask first"):
            guidance(item)


def extent(item: Any) -> str:
    """How much of it there is."""
    if pd.isna(item.extent):
        return "Extent not given."
    return f"{item.extent:g} {'' if pd.isna(item.extent_unit) else item.extent_unit.replace('m2', 'm²')}".strip() + "."


def evidence(item: Any) -> str:
    """How it is known to be asbestos, or not."""
    types = " and ".join(item.asbestos_types)
    sample = "" if pd.isna(item.evidence_sample_ref) else f", sample {item.evidence_sample_ref}"
    when = parts.day(item.evidence_on)
    match item.identification:
        case "identified":
            return f"Identified as {types or 'asbestos of a type not stated'} ({when}{sample})."
        case "not_detected":
            return f"No asbestos detected ({when}{sample}). This clears this material and layer, not the room."
        case _:
            return f"{parts.in_words(item.identification).capitalize()}, {types or 'type unknown'} ({when})."


def laboratory(sample: Any) -> str:
    """What a laboratory found in a sample of the item, and which row says so."""
    by = "" if pd.isna(sample.laboratory) else f" by {sample.laboratory}"
    when = f"{parts.day(sample.analysed_on)}{by}; {parts.source(sample.path, sample.sheet, sample.row_number)}"
    return f"Laboratory: {found(sample)} in sample {sample.sample_ref} ({when})."


def found(sample: Any) -> str:
    """The types of asbestos in a sample, or that there is none."""
    types = [one for one in sample.asbestos_types if one != "unknown"]
    if not len(sample.asbestos_types):
        return "no asbestos detected"
    return " and ".join(types) or "asbestos of a type not stated"


def samples_table(samples: pd.DataFrame) -> Markup:
    """Laboratories' results as they wrote them, with why each is about this and where it stands."""
    return parts.table(
        ["Sample", "Result", "As written", "Material and place as written", "Analysed", "By", "Why", "Source"],
        [
            (
                sample.sample_ref,
                found(sample),
                sample.result_text,
                "; ".join(text for text in (sample.product_text, sample.room_text) if not pd.isna(text)),
                parts.day(sample.analysed_on),
                ", ".join(
                    text for text in (sample.laboratory, sample.certificate_ref, sample.analyst) if not pd.isna(text)
                ),
                sample.set_aside_in_short if pd.isna(sample.join_reason) else sample.join_reason,
                parts.source(sample.path, sample.sheet, sample.row_number),
            )
            for sample in data.each(samples)
        ],
    )


def result(row: Any) -> str:
    """The result of a visit, and what the register says where a laboratory says otherwise."""
    if row.identification == row.register_identification:
        return parts.in_words(row.identification)
    register = parts.in_words(row.register_identification)
    return f"{parts.in_words(row.identification)} by the laboratory; register: {register}"


def priority(item: Any) -> str:
    """The priority assessment and the total, with what was assumed."""
    low, high = item.priority_low, item.priority_high
    said = f"Priority score {item.priority_score} of 12, could be {low} to {high}"
    assumed = f"; {len(item.priority_assumed)} of its 10 factors are assumed" if len(item.priority_assumed) else ""
    total = "" if pd.isna(item.total_score) else f" Total {item.total_score} of 24."
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
            ["Group", "Factor", "Score", "Could be", "Taken from", "Source"],
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
        parts.table(
            ["Group", "Average", f"Rounded {item.rounding}", "Could be"],
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


def exposure(item: Any) -> None:
    """Each kind of work that can meet the item: how often, how likely over the limits, what that adds up to."""
    works = data.ask("item_exposures", item_id=item.item_id, property_ref=item.property_ref)
    if works.empty:
        parts.write(parts.paragraph("No kind of work in the tables meets it.", "quiet"))
        return
    chance = next(data.each(data.ask("item_chance", item_id=item.item_id, property_ref=item.property_ref)))
    parts.write(
        parts.paragraph(HOW_TO_READ, "quiet"),
        parts.table(EXPOSURE_COLUMNS, [exposure_row(row) for row in data.each(works)], numbers=[2, 7, 8]),
        parts.heading("What each figure rests on", 3),
        parts.paragraph(
            f"Chance of being there: {parts.precise(chance.p_present)} "
            f"({parts.span(chance.p_low, chance.p_high, parts.precise)}; {chance.basis}): {chance.rests_on}. "
            f"Source: {chance.source}.",
        ),
        parts.table(BASIS_COLUMNS, [basis_row(row) for row in data.each(works)], numbers=[3, 4, 5, 7]),
        parts.paragraph(HOW_TO_RECOMPUTE, "quiet"),
    )
    st.download_button(
        "These figures as csv",
        lambda: exports.csv(works),
        file_name=f"exposure_{item.item_id}.csv",
        mime="text/csv",
        key=f"exposure {item.item_id}",
    )


def exposure_row(row: Any) -> tuple[Any, ...]:
    """One activity of the table of exposures."""
    who = "" if row.done_by == "trade" else " (occupant)"
    return (
        f"{row.work}{who}",
        f"{row.task}, {row.minutes:g} min",
        parts.figure(row.encounters_per_year),
        ranged(row, "p_over_control_limit"),
        controlled(row, "p_over_control_limit_controlled"),
        ranged(row, "p_over_short_term"),
        controlled(row, "p_over_short_term_controlled"),
        f"{parts.figure(row.exceedances_per_year)} "
        f"({parts.span(row.exceedances_low, row.exceedances_high, parts.figure)})",
        parts.figure(row.exceedances_controlled),
    )


def ranged(row: Any, name: str) -> str:
    """A chance with its range."""
    low, high = getattr(row, f"{name}_low"), getattr(row, f"{name}_high")
    return f"{parts.chance(getattr(row, name))} ({parts.span(low, high, parts.chance)})"


def controlled(row: Any, name: str) -> str:
    """A chance with control and its range, or why there is none."""
    return parts.uncontrolled(row.done_by) if pd.isna(getattr(row, name)) else ranged(row, name)


def basis_row(row: Any) -> tuple[Any, ...]:
    """What one activity's figures are worked out from."""
    said = parts.precise
    counted = "" if pd.isna(row.rate_n) else f"; {parts.counted(int(row.rate_n), 'job')}"
    moved = row.gm_f_per_ml / row.usual_gm_f_per_ml
    state = "" if round(moved, 3) == 1 else f", {said(moved)} × the usual for its damage and sealing"
    return (
        row.work,
        f"{said(row.rate)} ({parts.span(row.rate_low, row.rate_high, said)}{counted}; {row.rate_basis})",
        f"{said(row.contact)} ({parts.span(row.contact_low, row.contact_high, said)}; {row.contact_basis})",
        f"{row.reach_percent / 100:g}",
        said(row.share),
        said(row.encounters_per_year),
        f"{said(row.gm_f_per_ml)}; {said(row.gsd)}; {said(row.uncertainty_factor)}{state} "
        f"({row.release_basis}). {row.release_source}",
        f"{row.minutes:g}",
    )


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


def doubt_list(doubts: pd.DataFrame, entry: Any) -> Markup:
    """What was read with a flag in a row, a line each; what somebody accepted or corrected is marked as settled."""
    waiting = decisions.decided("accepted")
    lines = []
    for row in data.each(doubts):
        waits = waiting.waiting((*decisions.cells_of(entry)[:3], row.doubt))
        settled = ""
        if not pd.isna(row.accepted_by):
            why = "" if pd.isna(row.accepted_why) else f": {row.accepted_why}"
            settled = f"; accepted by {row.accepted_by}, {parts.day(row.accepted_on)}{why}"
        elif waits:
            settled = f"; accepted by {waits.who}, from the next build on"
        lines.append(
            Markup('<li class="{}">{}: {} ({}{})</li>').format(
                "settled" if settled or row.kind == "corrected" else "open",
                parts.in_words(row.field).capitalize(),
                row.reason,
                row.kind,
                settled,
            )
        )
    return Markup('<ul class="doubts">{}</ul>').format(Markup("").join(lines))


def contradiction_list(contradictions: pd.DataFrame) -> Markup:
    """What visits and laboratories say against each other, a line each."""
    lines = (
        Markup("<li>Sources contradict each other: {} ({})</li>").format(row.in_words, row.said)
        for row in data.each(contradictions)
    )
    return Markup('<ul class="doubts">{}</ul>').format(Markup("").join(lines))


def known_by(row: Any) -> str:
    """Why a row is about this item, and how sure that is."""
    return f"{row.link_reason[:1].upper()}{row.link_reason[1:]} ({row.link_strength:.0%} sure)"


def history(item: Any, entries: pd.DataFrame, samples: pd.DataFrame) -> None:
    """Every visit, what laboratories found, then each source row as it stood in its file."""
    parts.write(
        parts.table(
            [
                "Visit",
                "Kind of survey",
                "By",
                "Written as",
                "Damage",
                "Result",
                "Material score",
                "Why this item",
                "Source",
            ],
            [
                (
                    parts.day(row.surveyed_on),
                    parts.in_words(row.survey_type),
                    row.organisation if pd.isna(row.surveyor) else row.surveyor,
                    "; ".join(text for text in (row.room_text, row.product_text) if not pd.isna(text)),
                    "–" if pd.isna(row.damage_score) else row.damage_score,
                    result(row),
                    "not scored"
                    if pd.isna(row.material_low)
                    else parts.score_in_words(
                        row.material_score, row.material_low, row.material_high, row.material_band
                    ),
                    known_by(row),
                    parts.source(row.path, row.sheet, row.row_number),
                )
                for row in data.each(entries)
            ],
            numbers=[4],
        )
    )
    if not samples.empty:
        parts.write(parts.heading("What laboratories found", 3), samples_table(samples))
    for row in data.each(entries):
        uses = [
            use
            for use, entry_id in (("condition", item.entry_id), ("evidence", item.evidence_entry_id))
            if entry_id == row.entry_id
        ]
        source_row(row, uses)


def source_row(entry: Any, uses: list[str]) -> None:
    """A register row as it stood in the file, beside the field that each column was read as."""
    cells = data.ask("entry_cells", entry_id=entry.entry_id, property_ref=entry.property_ref)
    use = f" The item's {' and '.join(uses)} come from here." if uses else ""
    parts.write(
        parts.heading(parts.source(entry.path, entry.sheet, entry.row_number), 3),
        parts.paragraph(f"As it stood in the file, SHA-256 {entry.sha256}.{use}", "source"),
        parts.table(
            ["Heading", "As written", "Read as"],
            [
                (
                    "" if pd.isna(cell.heading) else cell.heading,
                    "" if pd.isna(cell.written) else cell.written,
                    "not used" if pd.isna(cell.field) else parts.in_words(cell.field),
                )
                for cell in data.each(cells)
            ],
        ),
    )
    doubts = data.ask("entry_doubts", entry_id=entry.entry_id, property_ref=entry.property_ref)
    if not doubts.empty:
        parts.write(doubt_list(doubts, entry))
