"""The commands: arguments, calls and printing, nothing else. Heavy imports wait until a command needs them."""

import sys
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from pipelines.errors import PortfolioError

app = typer.Typer(
    name="undisturbed",
    help="Asbestos survey registers of many homes, scored, ranked and mapped.",
    epilog="Scores order work; they do not make a home safe. Where unsure presume asbestos, do not disturb it.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    add_completion=False,
)
ANY_ROW_SET_ASIDE = 3
DEMO_SHOWS = 10


class Format(StrEnum):
    TABLE = "table"
    CSV = "csv"
    JSON = "json"


class Ranked(StrEnum):
    BUILDINGS = "buildings"
    ITEMS = "items"
    AREAS = "areas"


class By(StrEnum):
    SCORE = "score"
    EXPOSURE = "exposure"


Folder = Annotated[Path, typer.Argument(help="The portfolio folder.", show_default=False)]
Port = Annotated[
    int | None,
    typer.Option(
        min=1,
        max=65535,
        help="Where the dashboard listens on this machine.",
        show_default="8501, or the next one that is free",
    ),
]


@app.command()
def demo(
    folder: Annotated[Path, typer.Argument(help="Where to put the sample portfolio.")] = Path("portfolio"),
    serve_it: Annotated[bool, typer.Option("--serve/--no-serve", help="Open the dashboard at the end.")] = True,
    port: Port = None,
) -> None:
    """Copy the invented sample portfolio, build it, print the ranking and open the dashboard.

    Example: undisturbed demo
    """
    from dashboard import launch
    from pipelines import printing, sample

    if serve_it:
        launch.free_port(port)
    sample.copy(folder)
    build(folder)
    printing.gap()
    rank(folder, top=DEMO_SHOWS)
    if serve_it:
        serve(folder, port=port)


@app.command()
def build(
    folder: Folder,
    as_of: Annotated[
        datetime | None,
        typer.Option(formats=["%Y-%m-%d"], help="The day that the figures hold for.", show_default="today"),
    ] = None,
    out: Annotated[Path | None, typer.Option(help="The result.", show_default="portfolio.duckdb in FOLDER")] = None,
    strict: Annotated[bool, typer.Option(help="Exit 3 if a row or file was set aside, of any kind.")] = False,
) -> None:
    """Read everything in FOLDER, score and rank it, and swap in the new result.

    Example: undisturbed build portfolio --as-of 2026-10-01
    """
    from pipelines import printing, run

    with printing.stages() as progress:
        built = run.build(folder, as_of.date() if as_of else None, out, progress=progress)
    printing.built(built)
    if strict and not built.to_mend.empty:
        raise typer.Exit(ANY_ROW_SET_ASIDE)


@app.command()
def rank(
    folder: Folder,
    of: Annotated[Ranked, typer.Option(help="What to rank.")] = Ranked.BUILDINGS,
    by: Annotated[By, typer.Option(help="What the order rests on.")] = By.SCORE,
    top: Annotated[int, typer.Option(min=1, help="How many to show.")] = 20,
    format: Annotated[Format, typer.Option(help="How to print it.")] = Format.TABLE,
) -> None:
    """Print what needs action first: by score with act-now cases before all others, or by expected exposure.

    Example: undisturbed rank portfolio --of items --by exposure --top 50 --format csv
    """
    from pipelines import printing, queries, run

    ranked = queries.answer(folder / run.RESULT, f"ranked_{of}", top=top, by=by)
    whole = queries.answer(folder / run.RESULT, "portfolio_summary")
    printing.ranking(ranked, format, of, by, next(whole.itertuples()))


@app.command()
def serve(folder: Folder, port: Port = None) -> None:
    """Open the dashboard of a portfolio that was built, on this machine only.

    Example: undisturbed serve portfolio
    """
    from dashboard import launch
    from pipelines import queries, run

    with queries.opened(folder / run.RESULT):
        pass
    raise typer.Exit(launch.run(folder, launch.free_port(port)))


def main() -> None:
    """The command `undisturbed`. Exit 0 done, 1 a bug, 2 something the user can mend, 3 strict."""
    try:
        app()
    except PortfolioError as error:
        print(error, file=sys.stderr)
        sys.exit(2)
