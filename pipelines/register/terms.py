"""The distinct words of all lists to terms, with the rooms and layers that one cell names together."""

import re
from collections.abc import Mapping, Sequence

import duckdb
import pandas as pd
import pyarrow as pa

from pipelines import queries
from pipelines.register.phrases import NOT_SUSPECT, WHEREABOUTS
from pipelines.register.place_words import ON_FLOOR, WITHIN_FLOORS, without_floor
from pipelines.register.spellings import long_words, nearest, respelt
from pipelines.register.words import (
    ALTERNATIVES,
    alternatives,
    plain,
    recognise_word,
    turned,
)

SEVERAL = ("place", "product")
MARKS = r"\s*(?:[,;&+|]|(?<!\b[a-z])/|\band\b"
"""What parts rooms or layers, but for the stroke of a short word: `F/tiles`, `U/S cupboard`."""
BETWEEN = {"place": rf"{MARKS})\s*", "product": rf"{MARKS}|\bon\b|\bover\b|\bwith\b)\s*"}
EXAMPLES = re.compile(r"(?<=\w) *\([^()]*(?:,|\bor\b)[^()]*\)$")
"""What may be meant: `Moulded plastic (cistern, seat, bath panel)`."""
STROKE = re.compile(r"\s/|/\s")
WITHOUT_STROKES = {"product": r"\s*(?:[,;&+|]|\band\b|\bon\b|\bover\b|\bwith\b)\s*"}
"""What parts layers one of which has two names: `Vinyl / thermoplastic tiles on bitumen adhesive`."""
COMMA = re.compile(",")
WITHOUT_COMMAS = {"product": r"\s*(?:[;&+|]|\band\b|\bon\b|\bover\b|\bwith\b)\s*"}
"""What parts layers one of which is told more of behind a comma: `Floor tiles, red + bitumen adhesive`."""
PARTS_MOST = 12
VOCABULARY = {
    "type_in_result": "asbestos_type",
    "place_beside": "place",
    "material_beside": "product",
    "result_in_product": "identification",
}
"""Fields whose words are those of another."""
WEAK = {"product": "element"}
"""Fields in which words of another come last."""
RESPELT = ("product", "place", "damage")
CLEARING = (*NOT_SUSPECT, "good")
"""What nothing misspelt may say."""
NEAREST_SOUGHT = 200
SHARED_WAYS = {"hall_landing", "stair_core"}
"""Parts of one way through a building: `Stairs, landings and lobby`."""
BARE = frozenset(
    ("aib", "ac", "asb cem", "asb cement", "asbestos cement", "cement", "insulating board", "asbestos insulating board")
)
"""Materials by themselves, as behind a comma: `ceiling tiles, AIB`."""
SEAL_OF = re.compile(
    r"^(?!.*,.*,)[^,]*\b(?:rope|seals?|gaskets?)\s*,\s*(?:(?:gas|back|old)\s+)?(?:boiler|flue|fire|heater|stove|cooker)s?"
    r"(?: (?:flue|door|panel|case|casing)s?)?\s*$",
    re.I,
)
"""A seal before what it is of: `Rope seal, boiler flue`."""
GROUNDS = re.compile(r"^(?:(?:front|rear|back|side)\s+)?(?:garden|yard|drive|grounds)$|^\w+ of$", re.I)
"""Where something outside stands, `Brick store, rear garden`, or its side that is meant, `Meter cupboard, roof of`."""
SIDE = re.compile(
    r"\b(?:front|rear|back|left|right|middle|main|master|small|large|first|second|third|1st|2nd|3rd|l/?h|r/?h)\b", re.I
)
"""What tells rooms of one kind apart, where nothing else does: `Back bedroom + front bedroom`."""
OUTER_SIDE = re.compile(
    r"(?:ext(?:ernal(?:ly)?)?|outside)\b\.?\s*(?:(?:to )?(?:the )?(?:front|rear|back|side))?"
    r"|(?:(?:front|rear|back|side|gable|left|right|north|south|east|west|main) )*elevation",
    re.I,
)
"""The side of a house on which something is, and no room by itself: `Ext. rear`, `Front elevation`."""
NTH = r"(?:\d{1,2}(?:st|nd|rd|th)|ground|gnd|first|second|third|fourth|fifth|top|lower|upper)"
BY_FLOOR = re.compile(
    rf"^(?P<floors>{NTH}(?:\s*(?:,|,?\s*\band\b|&|\+)\s*{NTH})+)\s+(?P<rooms>(?:floors?|flrs?|fl)\b\.?\s+\w[\w ]*s)$",
    re.I,
)
"""Rooms on several floors: `1st and 2nd floor landings`."""
LOUNGE_AND_DINING = re.compile(
    r"^(?:lounge|parlou?r|(?:living|sitting|front) (?:room|rm))\s*(?:\band\b|&|\+)\s*dining (?:room|rm)s?\b", re.I
)
"""Two rooms of one kind: a `living and dining room` or `lounge/dining room` is one."""
DINING = re.compile("dining ", re.I)
ROOF_AND = re.compile(r"^(?:main |flat )?roof\s*(?:&|\+|\band\b)", re.I)
AND = re.compile(r"\band\b|&", re.I)
OF_ROOMS = re.compile(r"\s+(?:ceilings|clgs|floors|flrs|walls)\s*$", re.I)
"""What several rooms have: `Hall and lounge ceilings`."""


def recognise(con: duckdb.DuckDBPyConnection) -> None:
    """Make `recognised_words`: one row per row of `written_words` and per part of one, with its term and how it was
    found; and `word_parts`: the parts of cells that name several rooms or layers."""
    terms = queries.rows(con, "register", "known_terms")
    worst = {
        str(field): list(rows["term"])
        for field, rows in queries.rows(con, "register", "terms_worst_first").groupby("field", sort=False)
    }
    known: dict[str, dict[str, str]] = {
        str(field): dict(zip(map(plain, rows["written"]), rows["term"], strict=True))
        for field, rows in terms.groupby("field")
    }
    written = queries.rows(con, "register", "words_to_recognise")
    short = dict(queries.tuples(con, "register", "term_words"))
    parts = _all_parts(written, known, short)
    written = pd.concat([written, _words_of_parts(parts, written)], ignore_index=True)
    found: list[tuple[str | None, str]] = []
    either: list[list[str]] = []
    for field, word in zip(written["field"], written["written"], strict=True):
        meant, weak = VOCABULARY.get(field, field), known.get(WEAK.get(field, ""))
        found.append(recognise_word(field, word, known.get(meant, {}), weak, worst.get(meant, ())))
        is_either = found[-1][1] == "alternatives"
        either.append([term for term in alternatives(field, word, known[meant], weak) if term] if is_either else [])
    _respell(written, found, known, short, worst)
    written[["term", "how"]] = pd.DataFrame(found, columns=["term", "how"], index=written.index, dtype="string")
    written["alternatives"] = pd.Series(either, index=written.index, dtype=pd.ArrowDtype(pa.list_(pa.string())))
    written["nth_unknown"] = _order_of_unknown(written)
    written["nearest"] = [
        nearest(word, known.get(field, {})) if how == "unknown" and order < NEAREST_SOUGHT and field in known else []
        for field, word, how, order in zip(
            written["field"], written["written"], written["how"], written["nth_unknown"], strict=True
        )
    ]
    queries.insert(con, "recognised_words", written.drop(columns="nth_unknown").astype({"n_rows": "int64"}))
    queries.insert(con, "word_parts", parts)


def _respell(
    written: pd.DataFrame,
    found: list[tuple[str | None, str]],
    known: Mapping[str, Mapping[str, str]],
    short: Mapping[str, str],
    worst: Mapping[str, Sequence[str]],
) -> None:
    """What is unknown as written is taken as respelt, but for what would clear it."""
    tokens = {name: long_words(known.get(name, {})) for name in RESPELT}
    for at, (name, word) in enumerate(zip(written["field"], written["written"], strict=True)):
        if found[at][1] != "unknown" or name not in RESPELT:
            continue
        if anew := respelt(without_floor(word) if name == "place" else word, known.get(name, {}), short, tokens[name]):
            term = recognise_word(name, anew, known.get(name, {}), worst_first=worst.get(name, ()))[0]
            found[at] = (None, "unknown") if term in (None, *CLEARING) else (term, "respelt")


def parts(
    field: str,
    written: str,
    known: Mapping[str, str],
    elements: Mapping[str, str],
    short: Mapping[str, str] | None = None,
) -> list[str]:
    """The rooms or layers that one cell names, if it names several and nothing else; else none.

    `Kitchen, hall & bed 1` has three; `Bed 1/2` two; `Tiles on bitumen adhesive` two layers. What the table knows as
    one, or several words of one term, is one; and so is a room with the element in it that is meant (`Porch, soffit`).
    A room may be misspelt.
    """
    is_known = plain(written) in known or _in_full(written, short or {}) in known or turned(written, known) != ""
    if field == "product" and not is_known and (picked := _picked(written, known)):
        return picked
    if (is_known and not ROOF_AND.match(written)) or (ALTERNATIVES.search(written) and "|" not in written):
        return []
    if field == "place" and (by_floor := _by_floor(written, known)):
        return by_floor
    written = EXAMPLES.sub("", written) if field == "product" else written
    pieces = _pieces(field, written)
    if field == "product":
        pieces = _layers(written, pieces, known)
    if not 2 <= len(pieces) <= PARTS_MOST or not all(pieces):
        return []
    is_side = field == "place" and OUTER_SIDE.fullmatch(pieces[0]) is not None
    if is_side or (field == "place" and any(plain(piece) in WHEREABOUTS or GROUNDS.match(piece) for piece in pieces)):
        return []
    terms = _terms_of(field, pieces, known, short or {})
    if None in terms or set(terms) & set(NOT_SUSPECT):
        return []
    if _is_thing(written) if field == "product" else _is_room(written, pieces, terms, known, elements):
        return []
    return pieces if _are_apart(field, written, pieces, terms) else []


def _are_apart(field: str, written: str, pieces: Sequence[str], terms: Sequence[str | None]) -> bool:
    """Whether pieces are not all the same: layers of other materials, rooms of other kinds, numbers or sides; a lounge
    and a dining room are of one kind."""
    is_dining = field == "place" and LOUNGE_AND_DINING.match(written) is not None
    distinct = {
        (term, *re.findall(r"\d+", piece), *_side_of_room(field, piece), is_dining and DINING.match(piece) is not None)
        for term, piece in zip(terms, pieces, strict=True)
    }
    return len(distinct) > 1 and (field != "product" or len(set(terms)) > 1)


def _by_floor(written: str, known: Mapping[str, str]) -> list[str]:
    """The rooms that a cell names by their floors, each a place of its own: `1st and 2nd floor landings`."""
    found = BY_FLOOR.match(written)
    rooms = [f"{nth} {found['rooms']}" for nth in re.findall(NTH, found["floors"], re.I)] if found else []
    return rooms if rooms and all(recognise_word("place", room, known)[0] for room in rooms) else []


def _layers(written: str, pieces: list[str], known: Mapping[str, str]) -> list[str]:
    """The pieces of a material that names layers: what a stroke or a comma parts is one where parts are not known."""
    for mark, between in ((STROKE, WITHOUT_STROKES), (COMMA, WITHOUT_COMMAS)):
        if mark.search(written) and None in _terms_of("product", pieces, known, {}):
            pieces = _pieces("product", written, between)
    return pieces


def _picked(written: str, known: Mapping[str, str]) -> list[str]:
    """The materials that were picked from a list of answers, each of which may have alternatives:
    `Vinyl or thermoplastic tiles; Bitumen pad, mastic or putty`; else none."""
    pieces = [piece.strip() for piece in written.split(";") if piece.strip()]
    terms = (
        {recognise_word("product", piece, known)[0] for piece in pieces} if 2 <= len(pieces) <= PARTS_MOST else set()
    )
    return pieces if len(terms) == len(pieces) and not {None, *NOT_SUSPECT} & terms else []


def _side_of_room(field: str, piece: str) -> list[str]:
    """Which of several rooms of one kind a piece names, if it says so and what kind: not `front`, but `front bed`."""
    sides = [side.lower() for side in SIDE.findall(piece)] if field == "place" else []
    return sides if re.search(r"[A-Za-z]{2}", SIDE.sub(" ", piece)) else []


def _in_full(written: str, short: Mapping[str, str]) -> str:
    """A cell's words without marks, short ones in full: `Bed/sitting rm` is `bed sitting room`."""
    return " ".join(short.get(word, word) for word in plain(written).split())


def _is_thing(written: str) -> bool:
    """Whether layers are one thing, and what it is made of: `Ceiling tiles, AIB`; or a seal, and what it is of."""
    return plain(written.rpartition(",")[2]) in BARE or SEAL_OF.match(written) is not None


def _is_room(
    written: str,
    pieces: Sequence[str],
    terms: Sequence[str | None],
    known: Mapping[str, str],
    elements: Mapping[str, str],
) -> bool:
    """Whether rooms are one: with where it is or what is meant in it, or one way through a building. What comes first
    and is joined to a room by `and` is a place of its own: `Roof & tank room`, `Riser and bin store`."""
    is_beside = ROOF_AND.match(written) or _is_element_first(written, pieces, elements)
    if is_beside and all(plain(piece) in known for piece in pieces):
        return False
    is_on_floor = terms[0] in WITHIN_FLOORS and all(map(ON_FLOOR.match, pieces[1:]))
    is_off_way = terms[0] in WITHIN_FLOORS and "," in written and set(terms[1:]) <= SHARED_WAYS
    has_element = any(recognise_word("element", piece, elements)[0] for piece in pieces)
    return is_on_floor or is_off_way or has_element or set(terms) <= SHARED_WAYS


def _is_element_first(written: str, pieces: Sequence[str], elements: Mapping[str, str]) -> bool:
    """Whether what stands in rooms comes first and is joined to one by `and`: `Riser and bin store`."""
    first, *others = (recognise_word("element", piece, elements)[0] for piece in pieces)
    return "," not in written and AND.search(written) is not None and first is not None and not any(others)


def _pieces(field: str, written: str, between: Mapping[str, str] = BETWEEN) -> list[str]:
    """What the words between rooms or layers part, a number with the word before it: `Bed 1/2`."""
    text = OF_ROOMS.sub("", written) if field == "place" else written
    mark = r"\s*\|\s*" if "|" in text else between[field]
    pieces = [piece.strip() for piece in re.split(mark, text.strip(), flags=re.I)]
    for index in range(1, len(pieces)):
        if pieces[index].isdigit() and (noun := re.match(r"(.*?)\s*\d+$", pieces[index - 1])):
            pieces[index] = f"{noun[1]} {pieces[index]}"
    return pieces


def _terms_of(
    field: str, pieces: Sequence[str], known: Mapping[str, str], short: Mapping[str, str]
) -> list[str | None]:
    """The terms of pieces, of rooms also of misspelt ones beside others that are known."""
    terms = [recognise_word(field, piece, known)[0] for piece in pieces]
    if field != "place" or None not in terms or not any(terms):
        return terms
    return [
        term or ((anew := respelt(piece, known, short)) and recognise_word(field, anew, known)[0]) or None
        for term, piece in zip(terms, pieces, strict=True)
    ]


def _all_parts(written: pd.DataFrame, known: Mapping[str, Mapping[str, str]], short: Mapping[str, str]) -> pd.DataFrame:
    rows = [
        (field, word, nth, piece)
        for field, word in zip(written["field"], written["written"], strict=True)
        if field in SEVERAL and re.search(BETWEEN[field], word, flags=re.I)
        for nth, piece in enumerate(parts(field, word, known.get(field, {}), known.get("element", {}), short), start=1)
    ]
    types = {"field": "string", "written": "string", "nth": "int32", "piece": "string"}
    return pd.DataFrame(rows, columns=list(types)).astype(types)


def _words_of_parts(parts: pd.DataFrame, written: pd.DataFrame) -> pd.DataFrame:
    """The words that the parts add to those that are recognised: as what they are, and as elements."""
    more = {
        (name, piece)
        for field, piece in zip(parts["field"], parts["piece"], strict=True)
        for name in ((field, "element", "debris") if field == "product" else (field, "element"))
    } - set(zip(written["field"], written["written"], strict=True))
    return pd.DataFrame([(*pair, 0) for pair in sorted(more)], columns=["field", "written", "n_rows"])


def _order_of_unknown(written: pd.DataFrame) -> pd.Series:
    """How many unknown words of the field are used more often: near terms are sought for the most used only."""
    unknown = written[written["how"] == "unknown"].sort_values(["n_rows", "written"], ascending=[False, True])
    return unknown.groupby("field").cumcount().reindex(written.index, fill_value=0)
