"""Items over time, held to seeded histories of which the truth is known."""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests import portfolios
from tests.assessment import histories

LEAST_RIGHT = 0.98
LEAST_FOUND = 0.95
"""Share of the rows about an item of an earlier visit that must be known again; the rest is asked about or new."""


@dataclass(frozen=True)
class Linked:
    """A row as it was linked: its true item, its item, how sure, whether that is flagged."""

    file: str
    day: str
    truth: str
    item: str
    strength: float
    is_flagged: bool


def linked(made: histories.Histories, database: Path) -> list[Linked]:
    rows = portfolios.ask(
        database,
        "select e.path, e.row_number, e.surveyed_on::varchar, e.item_id, l.strength, "
        "list_contains(e.doubts, 'item_id') from entries as e inner join item_links as l using (entry_id) order by all",
    )
    return [
        Linked(path, day, made.truth[path.removeprefix("registers/")][number - 2], item, strength, flagged)
        for path, number, day, item, strength, flagged in rows
    ]


def build(made: histories.Histories, folder: Path) -> Path:
    return portfolios.read(portfolios.write(folder, made.registers, made.homes))


@pytest.fixture(scope="module", params=(1, 2, 3))
def history(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[histories.Histories, Path]]:
    made = histories.make(request.param)
    yield made, build(made, tmp_path_factory.mktemp("histories"))


def test_nearly_every_link_is_right_and_nearly_every_item_is_known_again(
    history: tuple[histories.Histories, Path],
) -> None:
    rows = linked(*history)
    right = wrong = missed = 0
    for row in rows:
        before = [other for other in rows if other.day < row.day and other.truth[:5] == row.truth[:5]]
        same = {other.truth for other in before if other.item == row.item}
        if same:
            right += same == {row.truth}
            wrong += same != {row.truth}
        elif any(other.truth == row.truth for other in before):
            missed += 1
    assert right > 500
    assert right / (right + wrong) >= LEAST_RIGHT
    assert right / (right + missed) >= LEAST_FOUND


def test_no_link_is_wrong_without_a_flag(history: tuple[histories.Histories, Path]) -> None:
    rows = linked(*history)
    truths: dict[str, set[str]] = {}
    for row in rows:
        truths.setdefault(row.item, set()).add(row.truth)
    mixed = {item for item, known in truths.items() if len(known) > 1}
    told = {row.item for row in rows if row.is_flagged}
    assert mixed <= told


def test_what_was_removed_or_not_found_has_that_status(history: tuple[histories.Histories, Path]) -> None:
    made, database = history
    states = dict(portfolios.ask(database, "select item_id, status from items"))
    wrong = {
        row.truth: states[row.item]
        for row in linked(made, database)
        if row.day == "2022-06-01" and states[row.item] != made.states[row.truth]
    }
    assert wrong == {}


def test_an_item_named_in_parts_is_one_item_and_the_two_are_kept(history: tuple[histories.Histories, Path]) -> None:
    made, database = history
    rows = [row for row in linked(made, database) if row.truth in made.parted]
    assert len(made.parted) > 5
    assert len({row.item for row in rows}) == len(made.parted)
    kept = portfolios.ask(
        database, "select distinct item_id from item_contradictions where kind in ('split', 'merged')"
    )
    assert {item for (item,) in kept} == {row.item for row in rows}


def test_the_order_of_files_and_rows_changes_no_identity(tmp_path: Path) -> None:
    made = histories.make(4, homes=40)
    turned = histories.Histories(made.homes, {}, {})
    for file in made.registers:
        pairs = list(zip(made.registers[file], made.truth[file], strict=True))
        random.Random(5).shuffle(pairs)
        turned.registers[f"z{9999 - int(file[:4])}.csv"] = [row for row, _ in pairs]
        turned.truth[f"z{9999 - int(file[:4])}.csv"] = [item for _, item in pairs]
    one, other = (
        sorted((row.day, row.truth, row.item) for row in linked(each, build(each, tmp_path / name)))
        for each, name in ((made, "one"), (turned, "other"))
    )
    assert one == other


def test_a_later_file_changes_no_identity_of_an_earlier_one(tmp_path: Path) -> None:
    made = histories.make(6, homes=60)
    before = histories.Histories(made.homes, dict(made.registers), made.truth)
    del before.registers["2025.csv"]
    earlier = {(row.file, row.truth): row.item for row in linked(before, build(before, tmp_path / "before"))}
    after = [row for row in linked(made, build(made, tmp_path / "after")) if row.file != "registers/2025.csv"]
    moved = {row.truth for row in after if earlier[row.file, row.truth] != row.item}
    assert moved <= made.parted


def test_a_person_decides_which_item_a_row_is_about(tmp_path: Path) -> None:
    rows = {
        "2020.csv": [portfolios.row(Survey_Date="2020-01-01", Location="Lounge", Extent="2 m2", Sample_Ref="")],
        "2024.csv": [
            portfolios.row(Survey_Date="2024-01-01", Location="Garage", Extent="9 m2", Sample_Ref=""),
            portfolios.row(Survey_Date="2024-01-01", Location="Living room", Extent="2 m2", Sample_Ref=""),
        ],
    }
    folder = portfolios.write(tmp_path, rows)
    question = "select path, row_number, item_id from entries order by all"
    (_, _, lounge), (_, _, garage), (_, _, living) = portfolios.ask(portfolios.read(folder), question)
    assert lounge == living != garage
    (folder / "corrections").mkdir()
    (folder / "corrections" / "links.csv").write_text(
        "path,sheet,row,part,item_path,item_sheet,item_row,item_part,who,on,why\n"
        "registers/2024.csv,,2,,registers/2020.csv,,2,,A. Person,2026-01-01,The board was moved\n"
        "registers/2024.csv,,3,,new,,,,A. Person,2026-01-01,Put up in 2022\n"
        "registers/2024.csv,,30,,new,,,,A. Person,2026-01-01,There is no such row\n"
    )
    database = portfolios.read(folder)
    (_, _, lounge), (_, _, garage), (_, _, living) = portfolios.ask(database, question)
    assert lounge == garage != living
    assert portfolios.ask(database, "select path, row_number, reason_code from set_aside_rows") == [
        ("corrections/links.csv", 4, "correction_meets_nothing")
    ]
