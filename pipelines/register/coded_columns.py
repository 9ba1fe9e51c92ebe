"""The columns of a sheet that hold codes, and the rows with the meanings in their place.

A column is decoded by the codes that nearly all of its cells are, fewer where a name fits its heading or the codes are
no words by themselves; codes that are figures need such a name. Where tables of other columns stand one below the other
on a sheet, a column is that of its table first.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from pipelines.register.key import FEWEST_CODES, SHORTEST_WORD, Key
from pipelines.register.key_labels import columns_scored, headings_in
from pipelines.register.keys import FIGURES, FOUND_AS_BEFORE, NOT_HELD, OF_SCORES, without_explanation
from pipelines.register.layout import is_ditto

SCORE = re.compile(r"\bscores?\b", re.I)
SAMPLES = re.compile(r"\b(?:samples?|smpl?|lab)\b", re.I)
LEAST_DECODED, LEAST_DECODED_NAMED = 0.8, 0.3
HEADING_ROWS = 12
THIN = 2
"""Cells of a row that may stand right above the heading of another table."""
Numbered = tuple[int, Sequence[str]]
ByColumn = Mapping[int, Key]


def meant(
    rows: Sequence[Numbered], keys: Sequence[Key], is_heading: Callable[[Sequence[str]], bool] | None = None
) -> Iterable[Numbered]:
    """The rows of a sheet in which codes stand, with their meanings. What is a heading parts the tables of a sheet."""
    whole = _by_column(rows, keys)
    parts = parted(rows, is_heading) if is_heading else [rows]
    absent = _absences_said(rows, keys)
    for part in parts:
        by_column = {**whole, **_by_column(part, keys)} if len(parts) > 1 else whole
        yield from _meant(part, by_column, absent, keys)


def parted(rows: Sequence[Numbered], is_heading: Callable[[Sequence[str]], bool]) -> list[list[Numbered]]:
    """The rows of each table of a sheet, those of headings alike together; what stands above the first is of its table.

    Another table begins below a blank row or a row of few cells, so that few rows are asked whether they are a heading.
    """
    parts: dict[tuple[str, ...], list[Numbered]] = {}
    now: tuple[str, ...] = ()
    above: list[Numbered] = []
    before, n_before = 0, 0
    for number, cells in rows:
        said = tuple(text for cell in cells if (text := cell.strip()))
        if len(said) > THIN and (number - before > 1 or n_before <= THIN) and is_heading(cells):
            now = said
        (parts.setdefault(now, []) if now else above).append((number, cells))
        before, n_before = number, len(said)
    first, *others = parts.values() or [[]]
    return [above + first, *others]


def _by_column(rows: Sequence[Numbered], keys: Sequence[Key]) -> ByColumn:
    """The key of each column that has one."""
    width = max((len(cells) for _, cells in rows), default=0)
    return {
        at: key
        for at in range(width)
        if (key := _key_of([cells[at].strip() if at < len(cells) else "" for _, cells in rows], keys))
    }


def _meant(
    rows: Sequence[Numbered], by_column: ByColumn, absent: Mapping[tuple[int, str], str], keys: Sequence[Key]
) -> Iterator[Numbered]:
    """The rows of a table in which codes stand, with their meanings."""
    named, scored = _headings_said(keys), columns_scored(keys)
    tops = {
        at: next((nth for nth, (_, cells) in enumerate(rows) if at < len(cells) and cells[at].strip()), 0)
        for at in by_column
    }
    for nth, (number, cells) in enumerate(rows):
        is_top = nth < HEADING_ROWS
        of_scores = headings_in(cells, scored) if is_top and scored else {}
        read = [
            of_scores.get(cell.strip())
            or (tops.get(at) == nth and by_column[at].is_listed_in(cell) and by_column[at].about)
            or (at in by_column and (by_column[at].decode(cell) or by_column[at].decode_joined(cell)))
            or absent.get((at, cell.strip().removesuffix(".0")))
            or (at and not cells[at - 1].strip() and at not in by_column and _of_left(by_column.get(at - 1), cell))
            or (is_top and named.get(cell.strip()))
            or cell
            for at, cell in enumerate(cells)
        ]
        if read != list(cells):
            yield number, read


def _of_left(key: Key | None, cell: str) -> str | None:
    """The meaning of a code that stands one column to the right of its own."""
    code = cell.strip()
    return key.meanings.get(code) if key and len(code) >= SHORTEST_WORD else None


def _headings_said(keys: Sequence[Key]) -> Mapping[str, str]:
    """What a key says of columns that hold scores as they stand: `MA_PT | 1-3 | product type score`."""
    return {
        key.name: without_explanation(meaning)
        for key in keys
        for code, meaning in key.meanings.items()
        if len(key.meanings) == 1 and key.name and OF_SCORES.match(code) and SCORE.search(meaning)
    }


def _absences_said(rows: Sequence[Numbered], keys: Sequence[Key]) -> Mapping[tuple[int, str], str]:
    """What in a column stands for no value by the key, however seldom: `QTY | 999 | not recorded`."""
    columns = {cell.strip(): at for _, cells in reversed(rows[:HEADING_ROWS]) for at, cell in enumerate(cells)}
    return {
        (columns[key.name], code): meaning
        for key in keys
        if key.name in columns
        for code, meaning in key.meanings.items()
        if FIGURES.match(code) and NOT_HELD.search(meaning)
    }


def _key_of(column: Sequence[str], keys: Sequence[Key]) -> Key | None:
    """The codes that nearly all cells of a column are, those whose name fits a heading first."""
    above = [cell for cell in column[:HEADING_ROWS] if cell]
    filled = [cell for cell in column if cell]
    telling = [cell for cell in filled if not _says_no_code(cell)]
    choices: list[tuple[bool, float, int, Key]] = []
    for nth, key in enumerate(keys):
        if key.is_of_places and any(map(SAMPLES.search, above)):
            continue  # samples may be numbered within a block
        coded = [cell for cell in filled if key.decode(cell)]
        counted = [cell for cell in telling if not key.is_for(cell)]
        share = len(coded) / (len(counted) or 1)
        is_named = any(key.is_for(cell) for cell in above if not key.decode(cell))
        is_figures = all(FIGURES.match(cell) for cell in coded)
        if is_named and not is_figures:
            share = max(share, _share_of_short(counted, key))
        is_plain = is_named or key.is_of_places or all(map(key.is_plainly_in, coded))
        least = LEAST_DECODED_NAMED if is_plain else LEAST_DECODED
        if len(coded) >= FEWEST_CODES and share >= least and (is_named or not is_figures):
            choices.append((is_named, share, -nth, key))
    if not choices:
        return None
    is_named, share, _, best = max(choices, key=lambda choice: choice[:3])
    return best if is_named or share >= LEAST_DECODED else best.among_words()


def _says_no_code(cell: str) -> bool:
    """Whether a cell says no more than that all is as before, or as above."""
    return FOUND_AS_BEFORE.match(cell) is not None or is_ditto(cell)


def _share_of_short(cells: Sequence[str], key: Key) -> float:
    """How many of the cells as short as codes are codes: a list of several surveyors has the words of others too."""
    longest = max(map(len, key.meanings))
    short = [cell for cell in cells if len(cell) <= longest and cell[0].isalpha()]
    return sum(1 for cell in short if key.decode(cell)) / (len(short) or 1)
