"""The README says what there is: commands and options, settings, files of decisions, parameters, kinds of files."""

import csv
import re
from dataclasses import fields
from pathlib import Path

import click
import pytest
import typer

from dashboard import actions
from pipelines import queries
from pipelines.cli import app
from pipelines.settings import Settings
from pipelines.sources import contents

README = (Path(__file__).parents[1] / "README.md").read_text("utf-8")
COMMANDS = typer.main.get_command(app)
PLANNED = ("works", "gaps", "plan", "export")


def rows(heading: str) -> list[list[str]]:
    """The cells of the table below a heading row that begins so."""
    lines = README[README.index(heading) :].split("\n\n")[0].splitlines()[2:]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


def quoted(text: str) -> list[str]:
    return re.findall(r"`([^`]+)`", text)


def test_each_command_of_the_readme_takes_the_options_it_is_shown_with() -> None:
    assert isinstance(COMMANDS, click.Group | typer.core.TyperGroup)
    shown = re.findall(r"^undisturbed (\w+) (.*)$", README, re.MULTILINE)
    assert {name for name, _ in shown} | {"demo"} == set(COMMANDS.commands)
    for name, rest in shown:
        taken = {option for parameter in COMMANDS.commands[name].params for option in parameter.opts}
        assert set(re.findall(r"--[\w-]+", rest)) == {option for option in taken if option.startswith("--")}


@pytest.mark.parametrize("name", PLANNED)
def test_a_command_that_is_not_there_is_said_not_to_be(name: str) -> None:
    assert isinstance(COMMANDS, click.Group | typer.core.TyperGroup)
    assert name not in COMMANDS.commands
    assert f"`{name}`" in README.split("## What it does not do yet")[1].split("\n## ")[0]


def test_the_settings_are_those_that_a_build_takes() -> None:
    block = README.split("```toml\n")[1].split("```")[0]
    assert {line.split(" = ")[0] for line in block.splitlines()} == {field.name for field in fields(Settings)}


def test_the_files_of_decisions_have_the_columns_that_a_page_writes() -> None:
    written = {quoted(file)[0]: tuple(quoted(columns)[0].split(",")) for file, _, columns in rows("| File | Decides |")}
    assert written == {kind.file: (*kind.asked, *kind.answer) for kind in actions.KINDS.values()}


def test_every_own_parameter_is_listed() -> None:
    with (queries.REFERENCE / "parameter_names.csv").open(encoding="utf-8", newline="") as opened:
        known = {row["name"] for row in csv.DictReader(opened)}
    assert {
        name.strip() for row in rows("| `name` | Is about |") for cell in quoted(row[0]) for name in cell.split(",")
    } == known


def test_every_kind_of_file_that_is_read_is_named() -> None:
    said = README.split("## What it does not do yet")[1]
    assert [ending for ending in contents.ENDINGS if not re.search(rf"\b{ending.lstrip('.')}\b", said)] == []
