"""Every query, shown by cases: rows in, rows out, only the columns that matter.

A case is text, several to a file `tests/queries/<stage>/<query>.txt`:

    case A house without a block is its own building
    given stock_readings
      property_ref | building_ref | address
      H1           |              | 1 Elm Road
    with as_of = 2026-10-01
    expect
      property_ref | building_ref
      H1           | H1

A given table holds these rows and no others; a table that is not given is empty, a reference table as it ships.
An empty cell is null, `[a, b]` a list, `"a "` a text with its blanks. A parameter that is not named is null; values are
written as in TOML.
`expect in order` minds the order of the rows, `expect nothing` wants none. A line that starts with # is a remark.
"""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from pipelines import queries
from tests.conftest import World

HERE = Path(__file__).parent


@dataclass
class Case:
    """One case as written: tables by name, parameters, the expected rows, and whether their order matters."""

    stage: str
    query: str
    title: str
    given: dict[str, list[dict[str, str | None]]] = field(default_factory=dict)
    parameters: dict[str, Any] = field(default_factory=dict)
    expected: list[dict[str, str | None]] = field(default_factory=list)
    minds_order: bool = False

    def __str__(self) -> str:
        return f"{self.stage}/{self.query}: {self.title}"


def sections(text: str) -> Iterator[tuple[str, str, list[str]]]:
    """The word and the rest of each line that is not indented, with the indented lines below it."""
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    starts = [at for at, line in enumerate(lines) if not line[0].isspace()]
    for start, end in zip(starts, [*starts[1:], len(lines)], strict=True):
        word, _, rest = lines[start].partition(" ")
        yield word, rest.strip(), lines[start + 1 : end]


def read(cell: str) -> str | None:
    return cell[1:-1] if cell.startswith('"') else cell or None


def rows(lines: list[str]) -> list[dict[str, str | None]]:
    """The rows of a block by column; every row has as many cells as its heading."""
    cells = [[read(cell.strip()) for cell in line.split("|")] for line in lines]
    return [dict(zip(map(str, cells[0]), row, strict=True)) for row in cells[1:]]


def cases_in(file: Path) -> list[Case]:
    cases: list[Case] = []
    for word, rest, lines in sections(file.read_text(encoding="utf-8")):
        match word:
            case "case":
                cases.append(Case(file.parent.name, file.stem, rest))
            case "given":
                cases[-1].given[rest] = rows(lines)
            case "with":
                cases[-1].parameters |= tomllib.loads(rest)
            case "expect":
                assert (rest == "nothing") == (not lines), f"{cases[-1]}: rows expected, or nothing"
                cases[-1].expected = rows(lines) if lines else []
                cases[-1].minds_order = rest == "in order"
            case _:
                raise ValueError(f"{file}: {word} begins no section")
    return cases


def shown(frame: pd.DataFrame, columns: list[str], minds_order: bool) -> list[str]:
    """The rows of some columns as lines to compare and to read."""
    lines = [" | ".join(str(cell) for cell in row) for row in frame[columns].itertuples(index=False)]
    return lines if minds_order else sorted(lines)


CASES = [case for file in sorted(HERE.glob("*/*.txt")) for case in cases_in(file)]


@pytest.mark.parametrize("case", CASES, ids=str)
def test_a_query_answers_as_its_cases_say(case: Case, world: World) -> None:
    answer, expected = world.compare(case.stage, case.query, case.given, case.parameters, case.expected)
    columns = list(case.expected[0]) if case.expected else list(answer.columns)
    assert shown(answer, columns, case.minds_order) == shown(expected, columns, case.minds_order)


def test_no_query_is_without_a_case() -> None:
    with_case = {(case.stage, case.query) for case in CASES if case.expected}
    assert with_case == {(file.parent.name, file.stem) for file in queries.ROOT.glob("*/*.sql")}


def test_no_two_cases_of_a_query_have_one_title() -> None:
    assert len(set(map(str, CASES))) == len(CASES)
