"""What holds for any register: the order of its files, rows and columns changes nothing, and no row is lost."""

import random
from collections.abc import Callable, MutableSequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tests import portfolios

FEW_BUILDS = settings(max_examples=4, deadline=None, derandomize=True, database=None, phases=(Phase.generate,))

visits = st.builds(
    portfolios.row,
    Property_Ref=st.sampled_from(["H1", "H2", "h 3", "H9"]),
    Location=st.sampled_from(["Kitchen", "Bed 1", "Bed 2", ""]),
    Material=st.sampled_from(["AIB", "Floor tiles", "Mystery", ""]),
    Condition=st.sampled_from(["Good", "2", "fair", ""]),
    Status=st.sampled_from(["Identified", "Presumed", "NAD", "No access", ""]),
    Accessibility=st.sampled_from(["1", "3", ""]),
    Extent=st.sampled_from(["2 m2", "5", ""]),
    Comments=st.sampled_from(["", "fire damage"]),
    Survey_Date=st.sampled_from(["2024-01-01", "01/03/2025", "soon", ""]),
)


def said(database: Path) -> portfolios.Tables:
    """What a result says of items and, where it has them, ranks; but for what names a row of a file."""
    is_ranked = portfolios.ask(database, "select 1 from duckdb_tables() where table_name = 'building_ranking'") != []
    tables = {
        "entries": "* exclude (entry_id, path, row_number)",
        "items": "* exclude (entry_id, evidence_entry_id)",
        "unknown_terms": "*",
        "doubts": "* exclude (path, row_number)",
        "source_files": "* exclude (path, sha256, rows_used, rows_set_aside)",  # of rows alike, which is used
        "set_aside_rows": "* exclude (path, row_number, reason) replace (list_sort(row_json::varchar[]) as row_json)",
    } | ({"item_ranking": "*", "building_ranking": "*"} if is_ranked else {})
    return {
        table: sorted(portfolios.ask(database, f"select {columns} from {table}"), key=repr)
        for table, columns in tables.items()
    }


CONFLICTING_VISITS_OF_ONE_DAY: list[portfolios.Row] = [
    portfolios.row(Location=f"Bed {room}", Condition="2", Accessibility=reach, Extent=extent, Comments="")
    for room in range(1, 9)
    for reach, extent in (("3", "1 m2"), ("1", "9 m2"))
]


class Backwards(random.Random):
    """Chance that turns a list around."""

    def shuffle(self, x: MutableSequence[Any]) -> None:
        x.reverse()


@FEW_BUILDS
@given(st.lists(visits, min_size=10, max_size=25), st.randoms(use_true_random=False), st.integers(1, 9))
def test_the_order_of_files_rows_and_columns_changes_nothing_but_paths_and_row_numbers(
    rows: list[portfolios.Row], chance: random.Random, first: int
) -> None:
    assert_order_changes_nothing(portfolios.read, rows, chance, first)


def test_the_order_of_conflicting_visits_of_one_day_changes_no_rank() -> None:
    assert_order_changes_nothing(portfolios.build, CONFLICTING_VISITS_OF_ONE_DAY, Backwards(), first=8)


def assert_order_changes_nothing(
    build: Callable[[Path], Path], rows: list[portfolios.Row], chance: random.Random, first: int
) -> None:
    """Build the rows in two files, and shuffled in two others, and compare."""
    in_order = {"one.csv": rows[:first], "two.csv": rows[first:]}
    shuffled = {"one.csv": shuffle(rows[first:], chance), "two.csv": shuffle(rows[:first], chance)}
    with TemporaryDirectory() as one, TemporaryDirectory() as other:
        results = [
            said(build(portfolios.write(Path(folder), registers)))
            for folder, registers in ((one, in_order), (other, shuffled))
        ]
    assert portfolios.differences(*results) == {}


def shuffle(rows: list[portfolios.Row], chance: random.Random) -> list[portfolios.Row]:
    """The same rows in another order, their columns in another."""
    names, shuffled = list(rows[0]), rows.copy()
    chance.shuffle(names)
    chance.shuffle(shuffled)
    return [{name: row[name] for name in names} for row in shuffled]


@FEW_BUILDS
@given(st.lists(st.lists(st.text('aH1 =,"\n\u00a3', max_size=4), max_size=5), max_size=8))
def test_every_row_is_used_or_set_aside(table: list[list[str]]) -> None:
    headings = [list(portfolios.row()), *table]
    with TemporaryDirectory() as kept:
        folder = portfolios.write(Path(kept), {})
        register = folder / "registers" / "register.csv"
        register.parent.mkdir()
        register.write_text("\n".join(",".join(quoted(cell) for cell in cells) for cells in headings), "utf-8")
        database = portfolios.read(folder)
        read = portfolios.ask(
            database, "select rows_read, rows_used, rows_set_aside, rows_layout from source_files order by path"
        )[0]
        listed = portfolios.ask(
            database,
            "select (select count(*) from entries), (select count(*) from set_aside_rows), "
            "(select count(*) from raw_rows where path like 'registers/%')",
        )[0]
    rows_read, rows_used, rows_set_aside, rows_layout = read
    not_blank = sum(any(cell.strip() for cell in cells) for cells in table)
    assert (rows_read, rows_layout) == (not_blank, 1)
    assert rows_read == rows_used + rows_set_aside
    assert listed == (rows_used, rows_set_aside, rows_read + rows_layout)


def quoted(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"'
