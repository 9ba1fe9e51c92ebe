"""Homes listed with another home's findings were not surveyed; neighbours built alike were. No source: judgement."""

from pathlib import Path

from tests import portfolios

STOCK: tuple[portfolios.Row, ...] = tuple(
    {"Property Ref": f"H{n}", "Address": f"{n} Elm Road, Alder", "Post Code": "ZZ1 1AA"} for n in range(1, 31)
)
ROOMS = ("Kitchen", "Hall", "Bath", "Loft", "Garage", "Porch")


def visit(home: int, n_rows: int, **cells: str) -> list[portfolios.Row]:
    """Rows about as many rooms of a home."""
    usual = {
        "Property Ref": f"H{home}",
        "Extent": "4",
        "Unit": "m2",
        "Status": "Presumed",
        "Sample Ref": "",
        "Notes": "",
    }
    return [
        portfolios.row(Location=room)
        | usual
        | {"Extent": str(at + 3)}
        | {k.replace("_", " "): v for k, v in cells.items()}
        for at, room in enumerate(ROOMS[:n_rows])
    ]


def sampled(home: int, prefix: str, n_rows: int = 3) -> list[portfolios.Row]:
    rows = visit(home, n_rows, Status="Identified", Extent="")
    return [row | {"Sample Ref": f"{prefix}{at}"} for at, row in enumerate(rows)]


def cloned(folder: Path, *registers: list[portfolios.Row]) -> list[tuple[str, str]]:
    """Homes whose entries are flagged as another home's, with the reason."""
    files = {f"register_{at}.csv": rows for at, rows in enumerate(registers)}
    result = portfolios.read(portfolios.write(folder, files, STOCK))
    flagged = portfolios.ask(
        result,
        "select distinct e.property_ref, d.reason from doubts as d inner join entries as e "
        "on d.path = e.path and d.row_number = e.row_number where d.reason like '%not surveyed%' order by 1",
    )
    return [(ref, reason.split("'s")[0].rpartition(" ")[2]) for ref, reason in flagged]


def test_the_same_measured_rows_on_one_day_are_a_clone(tmp_path: Path) -> None:
    assert cloned(tmp_path, [*visit(1, 5), *visit(2, 5), *visit(3, 4)]) == [("H2", "H1")]


def test_the_same_samples_are_a_clone(tmp_path: Path) -> None:
    assert cloned(tmp_path, [*sampled(1, "T"), *sampled(2, "T")]) == [("H2", "H1")]


def test_rows_that_say_so_are_a_clone(tmp_path: Path) -> None:
    rows = [*visit(1, 3), *visit(4, 1, Notes="As 1 Elm Road"), *visit(5, 1, Location="Same as no. 1")]
    rows += [*visit(6, 2, Notes="cloned from number 99"), *visit(7, 1, Notes="as per no 1, no access")]
    assert cloned(tmp_path, rows) == [("H4", "H1"), ("H5", "H1"), ("H6", "home"), ("H7", "H1")]


def test_neighbours_alike_are_no_clones(tmp_path: Path) -> None:
    negative = dict(Status="No asbestos detected", Extent="")
    few = [*visit(1, 4), *visit(2, 4)]
    negatives = [*visit(3, 6, **negative), *visit(4, 6, **negative)]
    other_day = [*visit(5, 5), *visit(6, 5, Survey_Date="2025-03-02")]
    third = {"Survey_Date": "2025-03-03"}
    one_differs = [*visit(7, 5, **third), *visit(8, 4, **third), visit(8, 5, **third)[4] | {"Extent": "99"}]
    # sample numbers that begin anew in each home stand for many materials
    anew = [*sampled(9, "S"), *sampled(10, "S"), *[row | {"Location": "Store"} for row in sampled(11, "S")]]
    referring = [*sampled(12, "as Q"), *sampled(13, "as Q")]
    assert cloned(tmp_path / "one", few + negatives + other_day + one_differs + anew + referring) == []
    assert cloned(tmp_path / "two", visit(1, 5), visit(2, 5)) == []


def test_quantities_and_materials_are_no_homes(tmp_path: Path) -> None:
    notes = ("as 2 layers", "same as 2 tiles", "as per 12 month plan", "sample as S2", "as above", "same as H 2024")
    rows = [row for home, note in enumerate(notes, 20) for row in visit(home, 1, Notes=note)]
    one_of_many = [*visit(27, 3), *visit(27, 1, Notes="same as no. 1", Location="Store")]
    assert cloned(tmp_path, [*visit(1, 1), *rows, *one_of_many]) == []
