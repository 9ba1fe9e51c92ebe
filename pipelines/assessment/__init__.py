"""Readings to scored entries and items: material assessment (HSG264), priority
assessment (HSG227), and what must be acted on now."""

from collections.abc import Mapping
from typing import Any

import duckdb

from pipelines import queries
from pipelines.assessment import links

NAMED = ("reported_fates", "item_rows", "item_things", "thing_visits", "link_candidates")
STEPS = (
    "surface_ranges",
    "item_links",
    "unchanged_damage",
    "sub_scores",
    "item_fates",
    "reported_events",
    "item_conditions",
    "item_contradictions",
    "material_scores",
    "maintenance_counts",
    "priority_factors",
    "priority_scores",
    "doubts",
    "entries",
    "items",
)


def run(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any]) -> None:
    """Make `entries`, `items`, `item_links`, `item_contradictions`, `doubts` and what they rest on; ask about items."""
    _make(con, NAMED, settings)
    links.link(con)
    _make(con, STEPS, settings)
    queries.insert(con, "open_questions", queries.rows(con, "assessment", "link_questions"))
    queries.drop(con, *queries.LAST_READ_BY["link_questions"])


def _make(con: duckdb.DuckDBPyConnection, steps: tuple[str, ...], settings: Mapping[str, Any]) -> None:
    for step in steps:
        queries.make(con, "assessment", step, settings)
