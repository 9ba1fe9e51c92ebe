"""Raw rows to readings: which heading means which field, which word which term, which row which property."""

from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import Any

import duckdb

from pipelines import queries
from pipelines.register import (
    across,
    claims,
    dates,
    extents,
    foot_results,
    headings,
    jobs,
    legends,
    lines,
    lookups,
    places,
    results,
    terms,
    told_columns,
)

STAGE = "register"
LISTS = ("table_rows", "sundry_rows", "table_columns", "stock_lines", "works_lines")
LINES = (
    "sample_lines",
    "merged_rows",
    "rows_untangled",
    "rows_named",
    "rows_by_visit",
    "register_rows",
    "register_above",
    "overruling_notes",
    "register_lines",
    "written_words",
)
NAMED = ("stock_properties", "building_areas", "block_parts", "named_properties")
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
    "materials_of_samples",
)
READINGS = (
    "properties",
    "buildings",
    "open_questions",
    "extracts",
    "register_fates",
    "jobs_read",
    *SAMPLES,
    "stock_homes",
    "home_references",
    "correctable_values",
    "corrections_factors",
    "factor_answers",
    "corrections_accepted",
    "shifted_conditions",
    "word_pieces",
    "rows_used",
    "rows_termed",
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
ACCOUNTS = ("correction_fates", "row_fates", "set_aside_rows", "source_files")


def run(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any], folder: Path) -> None:
    """Make `headings`, `properties`, `buildings`, `readings` and what they rest on."""
    stock = read_lines(con, settings, folder)
    match_properties(con, settings, stock)
    _make(con, READINGS, settings)


def account(con: duckdb.DuckDBPyConnection) -> None:
    """Make `set_aside_rows` and `source_files`: what became of each row, once all that uses one has been made."""
    _make(con, ACCOUNTS, {})


def read_lines(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any], folder: Path) -> claims.Stock:
    """Make `headings` and the lines of each kind of list under our field names, their words recognised. What the stock
    list's addresses claim comes back."""
    _make(con, ("corrections_terms",), settings)
    with queries.beside(con, partial(places.outline, folder=folder)) as areas:
        readers = headings.readers(con, {})
        keys = legends.decode(con, readers["registers"])
        lookups.join(con, readers["registers"], readers["samples"])
        written = across.take_apart(con, readers["registers"], keys)
        told_columns.read(con, readers["registers"])
        foot_results.read_foots(con, readers["registers"], readers["samples"])
        _make(con, ("row_shapes", "extents_of_each", "units_told", "blanks_repeated", "worst_grades"), settings)
        reader = headings.recognise(con, written, keys)
        _make(con, ("slipped_rows",), settings)
        lines.read(con, reader)
        _make(con, LISTS, settings)
        with queries.beside(con, claims.of_stock) as stock, queries.beside(con, jobs.recognise):
            _make(con, LINES, settings)
            terms.recognise(con)
            results.recognise(con)
            dates.read(con, settings["as_of"])
            extents.read(con)
            _make(con, ("stock_readings",), settings)
        _make(con, ("unknown_terms",), settings)
        places.locate(con, areas.result())
    return stock.result()


def match_properties(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any], stock: claims.Stock) -> None:
    """Make `property_matches`: which property each way of naming one means."""
    _make(con, NAMED, settings)
    claims.of_registers(con, stock)
    _make(con, MATCHED, settings)


def _make(con: duckdb.DuckDBPyConnection, steps: tuple[str, ...], settings: Mapping[str, Any]) -> None:
    for step in steps:
        queries.make(con, STAGE, step, settings)
