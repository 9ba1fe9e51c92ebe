"""Who may disturb an item: how often, how likely over the limits, and what each figure rests on."""

from typing import Any

import pandas as pd

from dashboard import data, parts

EXPOSURE_COLUMNS = [
    "Activity",
    "Task and its time",
    "Touched, times a year",
    "Over 0.1 f/ml in 4\N{NO-BREAK SPACE}h, uncontrolled,\N{NO-BREAK SPACE}%",
    "Over 0.1 f/ml in 4\N{NO-BREAK SPACE}h, with control,\N{NO-BREAK SPACE}%",
    "Over 0.6 f/ml in 10\N{NO-BREAK SPACE}min, uncontrolled,\N{NO-BREAK SPACE}%",
    "Over 0.6 f/ml in 10\N{NO-BREAK SPACE}min, with control,\N{NO-BREAK SPACE}%",
    "Exceedances a year, uncontrolled",
    "Exceedances a year, with control",
]
HOW_TO_READ = (
    "Expected values with 90 % ranges. Over a limit: the chance of a 4-hour mean above 0.1 f/ml (the control limit), "
    "or of a 10-minute mean above 0.6 f/ml, if the work touches it. Exceedances are of the control limit. No allowed "
    "way: no method allowed here does this work, so its figure without control stays in the sums; occupants are not "
    "expected to control theirs, so it stays for them too. "
    "Low likelihood is not permission."
)
HOW_TO_RECOMPUTE = (
    "Touched a year = rate × (1 − (1 − contact) ^ reach and extent) × share. Reach and extent = reach_step ^ "
    "(accessibility − the usual) × √(extent of all of its kind ÷ the usual), from reach_least to reach_most; extent "
    "counts where all of its kind was measured. Share: the part of such material in the home, or in the room for work "
    "that meets one room, that this item is. Exceedances a year = touched a year × "
    "chance of being there × chance over 0.1 f/ml. That chance: the fibres in the air, C, are such that ln C is normal "
    "about ln GM (geometric mean) with standard deviation √((ln GSD)² + (ln factor / 1.645)²), where GSD is their "
    "geometric standard deviation and the factor says how far GM may be off; and C × the lesser of minutes and 240, "
    "over 240, is above 0.1."
)
BASIS_COLUMNS = [
    "Activity",
    "Rate, times a year",
    "Contact, a chance",
    "Reach and extent, × the usual",
    "Share of such material",
    "Touched, times a year",
    "Release: GM, f/ml; GSD; factor",
    "Minutes",
]


def show(item: Any) -> None:
    """Each kind of work that can meet the item: how often, how likely over the limits, what that adds up to."""
    works = data.ask("item_exposures", item_id=item.item_id, property_ref=item.property_ref)
    if works.empty:
        parts.write(parts.paragraph("No kind of work in the tables meets it.", "quiet"))
        return
    beside = next(data.each(data.ask("bystander")))
    chance = next(data.each(data.ask("item_chance", item_id=item.item_id, property_ref=item.property_ref)))
    shown = works.rename(columns={"exceedances_per_year": "exceedances"})
    parts.write(
        parts.paragraph(
            f"{HOW_TO_READ} Somebody beside the work breathes about {parts.figure(beside.point)} of what the one who "
            f"does it breathes (90 % range {parts.span(beside.low, beside.high, parts.figure)}; {beside.basis}).",
            "quiet",
        ),
        parts.no_event(works),
        parts.table(EXPOSURE_COLUMNS, [of_activity(row) for row in data.each(shown)], numbers=range(2, 9)),
        parts.heading("What each figure rests on", 3),
        parts.paragraph(
            f"Chance of being there: {parts.precise(chance.p_present)} "
            f"({parts.span(chance.p_low, chance.p_high, parts.precise)}; {chance.basis}): {chance.rests_on}. "
            f"Source: {chance.source}.",
        ),
        parts.paragraph(usual(next(data.each(works)))),
        parts.table(BASIS_COLUMNS, [basis_row(row) for row in data.each(works)], numbers=[3, 4, 5, 7]),
        parts.paragraph(f"{HOW_TO_RECOMPUTE} {parts.LETTERS}", "quiet"),
    )
    parts.as_csv("These figures as csv", lambda: works, f"exposure_{item.item_id}")


def usual(row: Any) -> str:
    """What reach and extent of such a material contact is stated for."""
    said = {
        f"accessibility {row.usual_reach:g}": row.reach_basis,
        f"{parts.extent(row.usual_extent, row.usual_extent_unit)} in a property": row.extent_basis,
        f"{parts.extent(row.usual_room_extent, row.usual_extent_unit)} in one room": row.room_extent_basis,
    }
    usuals = ", ".join(words + (" (own)" if basis == "own" else "") for words, basis in said.items())
    return f"Usual of such material, default (J) where not own: {usuals}."


def of_activity(row: Any) -> tuple[Any, ...]:
    """One activity of the table of exposures."""
    return (
        parts.work(row),
        f"{row.task}, {row.minutes:g} min",
        parts.figure(row.encounters_per_year),
        parts.with_range(row, "p_over_control_limit", parts.percentage),
        controlled(row, "p_over_control_limit_controlled"),
        parts.with_range(row, "p_over_short_term", parts.percentage),
        controlled(row, "p_over_short_term_controlled"),
        parts.with_range(row, "exceedances"),
        parts.with_range(row, "exceedances_controlled"),
    )


def controlled(row: Any, name: str) -> str:
    """A chance with control and its range, or why there is none."""
    said = parts.uncontrolled(row.done_by)
    return said if pd.isna(getattr(row, name)) else parts.with_range(row, name, parts.percentage)


def basis_row(row: Any) -> tuple[Any, ...]:
    """What one activity's figures are worked out from."""
    said = parts.precise
    counted = "" if pd.isna(row.rate_n) else f"; {parts.counted(int(row.rate_n), 'job')}"
    moved = row.gm_f_per_ml / row.usual_gm_f_per_ml
    state = f"; {said(moved)} × the usual for its damage and sealing, {row.state_basis}"
    state = "" if round(moved, 3) == 1 else state
    return (
        row.work,
        f"{said(row.rate)} ({parts.span(row.rate_low, row.rate_high, said)}{counted}; {row.rate_basis})",
        f"{said(row.contact)} ({parts.span(row.contact_low, row.contact_high, said)}; {row.contact_basis})",
        f"{row.reach_percent / 100:g}",
        said(row.share),
        said(row.encounters_per_year),
        f"{said(row.gm_f_per_ml)}; {said(row.gsd)}; {said(row.uncertainty_factor)} "
        f"({row.release_basis}{state}). {row.release_source}",
        f"{row.minutes:g}{' (own)' if row.minutes_basis == 'own' else ''}",
    )
