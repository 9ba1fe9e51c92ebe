"""Items, buildings and areas in the order in which to act."""

from collections.abc import Mapping
from typing import Any

import duckdb

from pipelines import queries

GATHERED = (
    "item_works",
    "item_ranking",
    "numbered_parts",
    "building_parts",
    "building_reasons",
    "work_pairs",
)
RANKED = ("building_ranking", "area_ranking")


def gather(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any]) -> None:
    """Make `item_ranking`, `building_parts` and what else needs no range of a sum."""
    _make(con, GATHERED, settings)


def rank(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any]) -> None:
    """Make `building_ranking` and `area_ranking`."""
    _make(con, RANKED, settings)


def _make(con: duckdb.DuckDBPyConnection, steps: tuple[str, ...], settings: Mapping[str, Any]) -> None:
    for step in steps:
        queries.make(con, "action", step, settings)
