"""Raw rows to readings: which heading means which field, which word which term, which row which property."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import duckdb

from pipelines import queries
from pipelines.register import dates, extents, headings, lines, places, words

STAGE = "register"
STEPS = (
    "named_properties",
    "property_keys",
    "properties",
    "buildings",
    "property_matches",
    "register_fates",
    "readings",
    "contact_codes_met",
    "jobs_read",
    "jobs",
    "own_parameters",
    "set_aside_rows",
    "source_files",
)


def run(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any], folder: Path) -> None:
    """Make `headings`, `properties`, `buildings`, `readings`, `set_aside_rows` and what they rest on."""
    queries.make(con, STAGE, "row_shapes", settings)
    lines.read(con, headings.recognise(con))
    for step in ("table_rows", "table_columns", "stock_lines", "register_lines", "works_lines", "written_words"):
        queries.make(con, STAGE, step, settings)
    words.recognise(con)
    dates.read(con, settings["as_of"])
    extents.read(con)
    for step in ("unknown_terms", "stock_readings"):
        queries.make(con, STAGE, step, settings)
    places.locate(con, folder)
    for step in STEPS:
        queries.make(con, STAGE, step, settings)
