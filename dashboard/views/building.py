"""What is in this building, how sure that is, and which row of which file says so."""

from typing import Any

import pandas as pd
import streamlit as st

from dashboard import data, items, parts

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
    held = data.ask("property_items", property_ref=chosen.property_ref)
    entries = data.ask("property_entries", property_ref=chosen.property_ref)
    contradictions = data.ask("property_contradictions", property_ref=chosen.property_ref)
    samples = data.ask("property_samples", property_ref=chosen.property_ref)
    for item in data.each(held):
        items.show(
            item,
            entries[entries["item_id"] == item.item_id],
            contradictions[contradictions["item_id"] == item.item_id],
            samples[samples["item_id"] == item.item_id],
        )
    possible(data.ask("property_possible", property_ref=chosen.property_ref))
    not_items(entries[entries["item_id"].isna()])
    unclaimed(samples[samples["item_id"].isna()])


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
        parts.paragraph(f"{building.score_reason}.", "lead"),
        parts.paragraph(
            f"By exposure number {building.rank_by_exposure:,} (90 % range {building.rank_low:,} to "
            f"{building.rank_high:,}): {building.exposure_reason}."
        ),
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


def possible(rows: pd.DataFrame) -> None:
    """What was never looked for and may be there."""
    if rows.empty:
        return
    parts.write(
        parts.heading("Never looked for, and possible"),
        parts.paragraph(
            "From homes built alike that were surveyed, over defaults for the year of build. Before work, what was not "
            "looked for counts as present, whatever the chance.",
            "quiet",
        ),
        parts.table(
            ["Material", "Place", "Chance of being there", "90 % range", "Exceedances a year", "Basis"],
            [
                (
                    row.in_words,
                    row.place_in_words,
                    parts.chance(row.p_present),
                    parts.span(row.p_low, row.p_high, parts.chance),
                    parts.figure(row.exceedances),
                    row.basis,
                )
                for row in data.each(rows)
            ],
            numbers=[2, 4],
        ),
    )


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


def unclaimed(samples: pd.DataFrame) -> None:
    """Laboratories' results that are about no item: mostly no row of a register names the sample."""
    if samples.empty:
        return
    parts.write(
        parts.heading("Results of laboratories about no item"),
        parts.paragraph("What was found counts for nothing here until a row of a register names the sample.", "quiet"),
        items.samples_table(samples),
    )


show()
