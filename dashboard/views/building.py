"""What is in this building, how sure that is, and which row of which file says so."""

from typing import Any
from urllib.parse import urlencode

import pandas as pd
import streamlit as st
from markupsafe import Markup

from dashboard import addresses, data, decisions, gaps, history, items, parts

HITS_SHOWN = 30
QUESTIONS = (
    *("building", "building_act_now", "building_activities", "building_properties"),
    *("property_items", "property_entries", "property_doubts", "property_contradictions", "property_samples"),
    *("entry_cells", "item_priority", "item_priority_groups", "item_exposures", "item_chance", "bystander"),
    *("item_guidance", "property_possible"),
)
TABLES = (
    *("building_ranking", "item_ranking", "items", "item_links", "item_conditions"),
    *("material_scores", "sub_scores", "priority_scores", "priority_factors"),
    *("exposures", "item_exposures", "possible_items", "possible_exposures", "building_exposures", "term_draws"),
)


def show() -> None:
    """The page: search, the building, one of its homes or parts with its items."""
    back()
    building_ref = search()
    building = data.ask_one("building", building_ref=building_ref) if building_ref else None
    if building is None:
        if building_ref:
            parts.notice(f"There is no building {building_ref} in this portfolio.")
        return
    properties = data.ask("building_properties", building_ref=building_ref)
    about_building(building)
    act_now(building, data.ask("building_act_now", building_ref=building_ref))
    label = "Exposure by activity in the whole building"
    parts.folded(label, f"activities {building_ref}", lambda: activities(building))
    chosen = choose_property(building, properties)
    about_property(chosen)
    said = history.Said.of_property(chosen.property_ref)
    decisions.stock_row(chosen.property_ref, said.doubts[said.doubts["entry_id"].isna()])
    held = data.ask("property_items", property_ref=chosen.property_ref)
    for item in data.each(choose_item(held, building, chosen)):
        items.show(item, said.of_item(item.item_id))
    if properties["is_surveyed"].any():
        label = "These items as csv" if len(properties) == 1 else "All items of this building as csv"
        parts.as_csv(label, lambda: every_item(properties), f"items_{building_ref}")
    gaps.show(chosen.property_ref, said)
    parts.basis(QUESTIONS, TABLES)


def back() -> None:
    """A link to the list that one came from, with its filters."""
    listed, said = addresses.came_from(st.query_params.get("back", ""))
    where = f"{listed or '.'}?{urlencode(said)}"
    parts.write(Markup('<p class="back"><a href="{}" target="_self">Back to the list</a></p>').format(where))


def search() -> str | None:
    """The building to show: the one in the address, or the one picked among what was searched for."""
    wanted = st.text_input(
        "Find a building",
        key="find",
        bind="query-params",
        placeholder="address, postcode, UPRN or reference",
        width=420,
        on_change=forget,
        args=("building", "property", "item"),
    )
    opened = st.query_params.get("building")
    if not wanted:
        if not opened:
            parts.write(
                parts.heading("Which building?", 1),
                parts.paragraph("Write part of an address, a postcode, a UPRN or a reference.", "quiet"),
            )
        return opened
    hits = data.ask("find_buildings", text=wanted, top=HITS_SHOWN)
    if hits.empty:
        parts.notice("Nothing in the stock list has these words in its address, or this reference.")
        return None
    found = {hit.building_ref: hit for hit in data.each(hits)}
    picked = str(opened if opened in found else next(iter(found)))
    if len(found) > 1:
        picked = st.selectbox(
            f"{len(found)} buildings found" if len(found) < HITS_SHOWN else f"The first {HITS_SHOWN} found",
            list(found),
            index=list(found).index(picked),
            format_func=lambda ref: f"{found[ref].name}, {found[ref].area} ({ref})",
            key=f"found {wanted}",
            on_change=forget,
            args=("property", "item"),
            width=420,
        )
    if picked != opened:
        st.query_params["building"] = str(picked)
        if not pd.isna(found[picked].property_ref) and found[picked].property_ref != picked:
            st.query_params["property"] = found[picked].property_ref
    return picked


def forget(*names: str) -> None:
    """Take what no longer holds out of the page's address."""
    for name in names:
        st.query_params.pop(name, None)


def about_building(building: Any) -> None:
    """Name, place in the ranking, what was surveyed."""
    run = data.ask_one("latest_run")
    place = f"Number {building.rank:,} of {building.buildings:,} in the order in which to act."
    rounding = f"In totals the group averages of priority scores are rounded {run.priority_rounding}." if run else ""
    parts.write(
        parts.heading(building.name, 1),
        parts.paragraph(
            f"{building.area_in_words}. Reference {building.building_ref}. {parts.counted(building.homes, 'home')}. "
            f"{place} {rounding}",
            "quiet",
        ),
        parts.paragraph(f"{building.score_reason}.", "lead"),
        parts.paragraph(
            f"By exposure number {building.rank_by_exposure:,} of {building.buildings:,} ({places(building)}): "
            f"{building.exposure_reason}. "
            f"{building.controlled_in_words}."
        ),
        parts.paragraph(held_by(building)) if building.properties > 1 else Markup(""),
    )


def places(building: Any) -> str:
    """The range of its place by exposure."""
    if building.rank_low == building.rank_high:
        return "no other place in its 90 % range"
    return f"90 % range of its place {building.rank_low:,} to {building.rank_high:,}"


def held_by(building: Any) -> str:
    """How many homes and parts were looked at, and what they hold."""
    held = "nothing is recorded there"
    if building.items:
        urgent = f"{building.items_act_now} of them to act on now" if building.items_act_now else "none to act on now"
        held = f"recorded there: {parts.counted(building.items, 'item')}, {urgent}"
    were = "was" if building.properties_surveyed == 1 else "were"
    return f"{building.properties_surveyed} of its {building.properties} homes and parts {were} surveyed; {held}."


def act_now(building: Any, urgent: pd.DataFrame) -> None:
    """What cannot wait anywhere in the building, each a link to it."""
    if urgent.empty or building.properties == 1:
        return
    lines = Markup("").join(
        Markup('<li><a href="{}" target="_self">{}: {}, {}</a>; {}; last seen {}</li>').format(
            parts.link_to(building.building_ref, row.property_ref, row.item_id),
            row.address,
            row.product_in_words,
            row.place_in_words,
            row.act_now_why,
            parts.day(row.last_surveyed_on),
        )
        for row in data.each(urgent)
    )
    parts.write(parts.heading("To act on now in this building"), Markup('<ol class="urgent">{}</ol>').format(lines))


def activities(building: Any) -> None:
    """What each kind of work adds up to in the building."""
    works = data.ask("building_activities", building_ref=building.building_ref)
    if works.empty:
        parts.write(parts.paragraph("No kind of work meets anything that is recorded or possible here.", "quiet"))
        return
    parts.write(
        parts.paragraph(
            "Expected exceedances of the control limit a year with their 90 % ranges: if nobody takes care; how "
            "much of that is at what is recorded and at what was never looked for, without ranges; and with good "
            "practice. Where nobody may do a thing, and where occupants do it, the uncontrolled figure stays.",
            "quiet",
        ),
        parts.no_event(works),
        parts.table(
            [
                *("Activity", "Exceedances a year, uncontrolled", "Of that, at recorded items"),
                *("Of that, at what was never looked for", "Exceedances a year, with good practice"),
            ],
            [
                (
                    parts.work(row),
                    parts.with_range(row, "exceedances"),
                    *map(parts.figure, (row.exceedances_known, row.exceedances_possible)),
                    parts.with_range(row, "exceedances_controlled"),
                )
                for row in data.each(works)
            ],
            numbers=[1, 2, 3, 4],
        ),
    )
    parts.as_csv("These figures as csv", lambda: works, f"activities_{building.building_ref}")


def choose_property(building: Any, properties: pd.DataFrame) -> Any:
    """One home or part of the building: the one in the address, else the one with the worst item."""
    rows = {row.property_ref: row for row in data.each(properties)}
    first, asked = next(iter(rows)), st.query_params.get("property")
    if asked and asked not in rows:
        parts.notice(f"There is no home or part {asked} in this building; the one with the worst item is shown.")
    if len(rows) == 1:
        return rows[first]
    names = own_names({ref: row.address for ref, row in rows.items()})
    picked = st.selectbox(
        "Home or part",
        list(rows),
        index=list(rows).index(asked if asked in rows else first),
        format_func=lambda ref: f"{names[ref]}: {property_line(rows[ref])}",
        key=f"property of {building.building_ref}",
        on_change=forget,
        args=("item",),
        width="stretch",
    )
    if picked != asked and (asked or picked != first):
        st.query_params["property"] = picked
    return rows[picked]


def choose_item(held: pd.DataFrame, building: Any, chosen: Any) -> pd.DataFrame:
    """All items of the home, or the one in the address with a link to all."""
    asked = st.query_params.get("item")
    one = held[held["item_id"] == asked]
    if asked and one.empty:
        parts.notice(f"There is no item {asked} in this home or part; all of it is shown.")
    if one.empty or len(held) == 1:
        return held
    cleared = len(held) - chosen.items
    parts.write(
        Markup('<p>One of {} here{}. <a href="{}" target="_self">Show all items</a></p>').format(
            parts.counted(len(held), "item"),
            f", {cleared} of them removed or with no asbestos detected" if cleared else "",
            parts.link_to(building.building_ref, chosen.property_ref),
        )
    )
    return one


def every_item(properties: pd.DataFrame) -> pd.DataFrame:
    """The items of all homes and parts of a building."""
    looked_at = properties.loc[properties["is_surveyed"], "property_ref"]
    return pd.concat([data.ask("property_items", property_ref=ref) for ref in looked_at])


def own_names(addresses: dict[str, str]) -> dict[str, str]:
    """Addresses without the end that all of them share, the street and town of their building, said above them."""
    pieces = {ref: str(address).split(", ") for ref, address in addresses.items()}
    shared, most = 0, min(map(len, pieces.values())) - 1
    while shared < most and len({one[-1 - shared] for one in pieces.values()}) == 1:
        shared += 1
    return {ref: ", ".join(one[: len(one) - shared]) for ref, one in pieces.items()}


def property_line(row: Any) -> str:
    """What a home or part holds, in the list of its building."""
    if not row.is_surveyed:
        said = "never surveyed"
    elif row.items == 0:
        said = "nothing recorded"
    else:
        said = f"{parts.counted(row.items, 'item')}, worst material score {row.worst_score} of 12"
        said += f", {row.items_act_now} to act on now" if row.items_act_now else ""
    return said


def about_property(row: Any) -> None:
    """What the stock list says of a home or part, and whether it was looked at."""
    kind = row.dwelling_type if row.part == "home" else row.part
    uprn = "" if pd.isna(row.uprn) else f", UPRN {row.uprn}"
    parts.write(
        parts.heading(row.address),
        parts.paragraph(
            f"{kind.capitalize()}, {built(row)}, archetype {row.archetype}. Reference {row.property_ref}{uprn}.",
            "quiet",
        ),
    )
    if not row.is_surveyed:
        parts.notice(
            "Never surveyed: nobody has looked, so what is said below are chances. In anything built before 2000 "
            "presume asbestos until a survey or a sample shows otherwise."
        )
    elif row.items == 0:
        parts.notice("Surveyed, and no asbestos was recorded. A survey does not see behind what it did not open.")


def built(row: Any) -> str:
    """When it was built, and its oldest part where that is older: that part decides what may be there."""
    if pd.isna(row.built_year):
        return "year of build unknown" if pd.isna(row.oldest_year) else f"oldest part {row.oldest_year}"
    older = "" if pd.isna(row.oldest_year) or row.oldest_year == row.built_year else f", oldest part {row.oldest_year}"
    return f"built {row.built_year}{older}"


show()
