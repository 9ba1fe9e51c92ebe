"""Keys to the codes of a workbook: sheets of codes and meanings, by which the other sheets are read.

`LR | Living room` is a code with its meaning, `Rm | LR | Living room` names its column too; a line of one cell names
the codes below it. A column is decoded by the codes that nearly all of its cells are; codes that are figures need a
name that fits its heading. A code with two meanings is left as it is. The rows of the file stay as they are, in
`raw_rows`.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby

import duckdb
import pyarrow as pa

from pipelines import queries
from pipelines.register.words import plain

KEY = re.compile(r"\b(keys?|codes?|legend|abbreviations?|abbr|meanings?|stands? for)\b", re.I)
CODE = re.compile(r"^[A-Za-z0-9+/*.&-]{1,6}$")
MEANING = re.compile(r"[A-Za-z].*[A-Za-z]{2}")
IN_ONE = re.compile(r"^\s*([A-Za-z0-9+/&.*-]{1,6})\s*(?:[=:–]|\s-)\s*(\S.*)$")
SEVERAL = re.compile(r"\s*[+/,&]\s*")
SAYS_NOTHING = frozenset(("code", "codes", "key", "score", "scores", "rating", "type", "of", "the", "to", "for"))
FIGURES = re.compile(r"^\d+(\.0)?$")
FEWEST_CODES = 3
LONGEST_JOINED = 3
LEAST_PAIRS = 0.5
LEAST_DECODED, LEAST_DECODED_NAMED = 0.8, 0.3
HEADING_ROWS = 12
SHORTEST_NAME = 2
DECODED = pa.schema(
    [("path", pa.string()), ("sheet", pa.string()), ("row_number", pa.int32()), ("cells", pa.list_(pa.string()))]
)

Numbered = tuple[int, Sequence[str]]


@dataclass
class Key:
    """Codes with their meanings, and what they are called."""

    name: str
    meanings: dict[str, str] = field(default_factory=dict)

    def decode(self, cell: str) -> str | None:
        """The meaning of a cell that is a code, or several, as `W+B` or `WB`; else None."""
        text = cell.strip().removesuffix(".0")
        if text in self.meanings:
            return self.meanings[text]
        parts = SEVERAL.split(text)
        if len(parts) > 1 and all(part in self.meanings for part in parts):
            return " & ".join(self.meanings[part] for part in parts)
        if text.isalpha() and len(text) == len(set(text)) > 1 and all(letter in self.meanings for letter in text):
            return " & ".join(self.meanings[letter] for letter in text)
        return self.meanings.get(text.upper())

    def decode_joined(self, cell: str) -> str | None:
        """The meanings of codes of one letter each that stand side by side, as `WB`; else None."""
        letters = cell.strip().upper()
        if not 2 <= len(letters) <= LONGEST_JOINED or len(set(letters)) < len(letters):
            return None
        is_all = letters.isalpha() and all(letter in self.meanings for letter in letters)
        return " & ".join(self.meanings[letter] for letter in letters) if is_all else None

    def is_for(self, heading: str) -> bool:
        """Whether the name of the codes and a heading have a word in common, in full or short."""
        return any(
            len(shorter) >= SHORTEST_NAME and longer.startswith(shorter) and not SAYS_NOTHING & {one, other}
            for one in plain(heading).split()
            for other in plain(self.name).split()
            for shorter, longer in (sorted((one, other), key=len),)
        )


def decode(con: duckdb.DuckDBPyConnection) -> Mapping[str, Sequence[Key]]:
    """Make `decoded_rows`: the rows of workbooks with a key, with meanings in place of their codes.

    The keys come back by workbook.
    """
    keys: dict[str, list[Key]] = defaultdict(list)
    legends: set[tuple[str, str]] = set()
    for (path, sheet), rows in groupby(queries.tuples(con, "register", "legend_rows"), key=lambda row: row[:2]):
        if found := keys_of(sheet, [cells for *_, cells in rows]):
            keys[path] += found
            legends.add((path, sheet))
    decoded: list[tuple[str, str, int, Sequence[str]]] = []
    coded = queries.tuples(con, "register", "coded_rows", paths=sorted(keys)) if keys else []
    for (path, sheet), lines in groupby(coded, key=lambda row: row[:2]):
        if (path, sheet) not in legends:
            rows_here = [(number, cells) for *_, number, cells in lines]
            decoded += [(path, sheet, number, cells) for number, cells in meant(rows_here, keys[path])]
    columns = [dict(zip(DECODED.names, row, strict=True)) for row in decoded]
    queries.insert(con, "decoded_rows", pa.Table.from_pylist(columns, schema=DECODED), is_step=True)
    return keys


def keys_of(sheet: str, rows: Sequence[Sequence[str]]) -> list[Key]:
    """The codes that a sheet lists, by their names; none if it does not say that it is a key."""
    filled = [[cell.strip() for cell in cells if cell.strip()] for cells in rows]
    if not any(KEY.search(text) for text in (sheet, *(cell for cells in filled for cell in cells))):
        return []
    is_named = sum(len(cells) == 3 for cells in filled) > len(filled) // 2
    found: dict[str, Key] = {}
    name, n_pairs = "", 0
    unclear: set[tuple[str, str]] = set()
    for cells in filled:
        pairs = list(_pairs(cells, is_named))
        n_pairs += bool(pairs)
        if not pairs and len(cells) == 1:
            name = cells[0]
        for group, code, meaning in pairs:
            known = found.setdefault(group or name, Key(group or name))
            if known.meanings.setdefault(code, meaning) != meaning:
                unclear.add((group or name, code))
    for group, code in unclear:
        del found[group].meanings[code]
    is_list = n_pairs >= max(FEWEST_CODES, LEAST_PAIRS * len(filled))
    return list(found.values()) if is_list else []


def _pairs(cells: Sequence[str], is_named: bool) -> Iterator[tuple[str, str, str]]:
    """Name, code and meaning of each code that a row gives."""
    if is_named and len(cells) == 3:
        if CODE.match(cells[1]) and MEANING.search(cells[2]):
            yield cells[0], cells[1].removesuffix(".0"), cells[2]
        return
    at = 0
    while at < len(cells):
        following = cells[at + 1] if at + 1 < len(cells) else ""
        if all(map(CODE.match, codes := cells[at].split())) and MEANING.search(following):
            yield from (("", code.removesuffix(".0"), following) for code in codes)
            at += 1
        elif inside := IN_ONE.match(cells[at]):
            yield "", inside[1], inside[2]
        at += 1


def meant(rows: Sequence[Numbered], keys: Sequence[Key]) -> Iterable[Numbered]:
    """The rows of a sheet in which codes stand, with their meanings."""
    width = max((len(cells) for _, cells in rows), default=0)
    by_column: Mapping[int, Key] = {
        at: key
        for at in range(width)
        if (key := _key_of([cells[at].strip() if at < len(cells) else "" for _, cells in rows], keys))
    }
    for number, cells in rows:
        read = [
            (at in by_column and (by_column[at].decode(cell) or by_column[at].decode_joined(cell))) or cell
            for at, cell in enumerate(cells)
        ]
        if read != list(cells):
            yield number, read


def _key_of(column: Sequence[str], keys: Sequence[Key]) -> Key | None:
    """The codes that nearly all cells of a column are, those whose name fits a heading first."""
    above = [cell for cell in column[:HEADING_ROWS] if cell]
    choices: list[tuple[bool, float, int, Key]] = []
    for nth, key in enumerate(keys):
        coded = [cell for cell in column if cell and key.decode(cell)]
        share = len(coded) / (sum(1 for cell in column if cell and not key.is_for(cell)) or 1)
        is_named = any(key.is_for(cell) for cell in above if not key.decode(cell))
        is_figures = all(FIGURES.match(cell) for cell in coded)
        least = LEAST_DECODED_NAMED if is_named else LEAST_DECODED
        if len(coded) >= FEWEST_CODES and share >= least and (is_named or not is_figures):
            choices.append((is_named, share, -nth, key))
    return max(choices, key=lambda choice: choice[:3])[3] if choices else None
