"""How likely each kind of work is to lead to exposure, and what that adds up to in a building.

`chances` has the chances over the limits, `draws` what is not known, drawn together, `ranges` what sums come to then.
"""

from collections.abc import Mapping
from typing import Any

import duckdb

from pipelines import queries
from pipelines.exposure.chances import exposure_profiles, score_lines
from pipelines.exposure.draws import parameter_draws
from pipelines.exposure.ranges import ranges_of_sums


def run(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any]) -> None:
    """Make `exposure_profiles`, `item_profiles`, the views on them, and the sums."""
    queries.make(con, "exposure", "contact_lines", settings)
    queries.insert(con, "scored_lines", score_lines(queries.rows(con, "exposure", "lines_to_score")))
    for step in ("worst_lines", "item_reaches", "profiles", "item_profiles", "profile_lines"):
        queries.make(con, "exposure", step, settings)
    queries.insert(con, "exposure_profiles", exposure_profiles(queries.rows(con, "exposure", "profile_rows")))
    for step in ("exposures", "possible_items", "item_exposures", "profile_sums", "item_sums", "possible_sums"):
        queries.make(con, "exposure", step, settings)
    for step in ("building_numbers", "numbered_works", "numbered_materials", "presence_ranges", "building_terms"):
        queries.make(con, "exposure", step, settings)
    for step in ("cell_works", "building_exposures", "possible_kinds"):
        queries.make(con, "exposure", step, settings)


def draw(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any]) -> None:
    """Make the joint draws, the ranges of the sums, and ranks."""
    profiles = exposure_profiles(queries.rows(con, "exposure", "profile_rows"))
    draws = parameter_draws(con, profiles, settings["draws"], settings["seed"])
    for table, rows in (draws.tables() | ranges_of_sums(con, draws)).items():
        queries.insert(con, table, rows)
    for step in ("possible_exposures", "term_draws"):
        queries.make(con, "exposure", step, settings)
