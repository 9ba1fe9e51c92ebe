"""The same work by the steps of a build and in pandas: the same results, and how long each takes."""

from collections.abc import Mapping
from typing import Any

import duckdb
import pandas as pd

from pipelines import queries, settings
from pipelines.exposure import chances
from tests.benchmarks import in_pandas
from tests.benchmarks.measures import STEPS_COMPARED, TABLES_COMPARED, THREADS, Files, Report, timed

REFERENCE_COMPARED = ("products", "damage_scores", "surface_scores", "asbestos_types", "material_bands")
ALIKE, LEAST = 1e-9, 1e-12
"""How near the two must be: relative, and absolute, as a build keeps 12 decimals of an exposure."""


def compare(files: Files) -> Report:
    """The same work by the build's steps and in pandas, from the same tables, which are loaded off the clock."""
    chosen = settings.read(files.portfolio, None).as_dict()
    tables = in_pandas.read(files.dumped, (*STEPS_COMPARED, *TABLES_COMPARED))
    tables["profile_lines"]["scope"] = pd.Categorical(
        [None] * len(tables["profile_lines"]), categories=["home", "room"]
    )
    database = files.home / "compared.duckdb"
    database.unlink(missing_ok=True)
    with queries.create(database, THREADS) as con:
        for table in (*STEPS_COMPARED, *TABLES_COMPARED):
            con.execute(f"create table {table} as from '{files.dumped / table}.parquet'")
        con.execute("checkpoint")
        report = {
            "scoring": _scoring(con, tables, chosen),
            "exposure": _exposure(con, tables, chosen),
        }
    database.unlink()
    return report


def _scoring(con: duckdb.DuckDBPyConnection, tables: in_pandas.Tables, chosen: Mapping[str, Any]) -> Report:
    """Material scores of entries and items."""

    def ours() -> None:
        for step in ("surface_ranges", "sub_scores", "material_scores"):
            queries.make(con, "assessment", step, chosen)

    def theirs() -> pd.DataFrame:
        return in_pandas.material(tables, reference, chosen["textured_coating_surface_score"])

    reference = {name: con.execute(f"from reference.{name}").df() for name in REFERENCE_COMPARED}
    seconds, in_frames = timed(ours), timed(theirs)
    rows = agree(con.execute("from material_scores").df(), theirs(), ["id"])
    return {"rows": rows, "ours": seconds, "pandas": in_frames}


def _exposure(con: duckdb.DuckDBPyConnection, tables: in_pandas.Tables, chosen: Mapping[str, Any]) -> Report:
    """Expected exceedances of items and buildings."""

    def ours() -> None:
        con.execute("drop table if exists exposure_profiles")
        profiles = chances.exposure_profiles(queries.rows(con, "exposure", "profile_rows"))
        queries.insert(con, "exposure_profiles", profiles)
        for step in ("profile_sums", "item_sums", "building_exposures"):
            queries.make(con, "exposure", step, chosen)

    seconds, in_frames = timed(ours), timed(lambda: in_pandas.exposure(tables))
    items, buildings = in_pandas.exposure(tables)
    of_items = con.execute("select item_id, exceedances, exceedances_controlled as controlled from item_sums").df()
    agree(con.execute("from building_exposures").df()[list(buildings)], buildings, ["building_ref"])
    return {"rows": agree(of_items, items, ["item_id"]), "ours": seconds, "pandas": in_frames}


def agree(ours: pd.DataFrame, theirs: pd.DataFrame, keys: list[str]) -> int:
    """How many rows two frames share; AssertionError where they differ."""
    one, other = (frame.astype(dict.fromkeys(keys, "object")).sort_values(keys) for frame in (ours, theirs))
    pd.testing.assert_frame_equal(
        one.reset_index(drop=True).convert_dtypes(),
        other[list(one)].reset_index(drop=True).convert_dtypes(),
        check_dtype=False,
        rtol=ALIKE,
        atol=LEAST,
    )
    return len(one)
