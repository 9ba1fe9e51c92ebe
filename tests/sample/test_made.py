"""The kept sample is what the generator makes, and its truth speaks of rows that exist."""

import ast
import csv
import io
import re
import subprocess
import sys
from collections import Counter
from functools import cache
from pathlib import Path

import pytest
import python_calamine

SAMPLE = Path(__file__).parents[2] / "sample_data"
KINDS = ("chrysotile", "amosite", "crocidolite")
STRAY_QUOTE = '"6 inch flue'
"""Planted: a quotation mark that nothing closes."""
SCORES_AT = {".csv": (15, 19), ".xlsx": (13, 17)}
"""Columns of the four sub-scores and the stated total, by kind of register."""


def _make(to: Path, *options: str) -> Path:
    subprocess.run([sys.executable, str(SAMPLE / "make.py"), "--to", str(to), *options], check=True)
    return to


def _files(folder: Path) -> list[str]:
    kept = [path for part in ("portfolio", "truth") for path in (folder / part).rglob("*") if path.is_file()]
    return sorted(path.relative_to(folder).as_posix() for path in kept)


def _cells(path: Path) -> dict[str, list[list[str]]]:
    """The cells of a file as text, by sheet."""
    if path.suffix == ".csv":
        third = path.name.startswith("corbelhythe")
        text = path.read_bytes().decode("cp1252" if third else "utf-8").replace(STRAY_QUOTE, STRAY_QUOTE.lstrip('"'))
        return {"": list(csv.reader(io.StringIO(text, newline=""), delimiter=";" if third else ","))}
    book = python_calamine.CalamineWorkbook.from_path(str(path))
    grids = {name: book.get_sheet_by_name(name).to_python(skip_empty_area=False) for name in book.sheet_names}
    return {
        name: [[f"{cell:g}" if isinstance(cell, float) else str(cell) for cell in row] for row in grid]
        for name, grid in grids.items()
    }


def _same(a: Path, b: Path) -> bool:
    if a.suffix == ".xlsx":
        return _cells(a) == _cells(b)
    return a.read_bytes() == b.read_bytes()


@cache
def _truth_rows() -> list[dict[str, str]]:
    with (SAMPLE / "truth" / "rows.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


@cache
def _kept() -> dict[tuple[str, str], list[list[str]]]:
    """Cells of every stock and register file of the kept sample, by path and sheet."""
    folder = SAMPLE / "portfolio"
    paths = [path for part in ("stock", "registers") for path in sorted((folder / part).iterdir())]
    return {
        (path.relative_to(folder).as_posix(), sheet): grid for path in paths for sheet, grid in _cells(path).items()
    }


def _planted(rule: str) -> list[tuple[str, list[str], list[str]]]:
    """Kind of file, cells of the row, and cells of the row above, for each row with the rule."""
    found = []
    for row in _truth_rows():
        if rule in row["rule"].split(";"):
            grid, at = _kept()[row["path"], row["sheet"]], int(row["row_number"]) - 1
            found.append((Path(row["path"]).suffix, grid[at], grid[at - 1]))
    assert found
    return found


def _stock_rows(name: str) -> list[dict[str, str]]:
    with (SAMPLE / "portfolio" / "stock" / f"{name}.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def test_the_kept_sample_is_what_the_generator_makes(tmp_path: Path) -> None:
    made = _make(tmp_path)
    assert _files(made) == _files(SAMPLE)
    assert [name for name in _files(made) if not _same(made / name, SAMPLE / name)] == []


def test_a_seed_gives_the_same_bytes_and_another_seed_gives_others(tmp_path: Path) -> None:
    one, two, other = (
        _make(tmp_path / name, "--size", "150", "--seed", seed)
        for name, seed in (("one", "5"), ("two", "5"), ("other", "6"))
    )
    names = [name for name in _files(one) if name.endswith((".csv", ".xlsx", ".geojson"))]
    assert [name for name in names if (one / name).read_bytes() != (two / name).read_bytes()] == []
    shared = [name for name in names if (other / name).exists() and not name.endswith("areas.geojson")]
    assert len(shared) > 5
    assert [name for name in shared if (one / name).read_bytes() == (other / name).read_bytes()] == []


def test_the_smallest_size_works_and_plain_writes_no_workbook(tmp_path: Path) -> None:
    made = _make(tmp_path, "--size", "60", "--plain")
    registers = list((made / "portfolio" / "registers").iterdir())
    assert {path.suffix for path in registers} == {".csv"}
    assert {path.name.split("_")[0] for path in registers} == {"tarnbrake", "umberlow", "corbelhythe"}


def test_the_generator_imports_only_numpy_pandas_xlsxwriter_and_itself() -> None:
    own = {path.stem for path in SAMPLE.glob("*.py")}
    allowed = own | {"numpy", "pandas", "xlsxwriter"} | set(sys.stdlib_module_names)
    used = set()
    for path in SAMPLE.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                used |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom):
                assert node.level == 0
                used.add(str(node.module).split(".")[0])
    assert "numpy" in used
    assert used <= allowed


def test_every_register_row_below_the_heading_has_its_truth() -> None:
    told = Counter((row["path"], row["sheet"]) for row in _truth_rows() if row["rule"] != "misspelt_heading")
    for (path, sheet), grid in _kept().items():
        if path.startswith("registers/"):
            top = next(number for number, row in enumerate(grid) if {"Address", "Dwelling address"} & set(row))
            assert told[path, sheet] == len(grid) - top - 1


def test_the_truth_speaks_of_rows_and_items_that_exist() -> None:
    with (SAMPLE / "truth" / "homes.csv").open(encoding="utf-8", newline="") as handle:
        items = {row["item_id"]: row["property_ref"] for row in csv.DictReader(handle)}
    for row in _truth_rows():
        assert 1 <= int(row["row_number"]) <= len(_kept()[row["path"], row["sheet"]])
        if row["item_id"]:
            assert items[row["item_id"]] == row["property_ref"]


def test_planted_layout_rows_are_where_the_truth_says() -> None:
    assert all("".join(row) == "" for _, row, _ in _planted("blank_line"))
    assert all("Total items" in row for _, row, _ in _planted("totals_row"))
    assert all(row == above for _, row, above in _planted("exact_duplicate"))
    assert all({'"', "ditto"} & set(row) for _, row, _ in _planted("ditto_mark"))


def test_planted_scores_are_what_the_truth_says() -> None:
    for kind, row, _ in _planted("wrong_total"):
        first, total = SCORES_AT[kind]
        assert sum(int(cell) for cell in row[first : first + 4]) != int(row[total])
    for kind, row, _ in _planted("missing_sub_score"):
        first, total = SCORES_AT[kind]
        assert row[first : first + 4].count("") == 1
        assert row[total]
    for kind, row, _ in _planted("impossible_sub_score"):
        first, _ = SCORES_AT[kind]
        assert {"7", "9"} & set(row[first : first + 4])
    for kind, row, _ in _planted("zero_scores_on_negative"):
        first, total = SCORES_AT[kind]
        assert {*row[first : first + 4], row[total]} == {"0"}


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        ("hostile_formula", "=1+1"),
        ("hostile_markup", "<script>"),
        ("hostile_markdown", "](http://example.invalid)"),
        ("hostile_sql", "'; drop table"),
        ("hostile_line_break", "First line\nsecond line"),
        ("presumed_with_sample", "ample"),
        ("removed_seen_again", "Removed"),
        ("columns_shifted", "Tarnbrake"),
        ("stray_quote", "6 inch flue"),
        ("wrong_risk_band", "High"),
        ("act_now_fire", "Fire damage"),
        ("act_now_flood", "Flooded"),
        ("act_now_debris", "AIB debris"),
    ],
)
def test_planted_text_is_where_the_truth_says(rule: str, text: str) -> None:
    assert all(any(text in cell for cell in row) for _, row, _ in _planted(rule))


def test_what_is_handed_in_twice_is_the_same_cells() -> None:
    kept = _kept()
    assert kept["registers/tarnbrake_2021.csv", ""] == kept["registers/tarnbrake_2021_resent.csv", ""]
    path, name = next((path, name) for path, name in kept if name.endswith(" (2)"))
    assert kept[path, name] == kept[path, name.removesuffix(" (2)")]


def test_the_third_firm_writes_as_another_country_does() -> None:
    one, two = (SAMPLE / f"portfolio/registers/corbelhythe_{part}.csv" for part in ("to_2024", "from_2025"))
    for path, date in ((one, r"\d\d\.\d\d\.20\d\d"), (two, r"\d{1,2} [A-Z][a-z]+ 20\d\d")):
        raw, (heading, *rows) = path.read_bytes(), _cells(path)[""]
        assert b"m\xb2" in raw and b"\r\n" in raw
        dates = [row[heading.index("Inspection date")] for row in rows]
        assert sum(re.fullmatch(date, cell) is not None for cell in dates) > 0.9 * len(dates)
        assert sum("," in row[heading.index("Amount")] for row in rows) > 0.2 * len(rows)
        assert not any(cell.isdigit() for row in rows for cell in row[heading.index("State of material") :][:3])


def test_samples_stand_where_the_truth_says() -> None:
    with (SAMPLE / "truth" / "samples.csv").open(encoding="utf-8", newline="") as handle:
        told = list(csv.DictReader(handle))
    grids = {path.name: _cells(path) for path in (SAMPLE / "portfolio" / "samples").iterdir()}
    for row in told:
        cells = grids[Path(row["path"]).name][row["sheet"]][int(row["row_number"]) - 1]
        assert row["sample_ref"] in cells
        found = {kind for kind in KINDS if any(kind in cell.lower() for cell in cells)}
        assert found == set(row["asbestos_types"].split("+")) - {""}
    assert len(told) == sum(len(grid) for sheets in grids.values() for grid in sheets.values()) - sum(
        len(grid[: _top(grid) + 1]) for sheets in grids.values() for grid in sheets.values()
    )


def _top(grid: list[list[str]]) -> int:
    """Position of the heading row; of the last row where there is none."""
    return next((number for number, row in enumerate(grid) if any("Sample" in cell for cell in row)), len(grid) - 1)


def test_planted_stock_rows_are_what_the_truth_says() -> None:
    assert all(row[0] == "" for _, row, _ in _planted("empty_reference"))
    assert all(row[0] == above[0] for _, row, above in _planted("repeated_reference"))
    assert all(int(row[1]) > 999_999_999_999 for _, row, _ in _planted("impossible_uprn"))
    assert all(row[4] == "" for _, row, _ in _planted("blank_area"))
    assert all(row[7] == "" for _, row, _ in _planted("blank_year"))
    assert all(row[11] == row[12] == "" for _, row, _ in _planted("no_coordinates"))
    assert all(row[4] not in row[2] for _, row, _ in _planted("area_disagrees"))
    assert all(int(row[13]) > int(row[7]) for _, row, _ in _planted("oldest_part_after_year_built"))
    assert all(row[16] == "99" for _, row, _ in _planted("impossible_occupants"))


@pytest.mark.parametrize(
    ("heading", "truth"),
    [
        ("## What is planted\n", "rows"),
        ("## What is odd about the samples\n", "samples"),
        ("## What is planted in the repair history\n", "jobs"),
    ],
)
def test_the_readme_counts_every_planted_kind(heading: str, truth: str) -> None:
    with (SAMPLE / "truth" / f"{truth}.csv").open(encoding="utf-8", newline="") as handle:
        counts = Counter(rule for row in csv.DictReader(handle) for rule in row["rule"].split(";") if rule)
    part = (SAMPLE / "README.md").read_text(encoding="utf-8").split(heading)[1].split("\n## ")[0]
    cells = [[cell.strip() for cell in line.split("|")[1:-1]] for line in part.splitlines() if line.startswith("| `")]
    assert {rule.strip("`"): int(number) for rule, number, _ in cells} == counts


def test_the_later_columns_of_the_stock_list() -> None:
    rows = [row for name in ("homes", "garages_and_offices") for row in _stock_rows(name)]
    assert {row["Construction"] for row in rows} == {"Traditional", "System built", ""}
    dated = [row for row in rows if row["Construction"] == "System built" and row["Year Built"]]
    assert all(1945 <= int(row["Year Built"]) <= 1975 for row in dated)
    assert {row["Occupants"] for row in rows} == {"", "99", *"12345678"}
    assert {row["Occupants"] for row in rows if row["Part"] != "home"} == {""}
    assert len({row["Tenure"] for row in rows}) > 10
    older = [row for row in rows if row["Oldest Part"] and int(row["Oldest Part"]) < int(row["Year Built"])]
    assert 5 <= len(older) <= 60
    assert any(int(row["Year Built"]) > 2000 for row in older)
    assert sum(row["Oldest Part"] == "" for row in rows) > len(rows) / 2


def test_the_sample_is_small() -> None:
    assert sum(path.stat().st_size for path in SAMPLE.rglob("*") if "__pycache__" not in path.parts) < 9_000_000
