"""The kept sample looks like the registers of a real portfolio would.

Every range below is judgement, no published source. Figures are computed from the truth and from the register
files by a reading of their own, without any of the product's code. Outside a range, look for a fault in the
generator first.
"""

import csv
import io
from collections import Counter, defaultdict
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import pytest
import python_calamine

SAMPLE = Path(__file__).parents[2] / "sample_data"

STATUS = {
    "identified": {"identified", "confirmed", "positive", "sampled", "pos", "+ve", "id", "asbestos detected"}
    | {"identified by analysis"},
    "strongly presumed": {"strongly presumed", "sp", "str. presumed", "s/p"},
    "presumed": {"presumed", "p", "pres", "assumed", "presumed asb"},
    "not detected": {"nad", "nadis", "none detected", "negative", "neg", "-ve", "no asbestos detected"},
    "not suspect": {"non-acm", "not acm", "visually non asbestos", "nsm", "non-suspect", "not suspected"},
    "no access": {"no access", "n/a", "na", "not accessed", "locked", "no access gained"},
}
STATUS_OF = {word: status for status, words in STATUS.items() for word in words}
ACM = {"identified", "strongly presumed", "presumed"}
LICENSABLE = {"insulating_board", "thermal_insulation", "sprayed_coating", "loose_fill", "millboard"}
COLUMNS = {"tarnbrake": (12, 14, 15, 8), "umberlow": (10, 12, 13, 5), "corbelhythe": (10, 11, 22, 7)}
"""Where each firm writes status, sample, the first of four sub-scores (the third firm: nowhere) and room."""
ODD = {"columns_shifted", "cloned_home", "file_handed_in_twice", "sheet_copied"}
"""Planted rows that say nothing of the portfolio."""
WHOLE = ("Whole property", "All rooms", "Throughout", "All areas", "Whole dwelling", "Entire property")
BANDS = {
    "<1919": (0, 1918),
    "1919-44": (1919, 1944),
    "1945-54": (1945, 1954),
    "1955-64": (1955, 1964),
    "1965-74": (1965, 1974),
    "1975-80": (1975, 1980),
    "1981-85": (1981, 1985),
    "1986-92": (1986, 1992),
    "1993-99": (1993, 1999),
    "2000-15": (2000, 2015),
}
PRE_1945, PRE_2000 = ("<1919", "1919-44"), tuple(BANDS)[:9]


class Row(NamedTuple):
    """A register row as read, with what it is truly about."""

    path: str
    property_ref: str
    part: str
    band: str
    status: str
    product: str
    code: str
    true_types: str
    sample: str
    scores: tuple[int, ...]
    item: str
    whole_home: bool


def _table(name: str) -> list[dict[str, str]]:
    with (SAMPLE / "truth" / f"{name}.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


@cache
def _properties() -> dict[str, dict[str, str]]:
    """Each property with its build band added."""
    found = {}
    for row in _table("properties"):
        year = int(row["year"])
        row["band"] = next(band for band, (first, last) in BANDS.items() if first <= year <= last)
        found[row["property_ref"]] = row
    return found


def _sheets() -> list[tuple[str, str, list[list[str]], int]]:
    """Every register sheet as text: path, sheet, its rows, and the position of its heading row."""
    found = []
    for path in sorted((SAMPLE / "portfolio" / "registers").glob("*")):
        name = f"registers/{path.name}"
        if path.suffix == ".csv":
            third = path.name.startswith("corbelhythe")
            text = path.read_bytes().decode("cp1252" if third else "utf-8").replace('"6 inch', "6 inch")
            cells = csv.reader(io.StringIO(text, newline=""), delimiter=";" if third else ",")
            found.append((name, "", list(cells), 0))
            continue
        book = python_calamine.CalamineWorkbook.from_path(str(path))
        for sheet in book.sheet_names:
            grid = book.get_sheet_by_name(sheet).to_python(skip_empty_area=False)
            rows = [[f"{cell:g}" if isinstance(cell, float) else str(cell) for cell in row] for row in grid]
            found.append((name, sheet, rows, next(n for n, row in enumerate(rows) if row[0] == "Ref")))
    return found


def _scores(row: list[str], first: int) -> tuple[int, ...]:
    """The four sub-scores, or nothing when one is missing or impossible."""
    cells = row[first : first + 4]
    return tuple(int(cell) for cell in cells) if cells and all(cell in ("0", "1", "2", "3") for cell in cells) else ()


@cache
def _rows() -> list[Row]:
    """Every row of every register that says something about a place or an item."""
    truth = {(row["path"], row["sheet"], row["row_number"]): row for row in _table("rows")}
    items = {row["item_id"]: row for row in _table("homes")}
    found = []
    for path, sheet, grid, top in _sheets():
        firm = path.split("/")[1].split("_")[0]
        status_at, sample_at, scores_at, room_at = COLUMNS[firm]
        for number, row in enumerate(grid[top + 1 :], start=top + 2):
            known = truth[path, sheet, str(number)]
            if not row[status_at] or ODD & set(known["rule"].split(";")):
                continue
            item = items.get(known["item_id"], defaultdict(str))
            place = _properties()[known["property_ref"]]
            found.append(
                Row(
                    path,
                    known["property_ref"],
                    place["part"],
                    place["band"],
                    STATUS_OF[row[status_at].lower()],
                    item["product"],
                    item["contact_code"],
                    item["true_types"],
                    row[sample_at],
                    _scores(row, scores_at),
                    known["item_id"],
                    row[room_at] in WHOLE,
                )
            )
    return found


@cache
def _acm(part: str | None = None) -> list[Row]:
    return [row for row in _rows() if row.status in ACM and part in (None, row.part)]


def _surveyed(bands: tuple[str, ...]) -> set[str]:
    return {
        ref
        for ref, row in _properties().items()
        if row["surveyed_on"] and row["part"] == "home" and row["band"] in bands
    }


def _percent(part: float, whole: float) -> float:
    return 100 * part / whole


def _homes_with(bands: tuple[str, ...], rows: list[Row]) -> float:
    """Percentage of the surveyed homes of the bands that have one of the rows."""
    homes = _surveyed(bands)
    return _percent(len(homes & {row.property_ref for row in rows}), len(homes))


def _true(row: Row) -> bool:
    return row.true_types not in ("none", "")


@pytest.mark.parametrize(
    ("bands", "low", "high"),
    [  # judgement, no published source
        (PRE_1945, 60, 80),
        (("1945-54", "1955-64", "1965-74", "1975-80"), 88, 98),
        (("1981-85",), 75, 90),
        (("1986-92",), 30, 45),
        (("1993-99",), 5, 12),
        (("2000-15",), 0, 0),
    ],
)
def test_share_of_surveyed_homes_with_any_acm(bands: tuple[str, ...], low: float, high: float) -> None:
    assert low <= _homes_with(bands, _acm()) <= high


@pytest.mark.parametrize(
    ("bands", "low", "high"),
    [  # judgement, no published source
        (PRE_1945, 28, 38),
        (("1945-54", "1955-64"), 38, 48),
        (("1965-74", "1975-80"), 50, 62),
        (("1981-85",), 45, 55),
        (("1986-92",), 8, 15),
        (("1993-99",), 1, 3),
    ],
)
def test_share_of_homes_with_a_textured_coating_that_is_asbestos(
    bands: tuple[str, ...], low: float, high: float
) -> None:
    assert low <= _homes_with(bands, [row for row in _acm() if row.code == "TC" and _true(row)]) <= high


@pytest.mark.parametrize(
    ("part", "products", "low", "high"),
    [  # judgement, no published source
        ("home", {"textured_coating"}, 35, 45),
        ("home", {"asbestos_cement"}, 17, 25),
        ("home", {"floor_tile"}, 12, 18),
        ("home", {"insulating_board"}, 9, 16),
        ("common parts", {"insulating_board"}, 20, 30),
        ("home", {"thermal_insulation"}, 0, 2),
        ("home", {"sprayed_coating", "loose_fill"}, 0, 0.2),
    ],
)
def test_share_of_acm_rows_by_product(part: str, products: set[str], low: float, high: float) -> None:
    rows = _acm(part)
    assert low <= _percent(sum(row.product in products for row in rows), len(rows)) <= high


@pytest.mark.parametrize(
    ("bands", "low", "high"),
    [  # judgement, no published source
        (("1955-64",), 35, 45),
        (("1965-74",), 45, 60),
        (("1975-80",), 30, 40),
        (("1981-85",), 5, 12),
        (("1986-92", "1993-99"), 0, 3),
        (PRE_2000, 25, 33),
    ],
)
def test_share_of_homes_with_insulating_board_or_lagging(bands: tuple[str, ...], low: float, high: float) -> None:
    rows = [row for row in _acm() if row.product in ("insulating_board", "thermal_insulation") and _true(row)]
    assert low <= _homes_with(bands, rows) <= high


def test_licensable_share_of_acm_rows() -> None:  # judgement, no published source
    rows = _acm("home")
    share = _percent(sum(row.product in LICENSABLE for row in rows), len(rows))
    damaged = [row for row in _acm() if row.scores and row.scores[1] >= 1]
    assert 11 <= share <= 18
    assert share < _percent(sum(row.product in LICENSABLE for row in damaged), len(damaged)) < 25


@pytest.mark.parametrize(("least", "low", "high"), [(1, 25, 35), (2, 3, 6), (3, 0.3, 1)])  # judgement
def test_share_of_acm_rows_damaged(least: int, low: float, high: float) -> None:
    rows = [row for row in _acm() if row.scores]
    assert low <= _percent(sum(row.scores[1] >= least for row in rows), len(rows)) <= high


@pytest.mark.parametrize(
    ("first", "last", "low", "high"),
    [  # judgement, no published source
        (0, 4, 63, 78),
        (5, 6, 18, 30),
        (7, 9, 3, 8),
        (10, 12, 0, 1),
    ],
)
def test_share_of_acm_rows_in_each_material_band(first: int, last: int, low: float, high: float) -> None:
    rows = [row for row in _acm() if row.scores]
    assert low <= _percent(sum(first <= sum(row.scores) <= last for row in rows), len(rows)) <= high


def _first_own_samples() -> list[Row]:
    """One row for each sample taken (numbers of cross-references start with a word)."""
    seen = {row.sample: row for row in reversed(_rows()) if row.sample and row.sample.startswith(("S", "UI/", "CH-"))}
    return list(seen.values())


def test_share_of_samples_without_asbestos() -> None:  # judgement, no published source
    samples = _first_own_samples()
    assert len(samples) > 1_500
    assert 45 <= _percent(sum(row.status == "not detected" for row in samples), len(samples)) <= 60


@pytest.mark.parametrize(
    ("product", "bands", "low", "high"),
    [  # judgement, no published source
        ("textured_coating", ("1955-64", "1965-74", "1975-80", "1981-85"), 50, 60),
        ("asbestos_cement", PRE_2000, 85, 100),
        ("insulating_board", PRE_2000, 55, 70),
    ],
)
def test_share_of_samples_with_asbestos(product: str, bands: tuple[str, ...], low: float, high: float) -> None:
    samples = [row for row in _first_own_samples() if row.product == product and row.band in bands]
    assert low <= _percent(sum(row.status != "not detected" for row in samples), len(samples)) <= high


def test_evidence_behind_acm_rows() -> None:  # judgement, no published source
    counts = Counter(row.status for row in _acm())
    shares = {status: _percent(count, counts.total()) for status, count in counts.items()}
    assert 30 <= shares["identified"] <= 45
    assert 30 <= shares["strongly presumed"] <= 45
    assert 15 <= shares["presumed"] <= 30


def test_some_presumptions_are_wrong_and_no_analysis_is() -> None:
    wrong = Counter(row.status for row in _acm() if not _true(row))
    assert wrong["presumed"] > 50
    assert wrong["identified"] == 0


def test_no_access() -> None:  # judgement, no published source
    rows = _rows()
    shut = [row for row in rows if row.status == "no access"]
    homes = _surveyed(tuple(BANDS))
    assert 3 <= _percent(len(shut), len(rows)) <= 8
    assert 40 <= _percent(len(homes & {row.property_ref for row in shut if not row.whole_home}), len(homes)) <= 65
    failed = sum(row.whole_home for row in shut)
    assert 10 <= _percent(failed, failed + len(homes)) <= 20


def test_asbestos_types_of_positives() -> None:  # judgement, no published source
    types = [row.true_types for row in _acm() if _true(row) and row.status != "presumed"]
    assert 75 <= _percent(sum(kind == "chrysotile" for kind in types), len(types)) <= 85
    assert 12 <= _percent(sum("amosite" in kind for kind in types), len(types)) <= 22
    assert 2 <= _percent(sum("crocidolite" in kind for kind in types), len(types)) <= 4


def test_repeat_visits_mostly_agree_on_damage() -> None:  # judgement, no published source
    visits: dict[str, list[int]] = defaultdict(list)
    for row in _acm():
        if row.scores and row.item:
            visits[row.item].append(row.scores[1])
    pairs = [pair for seen in visits.values() for pair in pairwise(seen)]
    assert len(pairs) > 1_000
    assert 75 <= _percent(sum(a == b for a, b in pairs), len(pairs)) <= 85


def test_about_two_fifths_of_homes_were_never_surveyed() -> None:
    homes = [row for row in _properties().values() if row["part"] == "home"]
    assert 35 <= _percent(sum(not row["surveyed_on"] for row in homes), len(homes)) <= 45
