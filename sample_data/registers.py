"""What the files of all three firms share: rows written alike, blank lines, and where the truth about a row stands."""

import numpy as np
import pandas as pd
from draw import Texts
from meaning import FIELDS


def mark_alike(rows: pd.DataFrame, cells: list[str]) -> None:
    """Marks rows whose cells are those of an earlier row of the visit, though another material is meant."""
    alike = rows.duplicated(["visit", *cells]) & ~rows["rule"].str.contains("exact_duplicate")
    rows.loc[alike, "rule"] = (rows.loc[alike, "rule"] + ";written_alike").str.removeprefix(";")


def with_blank_lines(rows: pd.DataFrame, every: int) -> pd.DataFrame:
    """Rows with an empty line put in after each `every` of them."""
    if len(rows) <= every:
        return rows
    at = np.arange(every - 1, len(rows) - 1, every)[:3]
    blank = pd.DataFrame("", index=rows.index[at], columns=rows.columns).assign(rule="blank_line", home=-1)
    return pd.concat([rows, blank]).sort_index(kind="stable").reset_index(drop=True)


def truth_of(path: str, sheet: str, rows: pd.DataFrame, first_row: int, refs: Texts) -> pd.DataFrame:
    """Where each row stands in its file, and what it is truly about; the first row of a file has number 1."""
    home = rows["home"].to_numpy(dtype=np.int64)
    ref = np.where(home >= 0, refs[np.maximum(home, 0)], "")
    return pd.DataFrame(
        {
            "path": path,
            "sheet": sheet,
            "row_number": first_row + np.arange(len(rows)),
            "property_ref": ref,
            "item_id": rows["item"].to_numpy(),
            "rule": rows["rule"].to_numpy(),
            **{field: rows[name].to_numpy() for name, field in FIELDS.items() if field != "property_ref"},
            "means_property": rows["means_property"].to_numpy(),
        }
    )
