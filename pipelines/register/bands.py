"""Bands of one table: returns of several firms below one heading, whose columns may mean another thing in each."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pipelines.register import layout
from pipelines.register.columns import LESS_SURE, by_fit, read_columns, without_repeats
from pipelines.register.contents import EXTENT, NUMBER, SCORED, SURE
from pipelines.register.contents_columns import by_contents
from pipelines.register.meanings import ELSE, INSTEAD, Column, fields_in
from pipelines.register.reader import CONTEXT, NOT_NEEDED, Reader
from pipelines.register.words import plain

ROWS_LEAST = 8
"""Rows of a band that is looked at by itself."""
VALUES_LEAST = 5
HARDLY = 0.2
"""Of the values of a column in a band, the most that may fit what it means elsewhere if it means another thing here."""
WORDS_OR_SCORES = ("damage", "surface", "accessibility")
"""Fields whose columns hold words or figures."""
NAMING = tuple(name for name in CONTEXT if name != "survey_type")
"""Fields that a heading alone tells, as a reference that the stock list lacks is one."""
NAMES_THINGS = ("position", "product", "product_beside", "room")
WHY = "these rows hold {}, whatever the heading means above or below"
ADDRESS = re.compile(r"^\W*(?:(?:flat|block|plot|unit|no|site|house)\W+)?\d+[a-z]?\W+[a-z]{3}", re.I)


@dataclass(frozen=True)
class Band:
    """Rows of a table: the number of the line before them, 0 for the first, and their cells."""

    line: int
    rows: list[layout.Cells]


def parted(rows: Sequence[layout.Numbered], reader: Reader) -> list[Band]:
    """The rows below a heading, by the lines of one cell between them that name no home or room. Few rows are of the
    band before them, or after them at the top."""
    bands = [Band(0, [])]
    for number, cells in rows:
        filled = [cell.strip() for cell in cells if cell.strip()]
        if len(filled) == 1 and _is_between(filled[0], reader):
            bands.append(Band(number, []))
        elif len(filled) > layout.NARROW:
            bands[-1].rows.append(cells)
    whole = [bands[0]]
    for band in bands[1:]:
        if len(band.rows) < ROWS_LEAST or (len(whole) == 1 and len(whole[0].rows) < ROWS_LEAST):
            whole[-1].rows.extend(band.rows)
        else:
            whole.append(band)
    return whole


def _is_between(text: str, reader: Reader) -> bool:
    """Whether a line can stand between two returns, as it names no home, street or room."""
    stock, words = reader.contents.stock, plain(text)
    names = (*stock.get("street", ()), *stock.get("building_name", ()))
    is_home = ADDRESS.match(text) is not None or any(one in stock.get("property_ref", ()) for one in words.split())
    is_street = any(f" {name} " in f" {words} " for name in names if name)
    return not (is_home or is_street or reader.contents.share("room", [text]))


def of_each(
    block: layout.Block, bands: Sequence[Band], below: Sequence[layout.Cells], reader: Reader
) -> list[tuple[int, list[Column]]]:
    """The columns of a table from each line on at which they mean another thing, the first line 0; one for all bands
    where their meaning does not change.

    A column means another thing in a band if hardly any of its cells there fit what they do elsewhere, and all but all
    are of another field that its heading can mean, or of which their words leave no doubt.
    """
    whole = read_columns(block, below, reader)
    kept = without_repeats(whole)
    held = [[_values(band.rows, at) for at in range(len(whole))] for band in bands]
    changed = [_changed(block.labels, kept, held, nth, reader) for nth in range(len(bands))]
    if not any(changed):
        return [(0, whole)]
    alike = [cells for band, of_band in zip(bands, changed, strict=True) if not of_band for cells in band.rows]
    base = read_columns(block, alike, reader) if alike else whole
    found: list[tuple[int, list[Column]]] = []
    for band, of_band, values in zip(bands, changed, held, strict=True):
        read = by_fit(_less_sure(base, of_band), values, reader) if of_band else base
        if not found or found[-1][1] != read:
            found.append((band.line, read))
    return found


def _less_sure(base: Sequence[Column], of_band: Mapping[int, Column]) -> list[Column]:
    """The columns of a band: what a column holds there alone goes before another's heading."""
    told = {column.field for column in of_band.values()} - {"extent"}
    return [
        of_band.get(
            at, replace(column, confidence=min(column.confidence, LESS_SURE)) if column.field in told else column
        )
        for at, column in enumerate(base)
    ]


def _values(rows: Sequence[layout.Cells], at: int) -> list[str]:
    cells = (layout.at_or_blank(cells, at) for cells in rows)
    return [cell for cell in cells if cell and cell.lower() not in layout.BLANKS]


def _changed(
    labels: Sequence[Sequence[str]],
    kept: Sequence[Column],
    held: Sequence[Sequence[Sequence[str]]],
    nth: int,
    reader: Reader,
) -> dict[int, Column]:
    """The columns that mean another thing in the nth band, by their place; one whose field another takes there is not
    used. held: the values of each band by column."""
    of_others = {
        at: column
        for at, column in enumerate(kept)
        if column.field and _is_of_others(column.field, [of_band[at] for of_band in held], nth, reader)
    }
    meant = {
        at: told
        for at, column in of_others.items()
        if (told := _meant(labels[at], column, held[nth][at], fields_in(kept), reader)) is not None
    }
    taken = {column.field for column in meant.values()}
    unused = {
        at: replace(column, field=None, confidence=1.0, reason=WHY.format(f"no {column.field}"), others=(), also=())
        for at, column in of_others.items()
        if at not in meant and column.field in taken
    }
    return meant | unused


def _is_of_others(name: str, held: Sequence[Sequence[str]], nth: int, reader: Reader) -> bool:
    """Whether a column holds a field in other bands, and hardly ever in the nth."""
    told = [_fit(name, values, reader) if len(values) >= VALUES_LEAST else None for values in held]
    own = told[nth]
    return name not in NAMING and own is not None and own <= HARDLY and any(one and one >= SURE for one in told)


def _meant(
    labels: Sequence[str], column: Column, values: Sequence[str], taken: set[str], reader: Reader
) -> Column | None:
    """What a column means in a band where it is not what it is in the others: by another meaning of its heading that
    the values fit, else by the values, if no other column has that; an extent may stand in several."""
    known = [one for label in labels for one in reader.fields_of(label)]
    likely = dict.fromkeys([*known, *(INSTEAD[one] for one in (column.field, *known) if one in INSTEAD)])
    name = next((one for one in likely if one != NOT_NEEDED and _fit(one, values, reader) >= SURE), None)
    if name is None and column.field in NAMES_THINGS and all(map(NUMBER.match, values)):
        name = "item_ref"
    if name is None:
        told = by_contents(replace(column, field=None), values, reader, set()).field
        name = told if told == "extent" or told not in taken else None
    if name is None:
        return None
    return replace(column, field=name, confidence=0.9, reason=WHY.format(name), others=_else(name), also=())


def _else(name: str) -> tuple[str, ...]:
    """What a column may mean beside a surer one of its field; an extent may stand in several."""
    return (name,) if name == "extent" else ELSE.get(name, ())


def _fit(name: str, values: Sequence[str], reader: Reader) -> float:
    """The share of values that can stand in a column of the field `name`: words or scores, results or a yes."""
    known = reader.contents
    if name == "identification":
        return known.share_of_result(values) + known.share("sampled", values)
    figures = SCORED if name in WORDS_OR_SCORES else NUMBER if name == "extent" else None
    n_figures = sum(1 for one in values if figures and figures.match(one) and not EXTENT.match(one))
    return known.share(name, values) + n_figures / (len(values) or 1)
