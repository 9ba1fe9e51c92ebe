"""The second firm's workbooks: a sheet for each area, title rows, a heading of two rows with merged group labels.

A home's reference, address, date, survey type and surveyor stand on its first row only; totals rows count items.
"""

import csv
import datetime as dt
from pathlib import Path

import land
import numpy as np
import pandas as pd
import xlsxwriter
from draw import Texts
from registers import mark_alike, truth_of, with_blank_lines
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

GROUPS = (
    ("Property", ("Ref", "Address")),
    ("Survey", ("Date", "Type", "By")),
    ("Item", ("Room", "Product", "Quantity", "Condition", "Surface", "Result", "Fibre", "Sample")),
    ("Material assessment", ("A", "B", "C", "D", "Total")),
    ("", ("Action", "Notes")),
)
"""The two heading rows of the second firm."""
HEADINGS = [heading for _, headings in GROUPS for heading in headings]
CELLS = [
    "ref",
    "address",
    "date",
    "survey",
    "initials",
    "room",
    "product",
    "quantity",
    "condition",
    "surface",
    "status",
    "types",
    "sample",
    "s_pt",
    "s_damage",
    "s_st",
    "s_at",
    "s_total",
    "action",
    "comment",
]
FIGURES = {CELLS.index(name) for name in ("quantity", "s_pt", "s_damage", "s_st", "s_at", "s_total")}
WHEN = CELLS.index("date")
WIDTHS = [11, 44, 11, 14, 7, 30, 28, 12, 13, 13, 18, 24, 13, 4, 4, 4, 4, 6, 20, 44]
BOOKS = {year: f"{year - (year + 1) % 2}-{year + year % 2}" for year in range(2021, 2027)}
TITLES = {"2021-2022": 3, "2023-2024": 2, "2025-2026": 4}
"""Title rows above the heading, by workbook."""
TOTALS_PER_HOME = "2023-2024"
"""The workbook with a totals row beneath each home; the others have one at the foot of each sheet."""
SHEET_COPIED_IN, ROWS_COPIED = "2021-2022", 30
"""The workbook in which somebody has copied a sheet; about how long that is."""
CREATED = dt.datetime(2026, 9, 30, 9, 0, 0)


def _home_totals(rows: pd.DataFrame, per_home: bool) -> pd.DataFrame:
    """Rows with a totals row after each home, or one at the foot."""
    last = ~rows["visit"].duplicated(keep="last") if per_home else pd.Series(rows.index == rows.index[-1])
    block = rows["visit"] if per_home else pd.Series(0, index=rows.index)
    counts = rows.groupby(block)["visit"].transform("size")[last.to_numpy()]
    totals = pd.DataFrame("", index=rows.index[last.to_numpy()], columns=rows.columns)
    totals = totals.assign(
        address="" if per_home else "Total items",
        room="Total items" if per_home else "",
        quantity=counts.astype(str),
        rule="totals_row",
        home=-1,
    )
    return pd.concat([rows, totals]).sort_index(kind="stable").reset_index(drop=True)


def _sheet_rows(rows: pd.DataFrame, book: str) -> pd.DataFrame:
    """One sheet's rows as the second firm sets them out: identity and survey on a home's first row only."""
    rows = rows.reset_index(drop=True)
    joint = np.where(rows["unit"] == "nr", " ", np.where(rows["unit"] == "no.", "", " "))
    rows["quantity"] = (rows["extent"] + joint + rows["unit"]).str.strip()
    stamp = rows["day"].dt.strftime("%Y-%m-%d")
    rows["date"] = np.where(rows["date"] == "", stamp, rows["date"])
    mark_alike(rows, CELLS)
    later = rows["visit"].duplicated()
    rows.loc[later, ["ref", "address", "date", "survey", "initials"]] = ""
    rows = _home_totals(rows, book == TOTALS_PER_HOME)
    return with_blank_lines(rows, 150 if book == "2025-2026" else 10**9)


def _titles(book: str, area: str) -> list[str]:
    """Title rows above the heading."""
    lines = [
        "Umberlow Inspection",
        f"Asbestos register: {area}",
        f"For Merrowhythe Homes, surveys {book}",
        "",
    ]
    return lines[: TITLES[book]]


def _write_heading(sheet: Worksheet, top: int, bold: Format) -> None:
    """The two heading rows, group labels merged over their columns."""
    left = 0
    for label, headings in GROUPS:
        if label:
            sheet.merge_range(top, left, top, left + len(headings) - 1, label, bold)
        for number, heading in enumerate(headings):
            sheet.write_string(top + 1, left + number, heading, bold)
        left += len(headings)


def _write_cell(sheet: Worksheet, down: int, across: int, cell: str, day: Format) -> None:
    """A whole number or a date as such, everything else as text."""
    if across in FIGURES and cell.isdigit():
        sheet.write_number(down, across, int(cell))
    elif across == WHEN and cell[4:5] == "-":
        sheet.write_datetime(down, across, dt.datetime.fromisoformat(cell), day)
    else:
        sheet.write_string(down, across, cell)


def _write_sheet(book: xlsxwriter.Workbook, name: str, titles: list[str], grid: list[list[str]]) -> None:
    """One worksheet: titles, heading, then the cells."""
    sheet = book.add_worksheet(name)
    bold, day = book.add_format({"bold": True}), book.add_format({"num_format": "dd/mm/yyyy"})
    for number, width in enumerate(WIDTHS):
        sheet.set_column(number, number, width)
    for number, title in enumerate(titles):
        sheet.write_string(number, 0, title, bold)
    _write_heading(sheet, len(titles), bold)
    for down, line in enumerate(grid, start=len(titles) + 2):
        for across, cell in enumerate(line):
            if cell != "":
                _write_cell(sheet, down, across, cell, day)


def _write_csv(path: Path, titles: list[str], grid: list[list[str]]) -> None:
    """The same sheet as csv, merged labels in the first cell of their group."""
    labels = [text for label, headings in GROUPS for text in [label] + [""] * (len(headings) - 1)]
    blanks = [""] * (len(HEADINGS) - 1)
    with path.open("w", newline="", encoding="utf-8") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerows([[title, *blanks] for title in titles])
        writer.writerows([labels, HEADINGS])
        writer.writerows(grid)


def _sheets(rows: pd.DataFrame, book: str, area_of: Texts) -> list[tuple[str, str, pd.DataFrame]]:
    """Sheet name, area and rows of each sheet of a workbook; in one of them a small sheet stands twice."""
    found = [(area, area, _sheet_rows(rows[area_of == area], book)) for area in land.AREAS if (area_of == area).any()]
    if book == SHEET_COPIED_IN:
        name, area, part = min(found, key=lambda sheet: abs(len(sheet[2]) - ROWS_COPIED))
        found.append((f"{name} (2)", area, part.assign(rule="sheet_copied")))
    return found


def write(rows: pd.DataFrame, to: Path, refs: Texts, areas: Texts, plain: bool) -> list[pd.DataFrame]:
    """The second firm's workbooks, or a csv file for each sheet; returns the truth about their rows."""
    book_of = rows["day"].dt.year.map(BOOKS).to_numpy()
    area_of = areas[rows["home"].to_numpy()]
    truths = []
    for name in np.unique(book_of):
        book = None if plain else xlsxwriter.Workbook(str(to / f"registers/umberlow_{name}.xlsx"))
        if book is not None:
            book.set_properties({"created": CREATED, "author": "Umberlow Inspection"})
        for label, area, part in _sheets(rows[book_of == name], name, area_of[book_of == name]):
            titles = _titles(name, area)
            grid = part[CELLS].astype(object).to_numpy().tolist()
            stem = f"registers/umberlow_{name}"
            path, sheet = (f"{stem}_{label.replace(' ', '_')}.csv", "") if plain else (f"{stem}.xlsx", label)
            if book is None:
                _write_csv(to / path, titles, grid)
            else:
                _write_sheet(book, label, titles, grid)
            truths.append(truth_of(path, sheet, part, len(titles) + 3, refs))
        if book is not None:
            book.close()
    return truths
