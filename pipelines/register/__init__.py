"""Raw rows to readings: which heading means which field, which word which term, which row which property."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import duckdb

from pipelines import queries
from pipelines.register import across, addresses, dates, extents, headings, jobs, legends, lines, places, results, words

STAGE = "register"
LINES = (
    "table_rows",
    "sundry_rows",
    "table_columns",
    "stock_lines",
    "sample_lines",
    "register_lines",
    "works_lines",
    "written_words",
)
NAMED = ("stock_properties", "block_parts", "named_properties")
MATCHED = (
    "reference_keys",
    "reference_candidates",
    "block_claims",
    "address_candidates",
    "property_candidates",
    "corrections_properties",
    "property_answers",
    "property_matches",
)
SAMPLES = (
    "register_samples",
    "sample_keys",
    "sample_results",
    "sample_candidates",
    "sample_joins",
    "sample_fates",
    "analyses",
)
READINGS = (
    "properties",
    "buildings",
    "open_questions",
    "register_fates",
    "jobs_read",
    *SAMPLES,
    "correctable_values",
    "corrections_factors",
    "factor_answers",
    "corrections_accepted",
    "readings",
    "samples",
    "alike_homes",
    "referred_homes",
    "cloned_properties",
    "contact_codes_met",
    "corrections_links",
    "jobs",
    "own_parameters",
)
LAST_READ_BY = {
    "table_rows": ("row_shapes",),
    "jobs_read": ("table_rows", "works_lines"),
    "sample_results": ("sample_lines", "property_matches"),
    "analyses": ("register_samples", "sample_candidates"),
    "readings": ("register_lines", "analyses"),
}
"""The large steps that nothing reads after a step: memory for those that come."""
ACCOUNTS = ("correction_fates", "row_fates", "set_aside_rows", "source_files")


def run(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any], folder: Path) -> None:
    """Make `headings`, `properties`, `buildings`, `readings` and what they rest on."""
    read_lines(con, settings, folder)
    match_properties(con, settings)
    _make(con, READINGS, settings)


def account(con: duckdb.DuckDBPyConnection) -> None:
    """Make `set_aside_rows` and `source_files`: what became of each row, once all that uses one has been made."""
    _make(con, ACCOUNTS, {})


def read_lines(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any], folder: Path) -> None:
    """Make `headings` and the lines of each kind of list under our field names, their words recognised."""
    _make(con, ("corrections_terms",), settings)
    keys = legends.decode(con)
    written = across.take_apart(con, headings.readers(con, {})["registers"], keys)
    _make(con, ("row_shapes",), settings)
    lines.read(con, headings.recognise(con, written))
    _make(con, LINES, settings)
    words.recognise(con)
    jobs.recognise(con)
    results.recognise(con)
    dates.read(con, settings["as_of"])
    extents.read(con)
    _make(con, ("unknown_terms", "stock_readings"), settings)
    places.locate(con, folder)


def match_properties(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any]) -> None:
    """Make `property_matches`: which property each way of naming one means."""
    _make(con, NAMED, settings)
    addresses.read(con)
    _make(con, MATCHED, settings)


def _make(con: duckdb.DuckDBPyConnection, steps: tuple[str, ...], settings: Mapping[str, Any]) -> None:
    for step in steps:
        queries.make(con, STAGE, step, settings)
        queries.drop(con, *LAST_READ_BY.get(step, ()))
