"""Keys that are lists of answers with their points, one below the other on one sheet.

Each has over it the heading of the column that it is for, and what the points are: `Wear | Counts as`, then
`Sound | 0`, `Marked | 1`. They read as rows of one table of keys: the heading, the answer, the points.
"""

import re
from collections.abc import Iterator, Sequence

from pipelines.register.key import FEWEST_CODES

POINTS = re.compile(r"^([0-3])(?:\.0)?(?:\s*[(;,–-].*)?$", re.S)
"""Points, which may be told more of: `1 (few scratches)`."""
ANSWER = re.compile(r"[A-Za-z]")


def listed_apart(rows: Sequence[Sequence[str]]) -> list[list[str]]:
    """The lists of a sheet as heading, answer and points; none if it has no two of them."""
    found = list(_lists([[cell.strip() for cell in cells if cell.strip()] for cells in rows]))
    return [[name, answer, points[0]] for name, pairs in found for answer, points in pairs] if len(found) > 1 else []


def _lists(rows: Sequence[Sequence[str]]) -> Iterator[tuple[str, list[Sequence[str]]]]:
    """What stands over each list, and its answers with their points."""
    for nth, over in enumerate(rows):
        if len(over) != 2 or _is_scored(over):
            continue
        below = rows[nth + 1 :]
        n_scored = next((at for at, cells in enumerate(below) if not _is_scored(cells)), len(below))
        if n_scored >= FEWEST_CODES:
            yield over[0], list(below[:n_scored])


def _is_scored(cells: Sequence[str]) -> bool:
    return len(cells) == 2 and ANSWER.search(cells[0]) is not None and POINTS.match(cells[1]) is not None
