"""What is in this building, how sure that is, and which row of which file says so."""

from typing import Any

import pandas as pd
import streamlit as st
from markupsafe import Markup

from dashboard import data, parts

HITS_SHOWN = 30


def show() -> None:
    """The page: search, the building, one of its homes or parts with its items."""
    building_ref = search()
    building = data.ask_one("building", building_ref=building_ref) if building_ref else None
    if building is None:
        if building_ref:
            parts.notice(f"There is no building {building_ref} in this portfolio.")
        return
    properties = data.ask("building_properties", building_ref=building_ref)
    about_building(building)
    chosen = choose_property(properties)
    about_property(chosen)
    items = data.ask("property_items", property_ref=chosen.property_ref)
    entries = data.ask("property_entries", property_ref=chosen.property_ref)
    for item in data.each(items):
        show_item(item, entries[entries["item_id"] == item.item_id])
    not_items(entries[entries["item_id"].isna()])


def search() -> str | None:
    """The building to show: the one in the address, or the one picked among what was searched for."""
    wanted = st.text_input(
        "Find a building",
        key="find",
        placeholder="address, postcode, UPRN or reference",
        width=420,
        on_change=lambda: st.query_params.clear(),
    )
    opened = st.query_params.get("building")
    if not wanted:
        if not opened:
            parts.write(parts.paragraph("Write part of an address, a postcode, a UPRN or a reference.", "quiet"))
        return opened
    hits = data.ask("find_buildings", text=wanted, top=HITS_SHOWN)
    if hits.empty:
        parts.notice("Nothing in the stock list has these words in its address, or this reference.")
        return None
    names = {hit.building_ref: f"{hit.name}, {hit.area} ({hit.building_ref})" for hit in data.each(hits)}
    if len(hits) == 1:
        return str(hits["building_ref"].iloc[0])
    picked: str = st.selectbox(
        f"{len(hits)} buildings found" if len(hits) < HITS_SHOWN else f"The first {HITS_SHOWN} found",
        list(names),
        format_func=lambda ref: names[ref],
        width=420,
    )
    return picked


def about_building(building: Any) -> None:
    """Name, place in the ranking, what was surveyed."""
    place = f"Number {building.rank:,} of {building.buildings:,} in the order in which to act."
    parts.write(
        parts.heading(building.name, 1),
        parts.paragraph(
            f"{building.area}. Reference {building.building_ref}. {parts.counted(building.homes, 'home')}. {place}",
            "quiet",
        ),
        parts.paragraph(f"{building.why}.", "lead"),
    )
    if building.properties > 1:
        parts.write(
            parts.paragraph(
                f"{building.properties_surveyed} of its {building.properties} homes and parts were surveyed; "
                f"they hold {parts.counted(building.items, 'item')}, {building.items_act_now} to act on now."
            )
        )


def choose_property(properties: pd.DataFrame) -> Any:
    """One home or part of the building: the one with the worst item first."""
    rows = {row.property_ref: row for row in data.each(properties)}
    if len(rows) == 1:
        return next(iter(rows.values()))
    picked = st.selectbox(
        "Home or part",
        list(rows),
        format_func=lambda ref: property_line(rows[ref]),
        key="property",
        width=620,
    )
    return rows[picked]


def property_line(row: Any) -> str:
    """A home or part in the list of its building."""
    if not row.is_surveyed:
        said = "never surveyed"
    elif row.items == 0:
        said = "nothing recorded"
    else:
        said = f"{parts.counted(row.items, 'item')}, worst {row.worst_score} of 12"
        said += f", {row.items_act_now} to act on now" if row.items_act_now else ""
    return f"{row.address}: {said}"


def about_property(row: Any) -> None:
    """What the stock list says of a home or part, and whether it was looked at."""
    built = "year of build unknown" if pd.isna(row.built_year) else f"built {row.built_year}"
    uprn = "" if pd.isna(row.uprn) else f", UPRN {row.uprn}"
    parts.write(
        parts.heading(row.address),
        parts.paragraph(
            f"{row.part.capitalize()}, {row.dwelling_type}, {built}, archetype {row.archetype}. "
            f"Reference {row.property_ref}{uprn}.",
            "quiet",
        ),
    )
    if not row.is_surveyed:
        parts.notice(
            "Never surveyed: nothing is known. In anything built before 2000 presume asbestos until a survey "
            "or a sample shows otherwise."
        )
    elif row.items == 0:
        parts.notice("Surveyed, and no asbestos was recorded. A survey does not see behind what it did not open.")


def show_item(item: Any, entries: pd.DataFrame) -> None:
    """One item: what and where, how it scores and why, its doubts, its history and source rows."""
    name = f"{item.product_in_words} in the {item.place_in_words}".replace("the place not", "a place not")
    said = [
        Markup("<h3>{}{} {}</h3>").format(name[:1].upper(), name[1:], parts.act_now() if item.act_now else ""),
        parts.paragraph(f"Written as “{item.room_text}”. {extent(item)}", "quiet"),
        parts.paragraph(evidence(item)),
    ]
    if item.act_now:
        said.append(parts.paragraph(f"Act now: {item.act_now_why}.", "lead"))
    doubts = data.ask("entry_doubts", entry_id=item.entry_id)
    if not doubts.empty:
        said.append(doubt_list(doubts))
    scored = Markup("")
    if item.status != "not_detected":
        words = parts.score_in_words(item.material_score, item.material_low, item.material_high, item.material_band)
        scored = Markup("<div>{}{}</div>").format(
            Markup("<p><b>Material score {}</b></p>").format(words), parts.score_scale(item)
        )
    parts.write(Markup('<div class="item"><div>{}</div>{}</div>').format(Markup("").join(said), scored))
    with st.expander(f"History and source rows ({len(entries)})"):
        history(item, entries)


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


def doubt_list(doubts: pd.DataFrame) -> Markup:
    """What was read with a flag, a line each."""
    lines = (
        Markup("<li>{}: {} ({})</li>").format(parts.in_words(row.field).capitalize(), row.reason, row.kind)
        for row in data.each(doubts)
    )
    return Markup('<ul class="doubts">{}</ul>').format(Markup("").join(lines))


def history(item: Any, entries: pd.DataFrame) -> None:
    """Every visit, then each source row as it stood in its file."""
    parts.write(
        parts.table(
            ["Visit", "Kind of survey", "By", "Damage", "Result", "Material score", "Source"],
            [
                (
                    parts.day(row.surveyed_on),
                    parts.in_words(row.survey_type),
                    row.organisation if pd.isna(row.surveyor) else row.surveyor,
                    "–" if pd.isna(row.damage_score) else row.damage_score,
                    parts.in_words(row.identification),
                    "not scored"
                    if pd.isna(row.material_low)
                    else parts.score_in_words(
                        row.material_score, row.material_low, row.material_high, row.material_band
                    ),
                    parts.source(row.path, row.sheet, row.row_number),
                )
                for row in data.each(entries)
            ],
            numbers=[3],
        )
    )
    for row in data.each(entries):
        uses = [
            use
            for use, entry_id in (("condition", item.entry_id), ("evidence", item.evidence_entry_id))
            if entry_id == row.entry_id
        ]
        source_row(row, uses)


def source_row(entry: Any, uses: list[str]) -> None:
    """A register row as it stood in the file, beside the field that each column was read as."""
    cells = data.ask("entry_cells", entry_id=entry.entry_id)
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
    doubts = data.ask("entry_doubts", entry_id=entry.entry_id)
    if not doubts.empty:
        parts.write(doubt_list(doubts))


def not_items(entries: pd.DataFrame) -> None:
    """What the registers say that is no item: rooms not entered, rooms with nothing suspect."""
    if entries.empty:
        return
    parts.write(
        parts.heading("Not entered, or nothing suspect seen"),
        parts.paragraph("Where nobody could look, presume asbestos until someone has.", "quiet"),
        parts.table(
            ["Visit", "Room as written", "Result", "Notes as written", "Source"],
            [
                (
                    parts.day(row.surveyed_on),
                    "" if pd.isna(row.room_text) else row.room_text,
                    parts.in_words(row.identification),
                    "" if pd.isna(row.notes) else row.notes,
                    parts.source(row.path, row.sheet, row.row_number),
                )
                for row in data.each(entries)
            ],
        ),
    )


show()
