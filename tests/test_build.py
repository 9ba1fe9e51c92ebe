"""A build replaces the old result whole or not at all, and the commands say plainly what a person can mend."""

import csv
import io
import json
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import duckdb
import numpy as np
import pandas as pd
import pytest
from typer.testing import CliRunner

from pipelines import action, assessment, exports, exposure, queries, register, run, sources
from pipelines.cli import app
from pipelines.errors import FolderError, NotBuiltError, SettingsError
from pipelines.register import claims
from tests import portfolios

ROOT = Path(__file__).parents[1]
COMMAND = (sys.executable, "-c", "from pipelines.cli import main; main()")
ESCAPE = "\x1b[31mred\x07"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return portfolios.write(tmp_path / "homes", {"register.csv": [portfolios.row()]})


@pytest.fixture(scope="module")
def once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """That folder, built. Not to be written to."""
    folder = portfolios.write(tmp_path_factory.mktemp("homes"), {"register.csv": [portfolios.row()]})
    portfolios.build(folder)
    return folder


@pytest.fixture
def built(once: Path, tmp_path: Path) -> Path:
    """A copy of it with its result."""
    return Path(shutil.copytree(once, tmp_path / "built"))


def undisturbed(*arguments: object) -> subprocess.CompletedProcess[str]:
    """The command as a user would run it."""
    return subprocess.run(
        [*COMMAND, *map(str, arguments)], cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=False
    )


@pytest.mark.parametrize(
    ("stage", "step"),
    [
        (sources, "store"),
        (register, "run"),
        (claims, "of_stock"),
        (assessment, "run"),
        (action, "gather"),
        (exposure, "draw"),
        (action, "rank"),
    ],
    ids=lambda part: getattr(part, "__name__", part),
)
def test_an_error_in_any_stage_leaves_the_old_result_byte_for_byte(
    stage: object, step: str, built: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    database = built / run.RESULT
    before = database.read_bytes()

    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("planted")

    monkeypatch.setattr(stage, step, fail)
    with pytest.raises(ZeroDivisionError, match="planted"):
        portfolios.build(built)
    assert database.read_bytes() == before
    assert [file.name for file in built.iterdir() if "unfinished" in file.name] == []


def test_a_missing_folder_for_the_result_is_named(folder: Path, tmp_path: Path) -> None:
    with pytest.raises(FolderError, match=r"nowhere: there is no such folder for the result. Make it first."):
        portfolios.build(folder, out=tmp_path / "nowhere" / "result.duckdb")
    assert undisturbed("build", folder, "--out", tmp_path / "nowhere" / "result.duckdb").returncode == 2


@pytest.mark.parametrize("damage", ["drop table area_ranking", "alter table runs drop column name"])
def test_a_result_of_another_version_says_to_build_it_anew(damage: str, built: Path) -> None:
    database = built / run.RESULT
    with duckdb.connect(str(database)) as con:
        con.execute(damage)
    question = "ranked_areas" if "area_ranking" in damage else "latest_run"
    with pytest.raises(NotBuiltError, match=r"made by another version .*Build it anew: undisturbed build"):
        queries.answer(database, question, top=1, by="score")


def test_a_question_that_is_wrong_itself_is_a_bug(built: Path) -> None:
    database = built / run.RESULT
    with pytest.raises(duckdb.CatalogException, match="no_such_table"), queries.opened(database) as con:
        con.execute("from no_such_table")


def test_the_result_before_is_kept_as_the_previous_one(built: Path) -> None:
    before = portfolios.tables(built / run.RESULT)
    portfolios.write(built, {"register.csv": [portfolios.row(), portfolios.row(Location="Loft")]})
    after = portfolios.tables(portfolios.build(built))
    assert len(after["entries"]) == 1 + len(before["entries"])
    assert portfolios.tables(built / "portfolio.previous.duckdb") == before


def test_an_answer_comes_from_the_result_that_is_there_now(built: Path) -> None:
    database = built / run.RESULT
    with queries.opened(database) as before:
        portfolios.write(built, {"register.csv": [portfolios.row(), portfolios.row(Location="Loft")]})
        portfolios.build(built)
        assert len(queries.answer(database, "property_entries", property_ref="H1")) == 2
        assert len(queries.rows(before, "answers", "property_entries", property_ref="H1")) == 1


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(FolderError, match=r"nowhere: there is no such folder. Name a portfolio folder."):
        run.build(tmp_path / "nowhere")


def test_a_portfolio_without_a_property_list_says_what_to_put_where(tmp_path: Path) -> None:
    with pytest.raises(FolderError, match=r"stock: there is no property list \(expected at least one csv or xlsx file"):
        run.build(tmp_path)


def test_broken_settings_are_shown_with_their_line(folder: Path) -> None:
    (folder / "portfolio.toml").write_text("name = \n", "utf-8")
    with pytest.raises(SettingsError, match=r"portfolio.toml: not a TOML file: .*line 1.*Mend that line."):
        run.build(folder)


def test_every_fault_of_the_settings_is_told_at_once(folder: Path) -> None:
    (folder / "portfolio.toml").write_text("colour = 1\ntextured_coating_surface_score = 2\n", "utf-8")
    with pytest.raises(SettingsError, match=r"unknown setting 'colour'.*textured_coating_surface_score is 2"):
        run.build(folder)


def test_what_was_never_built_says_how_to_build_it(tmp_path: Path) -> None:
    with pytest.raises(NotBuiltError, match=r"there is no result yet. Run: undisturbed build"):
        queries.answer(tmp_path / run.RESULT, "latest_run")


def test_a_build_exits_0_and_strict_exits_3_where_a_row_was_set_aside(folder: Path) -> None:
    sound = CliRunner().invoke(app, ["build", str(folder), "--as-of", "2026-10-01", "--strict"])
    portfolios.write(folder, {"register.csv": [portfolios.row(), portfolios.row(Property_Ref="X9")]})
    told = CliRunner().invoke(app, ["build", str(folder)])
    assert (sound.exit_code, told.exit_code) == (0, 0)
    assert undisturbed("build", folder, "--strict").returncode == 3


NAMELESS = (
    '{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {}, '
    '"geometry": {"type": "Point", "coordinates": [-1.6, 54]}}]}'
)


@pytest.mark.parametrize(
    ("file", "content", "rows"),
    [
        ("places/areas.geojson", NAMELESS, 1),
        ("corrections/terms.csv", "field,written,term,who,on,why\nproduct,x,no_such_term,A,2026-01-01,\n", 1),
        ("registers/empty.csv", "", 0),
        ("registers/notes.csv", "Some notes\n\nmore\n", 2),
    ],
)
def test_strict_and_the_counts_printed_are_of_every_folder(file: str, content: str, rows: int, folder: Path) -> None:
    (folder / file).parent.mkdir(exist_ok=True)
    (folder / file).write_text(content, encoding="utf-8")
    done = CliRunner().invoke(app, ["build", str(folder), "--as-of", "2026-10-01", "--strict"])
    assert done.exit_code == 3
    printed = {line.split()[0]: line.split()[1:] for line in done.stdout.splitlines() if line}
    counts = "select sum(rows_read), sum(rows_used), sum(rows_set_aside), sum(rows_layout) from source_files"
    (counted,) = portfolios.ask(folder / run.RESULT, counts)
    assert printed["all"] == [str(count) for count in counted]
    assert printed[file][2] == str(counted[2]) == str(rows)
    assert [line for line in done.stdout.splitlines() if line.startswith(f"  {rows:>6} ")]


def test_what_a_user_can_mend_is_one_line_and_exit_2(tmp_path: Path) -> None:
    done = undisturbed("build", tmp_path / "nowhere")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == f"{tmp_path / 'nowhere'}: there is no such folder. Name a portfolio folder.\n"


def test_rankings_are_read_by_programs(built: Path) -> None:
    as_csv = undisturbed("rank", built, "--format", "csv")
    as_json = undisturbed("rank", built, "--format", "json", "--of", "items")
    buildings = list(csv.DictReader(io.StringIO(as_csv.stdout)))
    assert [row["building_ref"] for row in buildings] == ["H1", "H2", "H3"]
    assert [item["material_score"] for item in json.loads(as_json.stdout)] == [5]


def test_no_control_character_of_a_register_reaches_the_terminal(tmp_path: Path) -> None:
    stock = [home | {"Address": f"{ESCAPE} {home['Address']}"} for home in portfolios.HOMES]
    folder = portfolios.write(tmp_path, {"register.csv": [portfolios.row()]}, stock)
    ranked = [["rank", str(folder), "--format", form] for form in ("table", "csv", "json")]
    for arguments in (["build", str(folder)], *ranked):
        done = CliRunner().invoke(app, arguments)
        assert done.exit_code == 0
        assert len(done.output) > 100
        assert [mark for mark in done.output if ord(mark) < ord(" ") and mark != "\n"] == []


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("=1+1", "'=1+1"),
        ("@sum(a1)", "'@sum(a1)"),
        (" -1+1", "' -1+1"),
        ("\tx", "' x"),
        ("1 Elm Road", "1 Elm Road"),
    ],
)
def test_no_text_of_an_export_is_run_as_a_formula(text: str, written: str) -> None:
    assert read_back(exports.csv(pd.DataFrame({"name": [text], text: ["x"], "score": [-1]}))) == [
        ["name", written, "score"],
        [written, "x", "-1"],
    ]


def test_several_values_of_a_cell_are_exported_with_semicolons_between() -> None:
    types = [np.array(["amosite", "chrysotile"]), np.array([]), np.array(["=1+1", "x"])]
    assert read_back(exports.csv(pd.DataFrame({"types": types}))) == [
        ["types"],
        ["amosite; chrysotile"],
        [""],
        ["'=1+1; x"],
    ]


def read_back(text: str) -> Sequence[Sequence[str]]:
    return list(csv.reader(io.StringIO(text)))
