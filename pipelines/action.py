"""Items and buildings in the order in which to act."""

from collections.abc import Mapping
from typing import Any

import duckdb

from pipelines import queries

STEPS = ("item_ranking", "building_ranking")


def run(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any]) -> None:
    """Make `item_ranking` and `building_ranking`."""
    for step in STEPS:
        queries.make(con, "action", step, settings)
