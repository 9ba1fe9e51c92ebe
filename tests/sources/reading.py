"""One file read as a build reads it, and tables to write into files."""

import csv
from pathlib import Path

from hypothesis import strategies as st

from pipelines import queries, sources
from pipelines.sources.kept import Kept

Rows = list[tuple[int, list[str]]]

with (queries.REFERENCE / "limits.csv").open(encoding="utf-8", newline="") as opened:
    LIMITS = {row["name"]: int(float(row["value"])) for row in csv.DictReader(opened)}

# Texts without control characters, NUL, half letters and the two that no XML may hold.
words = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs"), exclude_characters="\ufffe\uffff"), max_size=6
)
plain_words = st.text("abcdefgh ABC 0123456789.-", max_size=6)
headings = st.lists(st.text("abcdefghijk", min_size=1, max_size=5), min_size=4, max_size=6)


def sheets(file: Path, **limits: int) -> list[tuple[str | None, bool, Rows]]:
    """Name, whether hidden, and numbered rows of each sheet. Raises UnreadableError."""
    source = sources.SourceFile(file, f"registers/{file.name}", "registers", "")
    return [
        (sheet.name, sheet.is_hidden, [(row["row_number"], row["cells"]) for row in sheet.rows.to_pylist()])
        for sheet in sources.read(source, LIMITS | limits, Kept(None))
    ]


def rows(file: Path, **limits: int) -> Rows:
    """The rows of a file of one sheet."""
    ((_, _, found),) = sheets(file, **limits)
    return found


def of(content: bytes | str, name: str, folder: Path, **limits: int) -> Rows:
    """The rows of a file with this content."""
    file = folder / name
    file.write_bytes(content.encode() if isinstance(content, str) else content)
    return rows(file, **limits)


def told(table: list[list[str]], first: int = 1) -> Rows:
    """The rows of a table that are not blank, with their numbers."""
    return [(number, cells) for number, cells in enumerate(table, first) if "".join(cells).strip()]
