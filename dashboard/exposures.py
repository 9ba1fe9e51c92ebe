"""Who may disturb an item: how often, how likely over the limits, and what each figure rests on."""

from typing import Any

import pandas as pd

from dashboard import data, parts

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
    "Low likelihood is not permission."
)
HOW_TO_RECOMPUTE = (
    "Touched a year = rate × (1 − (1 − contact) ^ reach and extent) × share. Reach and extent = reach_step ^ "
    "(accessibility − the usual) × √(extent of all of its kind ÷ the usual), from reach_least to reach_most; extent "
    "counts where all of its kind was measured. Share: the part of such material in the home, or in the room for work "
    "that meets one room, that this item is. Exceedances a year = touched a year × "
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


def show(item: Any) -> None:
    """Each kind of work that can meet the item: how often, how likely over the limits, what that adds up to."""
    works = data.ask("item_exposures", item_id=item.item_id, property_ref=item.property_ref)
    if works.empty:
        parts.write(parts.paragraph("No kind of work in the tables meets it.", "quiet"))
        return
    beside = next(data.each(data.ask("bystander")))
    chance = next(data.each(data.ask("item_chance", item_id=item.item_id, property_ref=item.property_ref)))
    parts.write(
        parts.paragraph(
            f"{HOW_TO_READ} Somebody beside the work breathes about {parts.figure(beside.point)} of that "
            f"({parts.span(beside.low, beside.high, parts.figure)}; {beside.basis}).",
            "quiet",
        ),
        parts.table(EXPOSURE_COLUMNS, [of_activity(row) for row in data.each(works)], numbers=[2, 7, 8]),
        parts.heading("What each figure rests on", 3),
        parts.paragraph(
            f"Chance of being there: {parts.precise(chance.p_present)} "
            f"({parts.span(chance.p_low, chance.p_high, parts.precise)}; {chance.basis}): {chance.rests_on}. "
            f"Source: {chance.source}.",
        ),
        parts.paragraph(usual(next(data.each(works)))),
        parts.table(BASIS_COLUMNS, [basis_row(row) for row in data.each(works)], numbers=[3, 4, 5, 7]),
        parts.paragraph(HOW_TO_RECOMPUTE, "quiet"),
    )
    parts.as_csv("These figures as csv", lambda: works, f"exposure_{item.item_id}")


def usual(row: Any) -> str:
    """What reach and extent of such a material contact is stated for."""
    unit = row.usual_extent_unit.replace("m2", "m²")
    said = {
        f"accessibility {row.usual_reach:g}": row.reach_basis,
        f"{row.usual_extent:g} {unit} in a property": row.extent_basis,
        f"{row.usual_room_extent:g} {unit} in one room": row.room_extent_basis,
    }
    usuals = ", ".join(words + (" (own)" if basis == "own" else "") for words, basis in said.items())
    return f"Usual of such material, default (J) where not own: {usuals}."


def of_activity(row: Any) -> tuple[Any, ...]:
    """One activity of the table of exposures."""
    who = "" if row.done_by == "trade" else " (occupant)"
    return (
        f"{row.work}{who}",
        f"{row.task}, {row.minutes:g} min",
        parts.figure(row.encounters_per_year),
        parts.ranged(row, "p_over_control_limit", parts.chance),
        controlled(row, "p_over_control_limit_controlled"),
        parts.ranged(row, "p_over_short_term", parts.chance),
        controlled(row, "p_over_short_term_controlled"),
        f"{parts.figure(row.exceedances_per_year)} "
        f"({parts.span(row.exceedances_low, row.exceedances_high, parts.figure)})",
        parts.ranged(row, "exceedances_controlled"),
    )


def controlled(row: Any, name: str) -> str:
    """A chance with control and its range, or why there is none."""
    return parts.uncontrolled(row.done_by) if pd.isna(getattr(row, name)) else parts.ranged(row, name, parts.chance)


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
