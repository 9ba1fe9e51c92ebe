"""What the commands print. Text from registers is printed as text: no markup, no control characters."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any

import pandas as pd
from rich.console import Console
from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn
from rich.table import Table
from rich.text import Text

from pipelines import exports
from pipelines.run import Built

FILES_SHOWN = 20
CAUTION = (
    "Scores order work; they do not make a home safe. Where unsure presume asbestos and do not disturb it. "
    "Licensed work is for licensed contractors; local law and codes come first."
)
EXPOSURE = "exposure"
out = Console(highlight=False)


def gap() -> None:
    """A blank line between two parts of a command's output."""
    out.print()


@contextmanager
def stages() -> Iterator[Callable[[str], None]]:
    """A line on the terminal that names the stage under way; call what it yields at the start of each."""
    console = Console(stderr=True)
    columns = (SpinnerColumn(), TimeElapsedColumn(), TextColumn("{task.description}"))
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task("")
        yield lambda name: bar.update(task, description=name)


def built(result: Built) -> None:
    """What a build read, used and set aside, a line a file, and what to do about the rest."""
    files = result.files.set_index("path")[["rows_read", "rows_used", "rows_set_aside", "rows_layout"]]
    table = Table(box=None, pad_edge=False)
    for heading in ("file", "read", "used", "set aside", "layout"):
        table.add_column(heading, justify="left" if heading == "file" else "right")
    for path, counts in files.head(FILES_SHOWN).iterrows():
        table.add_row(_line(str(path)), *(f"{count:,}" for count in counts))
    if len(files) > FILES_SHOWN:
        counts = files.iloc[FILES_SHOWN:].sum()
        table.add_row(f"{len(files) - FILES_SHOWN} more files", *(f"{count:,}" for count in counts))
    table.add_row("all", *(f"{count:,}" for count in files.sum()))
    out.print(f"Built {result.database} as of {_date(result.as_of)}.", markup=False)
    out.print(table)
    _to_mend(result.to_mend)


def _to_mend(reasons: pd.DataFrame) -> None:
    if reasons.empty:
        out.print("Every row was used.")
        return
    to_mend, rest = reasons[reasons["to_mend"]], reasons[~reasons["to_mend"]]
    if not to_mend.empty:
        out.print("Rows to mend (they are listed on the page Data in):")
    for row in _each(to_mend):
        out.print(_line(f"  {row.n_rows:>6,} {_whole(row)}"))
    if not rest.empty:
        kinds = ", ".join(f"{row.n_rows:,} {_whole(row).partition(':')[0]}" for row in _each(rest))
        out.print(_line(f"Nothing to do about {rest['n_rows'].sum():,} more: {kinds}."))


def _whole(row: Any) -> str:
    """Why rows were set aside; where files or sheets were as a whole, in how many of them the rows stand."""
    what, colon, todo = row.in_short.partition(":")
    return f"in {what} ({row.n_whole:,}){colon}{todo}" if row.n_whole else str(row.in_short)


def ranking(answer: pd.DataFrame, kind: str, of: str, by: str, whole: Any) -> None:
    """A ranking as sentences for people, or whole as csv or json for programs; `whole` says what all comes to."""
    if kind == "csv":
        sys.stdout.write(exports.csv(answer))
    elif kind == "json":
        sys.stdout.write(answer.to_json(orient="records", date_format="iso", indent=1, force_ascii=False) + "\n")
    else:
        order = "by expected exposure" if by == EXPOSURE else "in the order in which to act"
        table = Table(box=None, pad_edge=False, show_header=False, title=f"{of.capitalize()} {order}")
        table.title_justify = "left"
        table.add_column(justify="right")
        table.add_column()
        for row in _each(answer):
            reasons = [f"{row.score_reason}.", f"{row.exposure_reason}. {_place(row, of)}"]
            rank = row.rank_by_exposure if by == EXPOSURE else row.rank
            table.add_row(str(rank), Text(exports.printable(row.name_in_area), "bold"))
            for reason in reversed(reasons) if by == EXPOSURE else reasons:
                table.add_row("", _line(reason))
        out.print(table)
        sentences = (f"All together: {whole.exposure}.", whole.controlled_in_words)
        out.print(_line(" ".join((*sentences, whole.exceedance_in_words, whole.central_in_words))))
        out.print(_line(f"In priority scores HSG227's group averages are rounded {whole.priority_rounding}."))
        out.print(CAUTION, style="italic")


def _place(row: Any, of: str) -> str:
    """The rank by exposure in words, with its range where it has one."""
    place = f"Number {row.rank_by_exposure:,} of all {of} by exposure"
    if not hasattr(row, "rank_low"):
        return f"{place}."
    return f"{place} (90 % range {row.rank_low:,} to {row.rank_high:,}; group {row.rank_group:,})."


def _each(frame: pd.DataFrame) -> Iterator[Any]:
    return iter(frame.itertuples())


def _line(text: str) -> Text:
    return Text(exports.printable(text))


def _date(day: date) -> str:
    return f"{day.day} {day:%b %Y}"
