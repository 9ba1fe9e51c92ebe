"""Whole portfolios, each a folder that states a fact: what its `input` builds to stands in `expected`.

`pytest --update-expected` writes what is built; read the difference before you keep it.
"""

import shutil
from pathlib import Path

import duckdb
import pytest

from tests import portfolios

CASES = portfolios.cases("input")
CHOSEN = {
    "entries": "path, sheet, row_number, property_ref, match_method, surveyed_on, place, room_text, product, "
    "product_text, identification, asbestos_types, sample_ref, material_score, material_low, material_high, "
    "material_band, doubts, notes",
    "items": "property_ref, place, product, status, identification, asbestos_types, damage_score, n_entries, "
    "first_surveyed_on, last_surveyed_on, material_score, material_low, material_high, material_band, act_now, "
    "act_now_why",
    "set_aside_rows": "path, sheet, row_number, reason_code, reason, row_json",
    "doubts": "path, sheet, row_number, field, kind, reason",
}


@pytest.mark.parametrize("case", CASES)
def test_a_portfolio_builds_to_what_its_case_expects(case: Path, tmp_path: Path, pytestconfig: pytest.Config) -> None:
    database = portfolios.of_case(case)
    with duckdb.connect(str(database), read_only=True) as con:
        for table, columns in CHOSEN.items():
            con.sql(f"select {columns} from {table} order by all").write_csv(str(tmp_path / f"{table}.csv"))
    if pytestconfig.getoption("update_expected"):
        (case / "expected").mkdir(exist_ok=True)
        for table in CHOSEN:
            shutil.copy(tmp_path / f"{table}.csv", case / "expected")
    built, expected = (
        {table: (folder / f"{table}.csv").read_text("utf-8").splitlines() for table in CHOSEN}
        for folder in (tmp_path, case / "expected")
    )
    assert built == expected
