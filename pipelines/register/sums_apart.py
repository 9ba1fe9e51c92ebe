"""Columns of points that stand apart and add up, with the points of the asbestos found, to the stated material score.

Points may stand before words (`1 - edges chipped`). What the type of asbestos scores need not stand anywhere: it is
what is left, if that is the same wherever the same type was found.
"""

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations, permutations

from pipelines.register.contents import APART
from pipelines.register.layout import at_or_blank, values_at
from pipelines.register.meanings import Column
from pipelines.register.reader import Reader

POINTS = re.compile(r"^([0-3])(?:\.0)?(?:\s+[-–]\s+(.*))?$")
TOTAL = re.compile(r"^(\d{1,2})(?:\.0)?$")
SCORED = {
    "product_type_score": ("product", "product_type_score"),
    "damage_score": ("damage", "damage_score", "damage"),
    "surface_treatment_score": ("surface", "surface_treatment_score", "surface"),
}
"""What the three score, the vocabulary of their words, and the fields of their columns."""
TYPES = ("asbestos_types", "asbestos_type_score")
FEWEST_ROWS, LEAST_RIGHT, COLUMNS_MOST = 10, 0.9, 8


def by_sums_apart(read: list[Column], below: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where three of points, some of which no heading tells, add up to the stated material score."""
    totals = [at for at, column in enumerate(read) if column.field == "material_score"]
    types = [at for at, column in enumerate(read) if column.field in TYPES]
    if reader.kind != "registers" or len(totals) != 1 or not types or all(column.field for column in read):
        return read
    scored = [at for at, column in enumerate(read) if _may_score(column) and _are_points(values_at(below, at))]
    if not 3 <= len(scored) <= COLUMNS_MOST or all(read[at].field for at in scored):
        return read
    found = [three for three in combinations(scored, 3) if _adds_up(below, three, totals[0], types[0])]
    fields = _fields(read, below, found[0], reader) if len(found) == 1 else {}
    why = "with the points of two other columns and of the asbestos, it adds up to the material score"
    return [
        replace(column, field=fields[at], confidence=0.8, reason=why, others=(), also=()) if at in fields else column
        for at, column in enumerate(read)
    ]


def _may_score(column: Column) -> bool:
    """Whether a column is not told yet, or one of the three."""
    told = {name for _, *names in SCORED.values() for name in names}
    return column.field in told or (column.field is None and column.confidence == 0)


def _are_points(values: Sequence[str]) -> bool:
    right = sum(POINTS.match(value) is not None for value in values)
    return right >= max(FEWEST_ROWS, LEAST_RIGHT * len(values))


def _adds_up(rows: Sequence[Sequence[str]], three: Sequence[int], total: int, types: int) -> bool:
    """Whether what is left of the total is 1 to 3, and the same for each type, as several rows of a type tell."""
    left: dict[str, Counter[int]] = defaultdict(Counter)
    for cells in rows:
        points = [POINTS.match(at_or_blank(cells, at)) for at in three]
        stated = TOTAL.match(at_or_blank(cells, total))
        if stated and all(points) and (found := at_or_blank(cells, types)):
            left[found][int(stated[1]) - sum(int(one[1]) for one in points if one)] += 1
    n_rows = sum(counted.total() for counted in left.values())
    best = [max(counted.items(), key=lambda one: (one[1], one[0])) for counted in left.values()]
    n_right = sum(times for score, times in best if 1 <= score <= 3)
    return n_rows >= FEWEST_ROWS + len(left) and n_right >= LEAST_RIGHT * n_rows


def _fields(
    read: Sequence[Column], rows: Sequence[Sequence[str]], three: Sequence[int], reader: Reader
) -> Mapping[int, str]:
    """What those of the three score that are not told: what is left of them, or what their words fit best; none where
    neither tells, as the heading is then asked for."""
    told = {score for at in three for score, (_, *names) in SCORED.items() if read[at].field in names}
    open_ones = [at for at in three if read[at].field is None]
    free = [score for score in SCORED if score not in told]
    if len(free) != len(open_ones):
        return {}
    ways = sorted(_ways(rows, open_ones, free, reader), key=lambda way: way[0], reverse=True)
    is_sure = len(ways) == 1 or (len(ways) > 1 and ways[0][0] >= ways[1][0] + APART)
    return ways[0][1] if is_sure else {}


def _ways(
    rows: Sequence[Sequence[str]], three: Sequence[int], free: Sequence[str], reader: Reader
) -> Iterator[tuple[float, Mapping[int, str]]]:
    """Each way to take columns for scores, and how well their words fit it; no material scores 0."""
    held = {at: [one for value in values_at(rows, at) if (one := POINTS.match(value))] for at in three}
    for order in permutations(free):
        way = dict(zip(three, order, strict=True))
        if any(score == "product_type_score" and any(one[1] == "0" for one in held[at]) for at, score in way.items()):
            continue
        words = {at: [one[2] for one in held[at] if one[2]] for at in three}
        yield sum(reader.contents.share(SCORED[score][0], words[at]) for at, score in way.items()), way
