"""What the pages read: named queries against the finished result. Nothing here knows Streamlit."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pandas as pd

from pipelines import queries, run, sources

FOLDER = "UNDISTURBED_PORTFOLIO"


def folder() -> Path:
    """The portfolio folder that this server shows."""
    return Path(os.environ[FOLDER])


def ask(name: str, **parameters: Any) -> pd.DataFrame:
    """The answer of `queries/answers/<name>.sql`. Raises NotBuiltError where there is no result."""
    return queries.answer(folder() / run.RESULT, name, **parameters)


def ask_one(name: str, **parameters: Any) -> Any | None:
    """The only row of an answer as a named tuple, or None."""
    return next(each(ask(name, **parameters)), None)


def each(frame: pd.DataFrame) -> Iterator[Any]:
    """The rows of a frame as named tuples."""
    return iter(frame.itertuples())


def is_stale() -> bool:
    """Whether a file of the portfolio was changed after the result was built."""
    files = (file for kind in sources.KINDS for file in (folder() / kind).rglob("*"))
    return any(_is_newer(file) for file in files if not file.name.startswith("."))


def is_newer(path: str) -> bool:
    """Whether a file of the portfolio is there and was changed after the result was built."""
    return _is_newer(folder() / path)


def _is_newer(file: Path) -> bool:
    return file.is_file() and file.stat().st_mtime > (folder() / run.RESULT).stat().st_mtime
