"""Lines of two cells above items: a home, and the day of the visit or a remark. The homes are invented."""

import pytest

from pipelines.register.contents import Contents
from pipelines.register.home_lines import Sheet
from pipelines.register.home_remarks import home_and_remark
from pipelines.register.lines import Thin, _line
from pipelines.register.reader import Reader

TERMS = {
    "place": {"loft": "loft", "kitchen": "kitchen", "high level cupboard": "cupboard"},
    "product": {"aib": "insulating_board"},
    "identification": {"no access": "no_access"},
}
STOCK = {"street": frozenset({"larkspur gardens", "high street", "elm cottage"})}
COLUMNS = ("room", "product", "extent", "identification")


@pytest.fixture
def sheet() -> Sheet:
    reader = Reader("registers", {}, {}, Contents(TERMS, STOCK), 0.8, 0.5, 3)
    return Sheet("registers/a.xlsx", None, reader, fields=COLUMNS)


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (["8 Larkspur Gdns", "2.6.09"], "8 Larkspur Gdns|2.6.09"),
        (["8 Larkspur Gdns", "2009-06-02"], "8 Larkspur Gdns|2009-06-02"),
        (["8 Larkspur Gdns", "Tues 2 June 2009"], "8 Larkspur Gdns|2 June 2009"),
        (["8 Larkspur Gdns", "void, visited 14.5.09"], "8 Larkspur Gdns|14.5.09"),
        (["Elm Cottage", "20.3.12 before kitchen refit"], "Elm Cottage|20.3.12"),
        (["Elm Cottage", "tenant out"], "Elm Cottage|"),
        (["8 Larkspur Gdns", "sold 14.5.09"], "8 Larkspur Gdns|"),
        (["8 Larkspur Gdns", "last visited 14.5.09"], "8 Larkspur Gdns|"),
        (["8 Larkspur Gdns", "not visited 14.5.09"], "8 Larkspur Gdns|"),
        (["8 Larkspur Gdns", "Kitchen"], "|"),
        (["8 Larkspur Gdns", "AIB panel"], "|"),
        (["2 high level cupboard doors", "painted over"], "|"),
        (["Loft", "2.6.09"], "|"),
        (["8 Larkspur Gdns", "2.6.09", "AIB"], "|"),
    ],
)
def test_a_home_stands_beside_the_day_of_the_visit_or_a_remark(cells: list[str], said: str, sheet: Sheet) -> None:
    heard = home_and_remark(sheet, cells)
    assert "|".join(heard.get(name, "") for name in ("address", "surveyed_on")) == said


def test_a_row_of_a_table_that_names_its_homes_is_no_such_line(sheet: Sheet) -> None:
    sheet.fields = ("address", "surveyed_on", "product")
    assert home_and_remark(sheet, ["8 Larkspur Gdns", "2.6.09"]) == {}


def test_a_flat_of_the_block_above_stands_beside_its_day_alone(sheet: Sheet) -> None:
    sheet.hear({"address": "Elm Court"})
    assert home_and_remark(sheet, ["Flat 3", "2.6.09"])["address"] == "Flat 3, Elm Court"
    assert home_and_remark(sheet, ["Flat 3", "ask again"]) == {}


def test_nobody_in_beside_a_home_is_what_came_of_the_visit_to_it(sheet: Sheet) -> None:
    line, _, names, _, _ = _line(sheet, Thin(["8 Larkspur Gdns", "2.6.09 no access", "", ""], COLUMNS, None, ()))
    assert (line, names["address"], names["surveyed_on"]) == ("item", "8 Larkspur Gdns", "2.6.09")
    line, *_ = _line(sheet, Thin(["10 Larkspur Gdns", "2.6.09", "", ""], COLUMNS, None, ()))
    assert line == "layout"
