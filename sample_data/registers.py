"""The three firms' layouts, and the writing of their files.

The first firm keeps one plain csv a year, a row an item. The second fills workbooks with a sheet for each
area: title rows, a heading of two rows with merged group labels, identity cells on a home's first row only,
totals rows. The third keeps text files as a spreadsheet of another country would: semicolons, decimal commas, cp1252.
"""

import csv
import datetime as dt
from pathlib import Path

import land
import numpy as np
import pandas as pd
import xlsxwriter
from draw import Ints, Texts
from meaning import FIELDS
from mess import STRAY_QUOTE
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

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


def _mark_alike(rows: pd.DataFrame, cells: list[str]) -> None:
    """Marks rows whose cells are those of an earlier row of the visit, though another material is meant."""
    alike = rows.duplicated(["visit", *cells]) & ~rows["rule"].str.contains("exact_duplicate")
    rows.loc[alike, "rule"] = (rows.loc[alike, "rule"] + ";written_alike").str.removeprefix(";")


def _with_blank_lines(rows: pd.DataFrame, every: int) -> pd.DataFrame:
    """Rows with an empty line put in after each `every` of them."""
    if len(rows) <= every:
        return rows
    at = np.arange(every - 1, len(rows) - 1, every)[:3]
    blank = pd.DataFrame("", index=rows.index[at], columns=rows.columns).assign(rule="blank_line", home=-1)
    return pd.concat([rows, blank]).sort_index(kind="stable").reset_index(drop=True)


def _truth(path: str, sheet: str, rows: pd.DataFrame, first_row: int, refs: Texts) -> pd.DataFrame:
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


def _late(rows: pd.DataFrame, rng: np.random.RandomState) -> Ints:
    """Re-inspections of which the papers came late."""
    spoilt = rows.loc[rows["rule"] != "", "visit"]
    again = rows.loc[(rows["year"] >= LATE_FROM) & (rows["kind"] == "again"), "visit"]
    return np.asarray(np.sort(rng.permutation(np.setdiff1d(again, spoilt))[:LATE]), dtype=np.int64)


def write_plain(rows: pd.DataFrame, to: Path, refs: Texts, rng: np.random.RandomState) -> list[pd.DataFrame]:
    """The first firm's files, one a year, one twice and one of late returns; returns the truth about their rows."""
    rows = rows.assign(year=rows["day"].dt.year)
    stamp = rows["day"].dt.strftime("%d/%m/%Y")
    rows["date"] = np.where(rows["date"] == "", stamp, rows["date"])
    _mark_alike(rows, list(PLAIN.values()))
    late = _late(rows, rng)
    is_late = rows["visit"].isin(late).to_numpy()
    truths = []
    for year in np.unique(rows["year"]):
        part = rows[(rows["year"] == year).to_numpy() & ~is_late].reset_index(drop=True)
        part = _with_blank_lines(part, 10**9 if year % 2 else 700)
        headings = [VARIED.get(int(year), {}).get(heading, heading) for heading in PLAIN]
        truths += _write_plain_file(part, headings, f"registers/tarnbrake_{year}.csv", to, refs)
        if year == COPIED_YEAR:
            again = part.assign(rule="file_handed_in_twice")
            truths += _write_plain_file(again, headings, f"registers/tarnbrake_{year}_resent.csv", to, refs)
    part = rows[is_late].reset_index(drop=True)
    month_first = part["visit"].isin(late[::2]).to_numpy()
    part["date"] = np.where(month_first, part["day"].dt.strftime("%m/%d/%Y"), part["date"])
    either = part["day"].dt.day <= MONTHS_A_YEAR
    part["means_day"] = np.where(either, part["means_day"] + "|", part["means_day"])
    part["rule"] = "mixed_date_orders"
    return truths + _write_plain_file(part, list(PLAIN), "registers/tarnbrake_late_returns.csv", to, refs)


def _write_plain_file(part: pd.DataFrame, headings: list[str], path: str, to: Path, refs: Texts) -> list[pd.DataFrame]:
    """One csv file of the first firm; returns the truth about its headings and rows."""
    table = part[list(PLAIN.values())].set_axis(headings, axis=1)
    text = table.to_csv(index=False, lineterminator="\n")
    (to / path).write_text(text.replace(STRAY_QUOTE, '"'), encoding="utf-8", newline="")
    odd = [heading for heading in headings if heading in MISSPELT]
    told = pd.DataFrame({"path": path, "sheet": "", "row_number": 1, "rule": ["misspelt_heading"] * len(odd)})
    return [told, _truth(path, "", part, 2, refs)]


def _third_dates(rows: pd.DataFrame) -> Texts:
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


def write_third(rows: pd.DataFrame, to: Path, refs: Texts) -> list[pd.DataFrame]:
    """The third firm's files, one for each way to write dates; returns the truth about their rows."""
    rows = rows.assign(date=np.where(rows["date"] == "", _third_dates(rows), rows["date"]))
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
        truths.append(_truth(path, "", part, 2, refs))
    return truths


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
    _mark_alike(rows, CELLS)
    later = rows["visit"].duplicated()
    rows.loc[later, ["ref", "address", "date", "survey", "initials"]] = ""
    rows = _home_totals(rows, book == TOTALS_PER_HOME)
    return _with_blank_lines(rows, 150 if book == "2025-2026" else 10**9)


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


def write_books(rows: pd.DataFrame, to: Path, refs: Texts, areas: Texts, plain: bool) -> list[pd.DataFrame]:
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
            truths.append(_truth(path, sheet, part, len(titles) + 3, refs))
        if book is not None:
            book.close()
    return truths
