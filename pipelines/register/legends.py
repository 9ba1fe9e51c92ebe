"""Keys to the codes of a workbook, or of a sheet: by them the other rows are read.

They stand on a sheet of their own, or in a line such as `G = good, L = low damage`. Which columns hold codes is told
by `coded_columns`. The rows of the file stay as they are, in `raw_rows`.
"""

import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import groupby

import duckdb
import pyarrow as pa

from pipelines import queries
from pipelines.register import layout, renamed
from pipelines.register.coded_columns import HEADING_ROWS, Numbered, meant
from pipelines.register.grades import in_order
from pipelines.register.key import ABSENT, FEWEST_CODES, PLACE_NAME, SHORTEST_WORD, Key
from pipelines.register.key_lists import listed_apart
from pipelines.register.key_series import keys_listed
from pipelines.register.key_tables import KeyTable, Words, key_table, may_be_table, names_columns, read_by
from pipelines.register.keys import (
    FIGURES,
    NOT_HELD,
    keys_beside,
    keys_of,
    keys_said,
    keys_unmarked,
    without_explanation,
)
from pipelines.register.reader import Reader
from pipelines.register.resolved import resolved
from pipelines.register.result_words import is_told_behind
from pipelines.register.words import plain, recognise_word

CODED = ("identification", "asbestos_type")
"""The fields whose codes may be known without a key."""
MEANT = (*CODED, "product")
COLUMN_OF = {"identification": "Result", "asbestos_type": "Asbestos type", "product": "Material"}
"""What a column is called by the vocabulary of its codes."""
LIST = re.compile(r"\s*,\s*")
FORMS = re.compile(r"\s*\((?!.*\bor\b)[^()]*[,/][^()]*\)$")
"""What a material is met as: `asbestos cement (sheet, slate, pipe)`."""
SCALE_OF = re.compile(r"^(?:(damage|dam|condition|cond|surface|surf|acc(?:ess\w*)?)|prod(?:uct)?|asb\w*(?: type)?)\b")
"""What a material or priority assessment scores, from 0 to 3 or from 1 to 3."""
ACCESS = re.compile(r"^acc(?:ess\w*)?\b", re.I)
SCORE_BEHIND = re.compile(r"\(([0-3])\)$")
"""The score that a code of accessibility stands for: `U = usually out of reach (0)`."""
WELL = re.compile(r"\b(?:good|no|none|nil|undamaged|sound)\b", re.I)
RUNS_ON = re.compile(r"[a-z)]\.\s+[A-Z]")
"""Another sentence behind a meaning."""
UNSAMPLED = ("presumed", "strongly_presumed", "no_access", "not_suspect")
DECODED = pa.schema(
    [("path", pa.string()), ("sheet", pa.string()), ("row_number", pa.int32()), ("cells", pa.list_(pa.string()))]
)


def decode(con: duckdb.DuckDBPyConnection, reader: Reader) -> Mapping[str, Sequence[Key]]:
    """Make `decoded_rows`: the rows of workbooks and sheets with a key, with meanings in place of their codes.

    reader: what headings of registers are read by, to tell where another table of a sheet begins. The keys that are
    sheets of their own come back by workbook.
    """
    legends, tables = _legends(con)
    keys: dict[str, list[Key]] = defaultdict(list)
    for (path, _), found in legends.items():
        keys[path] += found
    own = _said(con, keys)
    words = vocabularies(queries.tuples(con, "register", "known_terms"))
    names = renamed.told(con)
    of_columns = {path: [one for table in found for one in by_column(table, words)] for path, found in tables.items()}
    decoded: list[tuple[str, str | None, int, Sequence[str]]] = []
    paths = sorted({*keys, *tables, *names, *(path for (path, _), found in own.items() if found)})
    for (path, sheet), rows_here in _sheets(con, paths):
        if (path, sheet) in legends:
            continue
        said = (*own.get((path, sheet), ()), *keys.get(path, ()))
        known = [as_known(in_order(without_scores(key, words), words.get("damage", {})), words) for key in said]
        exact = {at: one for of, at, one in of_columns.get(path, ()) if of == sheet}
        rows_there = list(_named(rows_here, names.get(path, {})))
        now = dict(_decoded(rows_there, exact, known, reader))
        decoded += [
            (path, sheet, number, now.get(number, cells))
            for (number, was), (_, cells) in zip(rows_here, rows_there, strict=True)
            if now.get(number, cells) != was
        ]
    columns = [dict(zip(DECODED.names, row, strict=True)) for row in (*decoded, *_resolved(con, decoded))]
    queries.insert(con, "decoded_rows", pa.Table.from_pylist(columns, schema=DECODED), is_step=True)
    for path, explained in of_columns.items():
        keys[path] += [one for *_, one in explained]
    return keys


def _legends(con: duckdb.DuckDBPyConnection) -> tuple[dict[tuple[str, str], list[Key]], dict[str, list[KeyTable]]]:
    """The sheets that are keys, with their codes, and by workbook those that are tables of keys, if these tell more."""
    legends: dict[tuple[str, str], list[Key]] = {}
    listed = {
        place: [cells for *_, cells in rows]
        for place, rows in groupby(queries.tuples(con, "register", "legend_rows"), key=lambda row: row[:2])
    }
    for (path, sheet), rows in listed.items():
        if found := keys_beside(rows) or keys_of(sheet, rows):
            legends[path, sheet] = found
    tabled = {place: listed_apart(rows) or rows for place, rows in listed.items()}
    maybe = {place: rows for place, rows in tabled.items() if may_be_table(rows)}
    for n_rows in (HEADING_ROWS, None):  # few sheets name columns of others, and of those alone all rows are looked at
        sheets: dict[str, dict[str, list[Numbered]]] = defaultdict(dict)
        for (path, sheet), below in _sheets(con, sorted({path for path, _ in maybe}), n_rows):
            sheets[path][sheet] = below
        others = {(path, sheet): {of: sheets[path][of] for of in sheets[path] if of != sheet} for path, sheet in maybe}
        maybe = {place: rows for place, rows in maybe.items() if names_columns(rows, others[place])}
    tables: dict[str, list[KeyTable]] = defaultdict(list)
    for (path, sheet), rows in maybe.items():
        table = key_table(rows, others[path, sheet])
        if table and table.n_answers > sum(len(key.meanings) for key in legends.get((path, sheet), ())):
            tables[path].append(table)
            legends[path, sheet] = []
    return legends, tables


def _sheets(
    con: duckdb.DuckDBPyConnection, paths: Sequence[str], rows: int | None = None
) -> Iterator[tuple[tuple[str, str], list[Numbered]]]:
    """The rows of the sheets of workbooks, or the first of them."""
    coded = queries.tuples(con, "register", "coded_rows", paths=paths, rows=rows) if paths else []
    for sheet, lines in groupby(coded, key=lambda row: row[:2]):
        yield sheet, [(number, cells) for *_, number, cells in lines]


def by_column(table: KeyTable, words: Words) -> Iterator[tuple[str, int, Key]]:
    """The columns that a table of keys explains: the sheet, where on it, and the key. What it says without points is
    read as other keys are."""
    for name, listed in table.listed.items():
        key = read_by(listed, words)
        key = key if listed.points else replace(as_known(without_scores(key, words), words), tells=key.tells)
        yield from ((one.sheet, one.columns[name], key) for one in table.registers if name in one.columns)


def _named(rows: Iterable[Numbered], names: Mapping[str, str]) -> Iterator[Numbered]:
    """Rows with the names of blocks that the stock list has."""
    return ((number, renamed.by_name(cells, names)) for number, cells in rows) if names else iter(rows)


def _decoded(
    rows: Sequence[Numbered], exact: Mapping[int, Key], keys: Sequence[Key], reader: Reader
) -> Iterator[Numbered]:
    """The rows of a sheet that have codes, with their meanings: first of the columns whose key is known."""
    read = [
        (number, [(at in exact and exact[at].decode(cell)) or cell for at, cell in enumerate(cells)])
        for number, cells in rows
    ]

    def is_heading(cells: Sequence[str]) -> bool:
        return layout.is_heading(cells, reader.field_of, reader.least_fields)

    meanings = dict(meant(read, keys, is_heading)) if keys else {}
    for (number, cells), (_, said) in zip(rows, read, strict=True):
        if (now := meanings.get(number, said)) != list(cells):
            yield number, now


def _said(con: duckdb.DuckDBPyConnection, keys: dict[str, list[Key]]) -> Mapping[tuple[str, str | None], list[Key]]:
    """The codes that lines of each sheet explain; those of a sheet of notes speak for its workbook and join `keys`."""
    own: dict[tuple[str, str | None], list[Key]] = defaultdict(list)
    at_before: tuple[str, str | None, int] | None = None
    for path, sheet, is_alone, cells in queries.tuples(con, "register", "rows_with_signs"):
        found = keys_said(cells) + keys_unmarked(cells)
        at = (path, sheet, max((nth for nth, cell in enumerate(cells) if cell.strip()), default=0))
        if at == at_before:
            found = named_above(cells, found, own[path, sheet])
        at_before = at
        found += keys_listed(cells)
        own[path, sheet] += found
        if is_alone:
            is_behind_label = sum(1 for cell in cells if cell.strip()) > 1
            keys[path] += [key for key in found if not is_behind_label or is_whole(key)]
    return own


def is_whole(key: Key) -> bool:
    """Whether no meaning runs on into a code of several words that was not understood: `own sample. As A1 = same stuff
    as that one`. What is explained so behind a label is left to the words themselves."""
    return not any("=" in said or RUNS_ON.search(said) for said in key.meanings.values())


def named_above(cells: Sequence[str], found: Sequence[Key], above: Sequence[Key]) -> list[Key]:
    """The codes of a line, with the name of those above where it stands below them and has none: it goes on."""
    is_alone = sum(1 for cell in cells if cell.strip()) == 1
    if not (is_alone and len(found) == 1 and not found[0].name and above and above[-1].name):
        return list(found)
    above[-1].meanings.update(
        {code: said for code, said in found[0].meanings.items() if code not in above[-1].meanings}
    )
    return []


def _resolved(con: duckdb.DuckDBPyConnection, decoded: Sequence[Sequence[object]]) -> Iterator[Sequence[object]]:
    """The rows of sheets whose codes stand beside their words, where no key has decoded them."""
    taken = {(path, sheet) for path, sheet, *_ in decoded}
    top = int(queries.limits(con)["heading_search_rows"])
    for sheet, lines in groupby(queries.tuples(con, "register", "rows_with_codes", rows=top), key=lambda row: row[:2]):
        if tuple(sheet) not in taken:
            yield from ((*sheet, number, cells) for number, cells in resolved([row[2:] for row in lines]))


def vocabularies(rows: Iterable[tuple[str, str, str]]) -> dict[str, dict[str, str]]:
    """The terms of each vocabulary by their words."""
    found: dict[str, dict[str, str]] = defaultdict(dict)
    for name, term, written in rows:
        found[name].setdefault(plain(written), term)
    return found


def as_known(key: Key, words: Mapping[str, Mapping[str, str]]) -> Key:
    """A key whose codes stand for themselves where they are known to mean what it says, so that `CHR 5N-2` stays;
    shorter ones are not known among other words."""

    def is_known(code: str, meaning: str) -> bool:
        told = (
            (terms.get(plain(code)), recognise_word(name, meaning, terms)[0])
            for name, terms in words.items()
            if name in CODED
        )
        meant = [(term, said) for term, said in told if said]
        return len(code) >= SHORTEST_WORD and bool(meant) and all(term == said for term, said in meant)

    results = words.get("identification", {})
    held = {code: said for code, said in key.meanings.items() if not (code in ABSENT and NOT_HELD.match(said))}
    meanings = {code: _result_said(_unlabelled(said, words), results) for code, said in held.items()}
    if ACCESS.match(key.name):
        meanings = {code: score[1] if (score := SCORE_BEHIND.search(said)) else said for code, said in meanings.items()}
    products = words.get("product", {})
    read = {code: code if is_known(code, said) else _of_one_material(said, products) for code, said in meanings.items()}
    if all(map(PLACE_NAME.match, key.meanings.values())) and _are_names(key.meanings.values(), words):
        return replace(key, is_of_places=True)
    words_too = frozenset(code for code, said in meanings.items() if _is_material(code, said, products))
    return replace(key, meanings=read, about=_about(key, words), words_too=words_too)


def _are_names(meanings: Collection[str], words: Mapping[str, Mapping[str, str]]) -> bool:
    """Whether what codes stand for are no words of registers: none as a whole, few with one in it (`Hoppers Rise`)."""
    is_word = any(plain(said) in known for known in words.values() for said in meanings)
    with_words = {said for said in meanings for name, known in words.items() if recognise_word(name, said, known)[0]}
    return not is_word and len(with_words) < len(meanings) / 2


def _is_material(code: str, meaning: str, products: Mapping[str, str]) -> bool:
    """Whether a code is known to be the material that it stands for: `TC` stays among words, `TC, walls`."""
    term = products.get(plain(code)) if len(code) > 1 else None
    return term is not None and recognise_word("product", meaning, products)[0] == term


def _unlabelled(meaning: str, words: Words) -> str:
    """A meaning without what the codes are called before it: `Accessibility (HSG227): easily disturbed`, where a whole
    phrase of a vocabulary stands behind the colon and none before it."""
    label, colon, said = meaning.partition(": ")
    is_phrase = bool(colon) and any(len(plain(said).split()) > 1 and plain(said) in known for known in words.values())
    if not is_phrase or any(recognise_word(name, label, known)[0] for name, known in words.items() if name in MEANT):
        return meaning
    return said


def _result_said(meaning: str, results: Mapping[str, str]) -> str:
    """A meaning. What was not sampled stands without the explanation behind it, which may name a sample, unless it says
    that it is as one that was; a result stays whole, as `sampled - no asbestos detected` says by its end what was
    found."""
    head = without_explanation(meaning)
    if results.get(plain(head)) not in UNSAMPLED or is_told_behind(head, meaning):
        return meaning
    return head


def _about(key: Key, words: Mapping[str, Mapping[str, str]]) -> str:
    """What a column of codes is called of which half or more mean words of one vocabulary."""
    known = {
        name: sum(1 for said in key.meanings.values() if recognise_word(name, said, words.get(name, {}))[0])
        for name in COLUMN_OF
    }
    most = max(known, key=lambda name: known[name])
    return COLUMN_OF[most] if key.meanings and 2 * known[most] >= len(key.meanings) else ""


def _of_one_material(meaning: str, products: Mapping[str, str]) -> str:
    """A meaning that lists materials, as one of them: a code stands for one material, `rope, gasket, woven tape`. The
    forms in brackets are none of each item's: `asbestos cement (sheet, slate, pipe)`."""
    head, term = FORMS.sub("", meaning), recognise_word("product", meaning, products)[0]
    if head != meaning and term and recognise_word("product", head, products) == (term, "known"):
        return head
    listed = [recognise_word("product", one, products)[0] for one in LIST.split(meaning)]
    return LIST.sub(" or ", meaning) if len(listed) > 2 and all(listed) and "(" not in meaning else meaning


def without_scores(key: Key, words: Mapping[str, Mapping[str, str]]) -> Key:
    """A key without what only explains the scores of an assessment, which are read as they stand: `Acc. 1 =
    occasionally likely to be disturbed`. Figures that stand for one type of asbestos each, or where 3 is well, are
    codes."""
    scale, figures = SCALE_OF.match(plain(key.name)), {code for code in key.meanings if FIGURES.match(code)}
    if not scale or "3" not in figures or len(figures) < FEWEST_CODES or not figures <= {"0", "1", "2", "3"}:
        return key
    types = words.get("asbestos_type", {})
    are_types = all(plain(key.meanings[code]) in types for code in figures)
    is_of_state = scale[1] is not None
    if are_types or (is_of_state and ("0" not in figures or WELL.search(key.meanings["3"]))):
        return key
    return Key(key.name, {code: meaning for code, meaning in key.meanings.items() if code not in figures})
