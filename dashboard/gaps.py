"""What a home or part holds that is no item: what may be there, rooms not entered, results about no item."""

import pandas as pd

from dashboard import data, history, parts


def show(property_ref: str, said: history.Said) -> None:
    """All of it, as far as there is any."""
    possible(property_ref, data.ask("property_possible", property_ref=property_ref))
    not_items(property_ref, said.entries[said.entries["item_id"].isna()])
    unclaimed(property_ref, said.samples[said.samples["item_id"].isna()])


def possible(property_ref: str, rows: pd.DataFrame) -> None:
    """What was never looked for and may be there."""
    if rows.empty:
        return
    parts.write(
        parts.heading("Never looked for, and possible"),
        parts.paragraph(
            "From homes built alike that were surveyed, over defaults for the year of build. Before work, what was not "
            "looked for counts as present, whatever the chance. Figures have their 90 % ranges.",
            "quiet",
        ),
        parts.table(
            ["Material", "Place", "Chance of being there, %", "Exceedances a year, uncontrolled", "Basis"],
            [
                (
                    row.in_words,
                    row.place_in_words,
                    parts.with_range(row, "p_present", parts.percentage),
                    parts.with_range(row, "exceedances"),
                    row.basis,
                )
                for row in data.each(rows.rename(columns={"p_low": "p_present_low", "p_high": "p_present_high"}))
            ],
            numbers=[2, 3],
        ),
    )
    parts.as_csv("These as csv", lambda: rows, f"possible_{property_ref}")


def not_items(property_ref: str, entries: pd.DataFrame) -> None:
    """What the registers say that is no item: rooms not entered, rooms with nothing suspect."""
    if entries.empty:
        return
    parts.write(
        parts.heading("Not entered, or nothing suspect seen"),
        parts.paragraph("Where nobody could look, presume asbestos until someone has.", "quiet"),
        parts.table(
            ["Visit", "Room as written", "Result", "Notes as written", "Source row"],
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
    parts.as_csv("These rows as csv", lambda: entries, f"no_items_{property_ref}")


def unclaimed(property_ref: str, samples: pd.DataFrame) -> None:
    """Laboratories' results that are about no item: mostly no row of a register names the sample."""
    if samples.empty:
        return
    parts.write(
        parts.heading("Results of laboratories about no item"),
        parts.paragraph("What was found counts for nothing here until a row of a register names the sample.", "quiet"),
        history.samples_table(samples),
    )
    parts.as_csv("These results as csv", lambda: samples, f"results_{property_ref}")
