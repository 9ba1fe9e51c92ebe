"""Delimited text: any usual mark between the cells, any usual encoding, quotes as they come.

A file whose quotes are all in order is read by whole blocks (`blocks`). Any other is read line by line (`careful`),
which is slower and decides on each quote. Both give the same rows where both can read.
"""

import re
from codecs import getincrementaldecoder
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path

import pyarrow as pa

from pipelines.sources.blocks import BLOCK_BYTES, blocks
from pipelines.sources.careful import Dialect, careful
from pipelines.sources.contents import HEAD_BYTES, encodings
from pipelines.sources.rows import Limits, UnreadableError, numbered, table

MARKS = ",;\t|^~"
HEAD_LINES = 50
NO_MARK = "\0"
"""What stands in no text, so that each line is one cell."""
LEAST_INDENTED, LEAST_ALIKE = 0.25, 0.5
BREAK = re.compile(r"\r\n|\n|\r")
MARK_NAMED = re.compile(r'"?sep=([!#-/:-@\[-`{-~\t])"?', re.IGNORECASE)


def read(file: Path, limits: Limits) -> list[pa.Table]:
    """All rows of a text. Raises UnreadableError."""
    with file.open("rb") as opened:
        head = opened.read(HEAD_BYTES)
    tried = encodings(head)
    dialect = dialect_of(head.decode(tried[0], "replace").lstrip("\ufeff"), limits)
    for encoding in tried:
        try:
            found = blocks(_utf8(file, encoding), dialect, limits)
            if found is None:
                found = table(numbered(_careful_file(file, encoding, dialect, limits)), limits)
            return found
        except UnicodeDecodeError as error:
            fault = error
    raise UnreadableError("cut_off", f"a text in {fault.encoding}: {fault.reason}") from fault


def dialect_of(head: str, limits: Limits) -> Dialect:
    """By `sep=`, else the mark that divides the first lines most often into the same number of cells."""
    lines = BREAK.split(head)[:HEAD_LINES]
    named = MARK_NAMED.fullmatch(lines[0])
    if named:
        return Dialect(named[1], _usual(lines[1:], named[1], limits)[1], names_mark=True)
    found = {mark: _usual(lines, mark, limits) for mark in MARKS if mark in head}
    if _is_running_text(lines, found):
        return Dialect(NO_MARK, 1)
    best = max(found, key=lambda mark: found[mark][0], default=",")
    return Dialect(best, found[best][1] if found else 1)


def _is_running_text(lines: Sequence[str], found: Mapping[str, tuple[int, int]]) -> bool:
    """Whether lines are no rows of cells: many are indented, and no mark divides half of them alike."""
    filled = [line for line in lines if line.strip()]
    n_indented = sum(line[:2] in ("  ", "\t ") or (line[:1] == "\t" and "\t" not in line.strip()) for line in filled)
    n_alike = max((score // (width - 1) for score, width in found.values() if width > 1), default=0)
    return n_indented >= LEAST_INDENTED * len(filled) > 0 and n_alike < LEAST_ALIKE * len(filled)


def _usual(lines: Sequence[str], mark: str, limits: Limits) -> tuple[int, int]:
    """How many delimiters stand in the rows of the usual width, and that width; by rows that repeat no cell, if any."""
    plain = [line for line in lines if '"' not in line.split(mark)] or lines
    rows = careful((f"{line}\n" for line in plain), Dialect(mark, 0), limits)
    widths = [len(row) for row in rows if len(row) > 1]
    return max(((widths.count(width) * (width - 1), width) for width in sorted(set(widths))), default=(0, 1))


def _careful_file(file: Path, encoding: str, dialect: Dialect, limits: Limits) -> Iterator[list[str]]:
    with file.open(encoding=encoding, newline="") as opened:
        lines = iter(partial(opened.readline, limits["row_characters_most"] + 1), "")
        if dialect.names_mark:
            next(lines)
        yield from careful(lines, dialect, limits)


def _utf8(file: Path, encoding: str) -> Iterator[bytes]:
    """The bytes of a text in UTF-8, by blocks. Raises UnicodeDecodeError."""
    decoder = getincrementaldecoder(encoding)()
    with file.open("rb") as opened:
        yield decoder.decode(opened.read(BLOCK_BYTES)).encode()
        while block := opened.read(BLOCK_BYTES):
            is_plain = block.isascii() and not decoder.getstate()[0] and not encoding.startswith("utf-16")
            yield block if is_plain else decoder.decode(block).encode()
        yield decoder.decode(b"", True).encode()
