"""The third firm's files, as a spreadsheet of another country writes them: semicolons, decimal commas, cp1252."""

from pathlib import Path

import numpy as np
import pandas as pd
from draw import Texts
from registers import truth_of

THIRD = {
    "Survey no.": "survey_no",
    "Item no.": "item_no",
    "Inspection date": "date",
    "Type of survey": "survey",
    "Dwelling address": "address",
    "Postcode": "postcode",
    "Asset no.": "ref",
    "Room or space": "room",
    "Position": "element",
    "Material found": "product",
    "Evidence": "status",
    "Lab ref": "sample",
    "Asbestos found": "types",
    "State of material": "condition",
    "Surface finish": "surface",
    "Ease of access": "reach",
    "Amount": "extent",
    "Measure": "unit",
    "Risk band": "risk",
    "Advice": "action",
    "Remarks": "comment",
    "Inspected by": "initials",
}
"""Headings of the third firm's layout and the cells beneath them."""
NEW_DATES = 2025
"""From which year on the third firm writes months as words."""
DITTO = {0: '"', 1: "ditto"}
"""How two of the third firm's surveyors repeat the room of the row above."""


def _dates(rows: pd.DataFrame) -> Texts:
    """Dates as the third firm writes them: 14.03.2024, later 14 March 2025."""
    day = rows["day"].dt
    dates = np.where(day.year >= NEW_DATES, day.strftime("%d %B %Y").str.lstrip("0"), day.strftime("%d.%m.%Y"))
    return np.asarray(dates, dtype=object)


def _with_dittos(rows: pd.DataFrame) -> pd.DataFrame:
    """Some surveyors' rows, the room not written out again where it is that of the row above."""
    repeated = rows["room"].eq(rows["room"].shift()) & rows["visit"].eq(rows["visit"].shift()) & rows["rule"].eq("")
    repeated &= rows["rule"].shift(-1).ne("exact_duplicate")
    for surveyor, mark in DITTO.items():
        mine = repeated & (rows["surveyor"] == surveyor)
        rows.loc[mine, ["room", "rule"]] = [mark, "ditto_mark"]
    return rows


def write(rows: pd.DataFrame, to: Path, refs: Texts) -> list[pd.DataFrame]:
    """The third firm's files, one for each way to write dates; returns the truth about their rows."""
    rows = rows.assign(date=np.where(rows["date"] == "", _dates(rows), rows["date"]))
    rows["extent"] = rows["extent"].str.replace(".", ",")
    survey = pd.Series(pd.factorize(rows["visit"])[0] + 2_301, index=rows.index).astype(str)
    rows["survey_no"] = "CH/" + survey
    again = rows["rule"].str.contains("exact_duplicate")
    rows["item_no"] = survey + "-" + (~again).groupby(rows["visit"]).cumsum().astype(str).str.zfill(2)
    since = rows["day"].dt.year >= NEW_DATES
    truths = []
    for name, mine in (("to_2024", ~since), ("from_2025", since)):
        part = _with_dittos(rows[mine].reset_index(drop=True))
        if part.empty:
            continue
        path = f"registers/corbelhythe_{name}.csv"
        table = part[list(THIRD.values())].set_axis(list(THIRD), axis=1)
        table.to_csv(to / path, sep=";", index=False, lineterminator="\r\n", encoding="cp1252")
        truths.append(truth_of(path, "", part, 2, refs))
    return truths
