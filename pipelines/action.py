"""Items, buildings and areas in the order in which to act."""

from collections.abc import Mapping
from typing import Any

import duckdb

from pipelines import queries

STEPS = (
    "item_works",
    "item_ranking",
    "building_parts",
    "building_reasons",
    "building_works",
    "work_pairs",
    "building_ranking",
    "area_ranking",
)


def run(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any]) -> None:
    """Make `item_ranking`, `building_ranking` and `area_ranking`."""
    for step in STEPS:
        queries.make(con, "action", step, settings)
