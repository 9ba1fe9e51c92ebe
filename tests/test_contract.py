"""The result holds what pipelines/data_dictionary.csv says, and nothing that it does not say."""

import csv
from collections.abc import Mapping
from pathlib import Path

import pytest

from pipelines import queries
from tests import portfolios

with (queries.REFERENCE.parent / "data_dictionary.csv").open(encoding="utf-8", newline="") as opened:
    WORDS = list(csv.DictReader(opened))
BUILT = {(word["table"], word["column"]): word for word in WORDS if word["status"] == "built"}
LATER = {(word["table"], word["column"]) for word in WORDS if word["status"] == "later"}


@pytest.fixture(scope="module")
def columns(sample_result: Path) -> Mapping[tuple[str, str], str]:
    """The type of every column of a result."""
    found = portfolios.ask(
        sample_result,
        "select table_name, column_name, data_type from duckdb_columns() where schema_name = 'main' and not internal",
    )
    return {(table, column): kind for table, column, kind in found}


def test_every_column_of_a_result_is_in_the_dictionary_with_its_type(
    columns: Mapping[tuple[str, str], str],
) -> None:
    assert columns == {name: word["type"] for name, word in BUILT.items()}


def test_what_comes_later_is_not_there_yet(columns: Mapping[tuple[str, str], str]) -> None:
    assert LATER.isdisjoint(columns)


def test_no_column_that_must_hold_a_value_holds_none(sample_result: Path) -> None:
    must = [(table, column) for (table, column), word in BUILT.items() if word["nullable"] == "no"]
    nulls = " union all ".join(
        f"select '{table}.{column}' from {table} where {column} is null" for table, column in must
    )
    assert portfolios.ask(sample_result, f"select distinct * from ({nulls})") == []


def test_every_word_of_the_dictionary_stands_once_and_has_a_meaning() -> None:
    assert len(WORDS) == len(BUILT) + len(LATER)
    assert BUILT.keys().isdisjoint(LATER)
    assert [word for word in WORDS if word["nullable"] not in ("yes", "no") or not word["meaning"]] == []
