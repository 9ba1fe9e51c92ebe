"""The first firm's files: one plain csv a year, a row an item, headings a little different every year."""

from pathlib import Path

import numpy as np
import pandas as pd
from draw import Ints, Texts
from mess import STRAY_QUOTE
from registers import mark_alike, truth_of, with_blank_lines

PLAIN = {
    "Property Ref": "ref",
    "UPRN": "uprn",
    "Address": "address",
    "Post Code": "postcode",
    "Survey Type": "survey",
    "Survey Date": "date",
    "Surveyor": "initials",
    "Company": "company",
    "Location": "room",
    "Material": "product",
    "Extent": "extent",
    "Unit": "unit",
    "Status": "status",
    "Asbestos Type": "types",
    "Sample Ref": "sample",
    "PT": "s_pt",
    "Damage": "s_damage",
    "ST": "s_st",
    "AT": "s_at",
    "MA": "s_total",
    "Accessibility": "reach",
    "Recommendation": "action",
    "Comments": "comment",
}
"""Headings of the first firm's layout and the cells beneath them."""
VARIED = {
    2021: {"Survey Date": "Suvey Date"},
    2022: {},
    2023: {"Material": "Matrial", "Property Ref": "Prop Ref", "Location": "Room"},
    2024: {"Accessibility": "Acessibility", "Post Code": "P/Code", "Damage": "Condition"},
    2025: {"Recommendation": "Recomendation", "Extent": "Qty", "Sample Ref": "Sample No"},
    2026: {"Asbestos Type": "Asbestos Tpye", "Survey Date": "Date of Survey", "Comments": "Notes"},
}
"""How the headings change from year to year."""
MISSPELT = {"Suvey Date", "Matrial", "Acessibility", "Recomendation", "Asbestos Tpye"}
LATE, LATE_FROM = 16, 2024
"""Re-inspections handed in late by the first firm, their dates from two computers; from which year on."""
MONTHS_A_YEAR = 12
"""Days up to this number may as well be months."""
COPIED_YEAR = 2021
"""The first firm's file that somebody handed in twice."""


def _late(rows: pd.DataFrame, rng: np.random.RandomState) -> Ints:
    """Re-inspections of which the papers came late."""
    spoilt = rows.loc[rows["rule"] != "", "visit"]
    again = rows.loc[(rows["year"] >= LATE_FROM) & (rows["kind"] == "again"), "visit"]
    return np.asarray(np.sort(rng.permutation(np.setdiff1d(again, spoilt))[:LATE]), dtype=np.int64)


def write(rows: pd.DataFrame, to: Path, refs: Texts, rng: np.random.RandomState) -> list[pd.DataFrame]:
    """The first firm's files, one a year, one twice and one of late returns; returns the truth about their rows."""
    rows = rows.assign(year=rows["day"].dt.year)
    stamp = rows["day"].dt.strftime("%d/%m/%Y")
    rows["date"] = np.where(rows["date"] == "", stamp, rows["date"])
    mark_alike(rows, list(PLAIN.values()))
    late = _late(rows, rng)
    is_late = rows["visit"].isin(late).to_numpy()
    truths = []
    for year in np.unique(rows["year"]):
        part = rows[(rows["year"] == year).to_numpy() & ~is_late].reset_index(drop=True)
        part = with_blank_lines(part, 10**9 if year % 2 else 700)
        headings = [VARIED.get(int(year), {}).get(heading, heading) for heading in PLAIN]
        truths += _write_file(part, headings, f"registers/tarnbrake_{year}.csv", to, refs)
        if year == COPIED_YEAR:
            again = part.assign(rule="file_handed_in_twice")
            truths += _write_file(again, headings, f"registers/tarnbrake_{year}_resent.csv", to, refs)
    part = rows[is_late].reset_index(drop=True)
    month_first = part["visit"].isin(late[::2]).to_numpy()
    part["date"] = np.where(month_first, part["day"].dt.strftime("%m/%d/%Y"), part["date"])
    either = part["day"].dt.day <= MONTHS_A_YEAR
    part["means_day"] = np.where(either, part["means_day"] + "|", part["means_day"])
    part["rule"] = "mixed_date_orders"
    return truths + _write_file(part, list(PLAIN), "registers/tarnbrake_late_returns.csv", to, refs)


def _write_file(part: pd.DataFrame, headings: list[str], path: str, to: Path, refs: Texts) -> list[pd.DataFrame]:
    """One csv file of the first firm; returns the truth about its headings and rows."""
    table = part[list(PLAIN.values())].set_axis(headings, axis=1)
    text = table.to_csv(index=False, lineterminator="\n")
    (to / path).write_text(text.replace(STRAY_QUOTE, '"'), encoding="utf-8", newline="")
    odd = [heading for heading in headings if heading in MISSPELT]
    told = pd.DataFrame({"path": path, "sheet": "", "row_number": 1, "rule": ["misspelt_heading"] * len(odd)})
    return [told, truth_of(path, "", part, 2, refs)]
