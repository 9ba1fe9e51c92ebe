"""Surveyors' words to the terms of our vocabularies, on the distinct words only."""

import re
from collections.abc import Iterable, Mapping, Sequence

import duckdb
import pandas as pd
import pyarrow as pa
from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from pipelines import queries

SEARCHED_WITHIN = (
    "product",
    "debris",
    "place",
    "place_beside",
    "damage",
    "surface",
    "identification",
    "survey_type",
    "element",
    "dwelling_type",
    "tenure",
    "construction",
    "job_status",
)
SHORTEST_WITHIN = 2
LONGEST_PHRASE = 8
NEAREST_SHOWN = 3
# A material that may be asbestos goes before words of one that is none, or that there is none, in the same cell.
NOT_SUSPECT = ("none", "not_asbestos")
SEVERAL = ("place", "product")
BETWEEN = {"place": r"\s*(?:[,;&+/]|\band\b)\s*", "product": r"\s*(?:[,;&+/]|\band\b|\bon\b|\bover\b|\bwith\b)\s*"}
PARTS_MOST = 12
TYPES = ("asbestos_type", "type_in_result")
VOCABULARY = {"type_in_result": "asbestos_type", "place_beside": "place"}
"""Fields whose words are those of another."""
WEAK = {"product": "element"}
"""Fields in which words of another come last."""
SAMPLE = re.compile(r"\b[a-z]{1,3}[-/.]?\d{1,6}[a-z]?\b|\b\d{3,6}(?:/\d{2,4})?\b", re.I)
REFERS = re.compile(
    r"^(?:sim to|as|see|ref|refer to|same as|similar to|x ?ref|cross ref(?:erence)?|sp as)"
    r"(?: samples?)?(?: same.*| similar.*)?$"
)
NOT_IN_WORDS = re.compile(r"[^a-z0-9+#]+")
ALTERNATIVES = re.compile(r"\bor\b", re.I)
# What stands between alternatives: `AIB or cement`, `good/fair`. Types with a stroke between them were both found.
OR_ELSE = {
    "product": re.compile(r"\s*(?:(?:\band/)?\bor\b|(?<!\b[a-z])/(?![a-z]\b))\s*", re.I),
    "place": ALTERNATIVES,
    "damage": re.compile(r"\s+(?:or|to)\s+|\s*/\s*|(?<=\w)[-–](?=\w)", re.I),
    "surface": re.compile(r"\s+or\s+|\s*/\s*", re.I),
    "accessibility": re.compile(r"\s+(?:or|to)\s+|\s*/\s*|(?<=\w)\s*[-–]\s*(?=\w)", re.I),
    "extent_unit": re.compile(r"\s+or\s+|\s*/\s*", re.I),
    "asbestos_type": ALTERNATIVES,
    "type_in_result": ALTERNATIVES,
}
# Their alternatives are known words and nothing else: `slight damage to edge` has none.
WHOLE_WORDS = ("damage", "surface", "accessibility", "extent_unit")
LOOKS = re.compile(r"\b(like|looks|similar|resembles?|appears?|apparently)\b")
# `Eaves, outside` is one place: these only say on which side.
WHEREABOUTS = frozenset(("outside", "external", "externally", "exterior", "ext", "inside", "internal", "internally"))
SIDES = frozenset(
    ("|", "#", "front", "rear", "back", "side", "left", "right", "wall", "walls", "only", "all", "round", "and")
)
SLASHED = re.compile(r"\b([A-Za-z])/(?=[A-Za-z])")
RESPELT = ("product", "place")
LONG_WORD, LEAST_RESPELT = 6, 0.82
WORDS_ALIKE = DamerauLevenshtein.normalized_similarity
LONGEST_SHORT, SHORTEST_MISSPELT, LEAST_ALIKE = 3, 5, 0.8
# What joins or wraps other things is meant where one of these follows it.
JOINING = frozenset(("mastic_putty", "gasket_rope", "textile", "thermal_insulation"))
TOWARDS = re.compile(r" (to|under|beneath|below|behind|from|around|beside) ")
# Where words of several results stand together, the most cautious one counts.
CAUTIOUS = ("identified", "strongly_presumed", "presumed", "no_access", "not_detected", "not_suspect")
# Where words of several conditions stand together, the worst one counts.
WORST = ("high", "poor", "medium", "fair", "low", "good")
# These only say that a sample was taken, where a result stands beside them.
TAKEN = frozenset(
    ("sampled", "analysed", "sample", "id", "sample taken", "sample analysed", "tested", "confirmed", "smp", "smpl")
)
# These only say that none was taken.
NOT_TAKEN = frozenset(
    ("not sampled", "not smp", "no sample", "no sample taken", "unsampled", "not analysed", "not tested")
)
SUSPECT = frozenset(("identified", "strongly_presumed", "presumed", "no_access"))
NO_SUSPECT = re.compile(r"^(not|non)( a)? suspect")
NEAREST_SOUGHT = 200
# In a sentence these answer nothing: `2 no damage`.
ANSWERS, LONGEST_ANSWER = frozenset(("yes", "no", "none")), 3
# Nor do these say of a surface that it is sealed, but alone: `part of the ceiling`.
ALONE, SURFACES = frozenset(("yes", "no", "nil", "part", "partial")), ("sealed", "unsealed", "part_sealed")


def plain(text: str) -> str:
    """A heading or word without case, marks and doubled blanks."""
    powers = text.lower().replace("²", "2").replace("³", "3")
    return NOT_IN_WORDS.sub(" ", powers).strip()


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
    for at, (name, word) in enumerate(zip(written["field"], written["written"], strict=True)):
        if found[at][1] == "unknown" and name in RESPELT and (anew := respelt(word, known.get(name, {}), short)):
            term = recognise_word(name, anew, known.get(name, {}), worst_first=worst.get(name, ()))[0]
            found[at] = (None, "unknown") if term in (None, *NOT_SUSPECT) else (term, "respelt")
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
    if plain(written) in known or ALTERNATIVES.search(written):
        return []
    pieces = [piece.strip() for piece in re.split(BETWEEN[field], written.strip(), flags=re.I)]
    for index in range(1, len(pieces)):
        if pieces[index].isdigit() and (noun := re.match(r"(.*?)\s*\d+$", pieces[index - 1])):
            pieces[index] = f"{noun[1]} {pieces[index]}"
    if not 2 <= len(pieces) <= PARTS_MOST or not all(pieces):
        return []
    if field == "place" and any(plain(piece) in WHEREABOUTS for piece in pieces):
        return []
    terms = _terms_of(field, pieces, known, short or {})
    if None in terms or set(terms) & set(NOT_SUSPECT):
        return []
    if field == "place" and any(recognise_word("element", piece, elements)[0] for piece in pieces):
        return []
    distinct = {(term, *re.findall(r"\d+", piece)) for term, piece in zip(terms, pieces, strict=True)}
    if len(distinct) < 2 or (field == "product" and len(set(terms)) < 2):
        return []
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


def alternatives(
    field: str, written: str, known: Mapping[str, str], weak: Mapping[str, str] | None = None
) -> list[str | None]:
    """The terms of the alternatives that a cell leaves open, None for one that is not known.

    There are none where what seems so is one known phrase, as of a `gasket or rope seal`.
    """
    if field not in OR_ELSE or any(ALTERNATIVES.search(phrase) for phrase in phrases_within(plain(written), known)):
        return []
    pieces = [piece for piece in OR_ELSE[field].split(written) if plain(piece)]
    if field == "product" and len(pieces) > 1 and ALTERNATIVES.search(written):
        pieces = [part for piece in pieces for part in piece.split(",") if plain(part)]
    if len(pieces) < 2:
        return []
    if field in WHOLE_WORDS:
        return [known.get(plain(piece)) for piece in pieces] if all(plain(piece) in known for piece in pieces) else []
    return [recognise_word(field, piece, known, weak)[0] for piece in pieces]


def recognise_word(
    field: str,
    written: str,
    known: Mapping[str, str],
    weak: Mapping[str, str] | None = None,
    worst_first: Sequence[str] = (),
) -> tuple[str | None, str]:
    """The term for a word and how it was found.

    known: the table has the word itself. within: one known word, or several of one term, stand in it.
    respelt: a word stands in it once its own are taken as the known ones spelt most like them (`recognise` only).
    several: words of different terms stand in it and the longest was taken, but `none` last. unknown: no term.
    alternatives: it leaves several terms open, of which the worst was taken, of places the first.
    Of several words those in `weak` (of things rather than materials) come last: `Rope to flue` is rope.
    Numbers count as `#` where the table has no number of that kind, so that `Bed 2` is `bed #`.
    """
    numberless = plain(re.sub(r"\d+", "#", written))
    for candidate in (plain(written), numberless):
        if candidate and candidate in known:
            return known[candidate], "known"
    if chosen := _of_alternatives(field, written, alternatives(field, written, known, weak), worst_first):
        return chosen
    if field in TYPES:
        return _several_types(written, known)
    if field == "identification" and SAMPLE.search(written):
        return _beside_sample(plain(SAMPLE.sub(" ", written)), known)
    if field in SEARCHED_WITHIN:
        return _within(numberless, known, weak or {})
    return None, "unknown"


def _of_alternatives(
    field: str, written: str, either: Sequence[str | None], worst_first: Sequence[str]
) -> tuple[str | None, str] | None:
    """Which of several alternatives stands: the worst, of equal ones the first; of places the first.

    Nothing is cleared by what may stand in its stead: `what is not known, or plaster` is not known.
    """
    terms = list(dict.fromkeys(term for term in either if term))
    is_first_unknown = field == "place" and len(either) > 1 and either[0] is None
    if is_first_unknown or (None in either and terms == ["not_asbestos"] and ALTERNATIVES.search(written)):
        return None, "unknown"
    if field == "extent_unit" and len(terms) > 1:
        return None, "unknown"
    if len(terms) < 2:
        return (terms[0], "within") if terms and field == "extent_unit" else None
    order = {term: at for at, term in enumerate(worst_first)}
    if field == "place":
        return terms[0], "alternatives"
    worst = min(terms, key=lambda term: min(order.get(one, len(order)) for one in term.split("+")))
    return worst, "alternatives"


def respelt(written: str, known: Mapping[str, str], short: Mapping[str, str]) -> str | None:
    """A text with its short words in full, its long ones as the nearest known ones, plurals as singulars, if that gives
    a term."""
    tokens = sorted({token for phrase in known for token in phrase.split() if len(token) >= LONG_WORD})
    words = [
        near[0]
        if len(word) >= LONG_WORD
        and (near := process.extractOne(word, tokens, scorer=WORDS_ALIKE, score_cutoff=LEAST_RESPELT))
        else word.removesuffix("s")
        for shortened in plain(re.sub(r"\d+", "#", SLASHED.sub(r"\1", written))).split()
        for word in short.get(shortened, shortened).split()
    ]
    anew = " ".join(words)
    return anew if phrases_within(anew, known) else None


def nearest(written: str, known: Mapping[str, str]) -> list[str]:
    """The known terms whose words are spelt most like this one, the nearest first."""
    word = plain(written)
    matches = process.extract(
        word, sorted(known), scorer=DamerauLevenshtein.normalized_similarity, limit=2 * NEAREST_SHOWN
    )
    terms = list(dict.fromkeys(known[match[0]] for match in matches))
    return terms[:NEAREST_SHOWN]


def _within(text: str, known: Mapping[str, str], weak: Mapping[str, str]) -> tuple[str | None, str]:
    """The longest known phrase among the text's words; `several` where the rest holds words of another term."""
    inside = _phrases(text, known)
    if not inside or (inside == {"no"} and known["no"] == "no"):
        return None, "unknown"  # nothing known, or a `no` to what is not: `NO_ACC` must never clear
    if weak and (head := _head(text, known)):
        term, how = _within(head, known, {})
        return term, "several" if any(known[phrase] not in (term, *NOT_SUSPECT) for phrase in inside) else how
    if inside <= WHEREABOUTS and not SIDES.issuperset(_without(text, inside).split()):
        return known[max(sorted(inside), key=len)], "several"  # the word that tells the place is not known
    inside = _without_covered(text, inside, known)
    if any(known[phrase] not in NOT_SUSPECT for phrase in inside):
        inside = {phrase for phrase in inside if known[phrase] not in NOT_SUSPECT}
    elif LOOKS.search(text) and any(known[phrase] == "not_asbestos" for phrase in inside):
        return None, "unknown"  # looks never identify
    longest = max(sorted(inside), key=lambda phrase: (phrase not in weak, len(phrase)))
    if overlapping := _ending_later(text, longest, inside, known):
        return known[overlapping], "several"
    rest = f" {text} ".replace(f" {longest} ", "  ")
    others = sorted(phrase for phrase in inside if f" {phrase} " in rest and known[phrase] != known[longest])
    return (_cautious(longest, others, known), "several") if others else (known[longest], "within")


def _cautious(longest: str, others: Sequence[str], known: Mapping[str, str]) -> str:
    """What several phrases of different terms mean: the most cautious result, the worst condition, else the longest."""
    terms = {known[phrase] for phrase in (longest, *others)}
    if terms == {"identified", "not_detected"} and TAKEN.issuperset(
        phrase for phrase in (longest, *others) if known[phrase] == "identified"
    ):
        return "not_detected"
    if terms <= set(CAUTIOUS):
        return min(terms, key=CAUTIOUS.index)
    if terms <= set(WORST):
        # `high` or `good` alone may be said of something else, as of a high ceiling
        conditions = {known[phrase] for phrase in (longest, *others) if phrase not in WORST or phrase == "poor"}
        return min(conditions or terms, key=WORST.index)
    return known[longest]


def _head(text: str, known: Mapping[str, str]) -> str | None:
    """What stands before `to`, `under` and the like, if it names what joins or wraps: `Adhesive to floor tiles`."""
    head, preposition, _ = text.partition(found[0]) if (found := TOWARDS.search(text)) else (text, "", "")
    terms = {known[phrase] for phrase in phrases_within(head, known)} - set(NOT_SUSPECT)
    return head if preposition and len(terms) == 1 and terms <= JOINING else None


def _without_covered(text: str, inside: set[str], known: Mapping[str, str]) -> set[str]:
    """The phrases without those that only stand in one of no suspect material: a `modern vinyl sheet` is none."""
    covers = {phrase for phrase in inside if known[phrase] in NOT_SUSPECT}
    rest = _without(text, covers)
    return {
        phrase
        for phrase in inside
        if phrase in covers
        or f" {phrase} " in f" {rest} "
        or not any(f" {phrase} " in f" {cover} " for cover in covers)
    }


def _phrases(text: str, known: Mapping[str, str]) -> set[str]:
    """The known phrases of a text, without those that only say on which side, or that no sample was taken, where others
    say more."""
    inside = {phrase for phrase in phrases_within(text, known) if phrase not in ALONE or known[phrase] not in SURFACES}
    if inside & NOT_TAKEN:
        beside = phrases_within(_without(text, inside & NOT_TAKEN), known)
        inside = {phrase for phrase in beside if known[phrase] in SUSPECT or NO_SUSPECT.match(phrase)} or (
            inside & NOT_TAKEN
        )
    if len(text.split()) > LONGEST_ANSWER:
        inside = {phrase for phrase in inside if phrase not in ANSWERS or known[phrase] not in ("yes", "no")}
    return inside - WHEREABOUTS or inside


def _ending_later(text: str, longest: str, inside: Iterable[str], known: Mapping[str, str]) -> str | None:
    """The phrase of another term that shares words with the longest and ends after it: a `pitched roof void` is a roof
    void, as the last word says what a thing is."""
    start = f" {text} ".find(f" {longest} ")
    end = start + len(longest)
    found = [
        phrase
        for phrase in sorted(inside)
        if known[phrase] != known[longest] and start < (at := f" {text} ".find(f" {phrase} ")) < end < at + len(phrase)
    ]
    return max(found, key=len) if found else None


def _without(text: str, phrases: Iterable[str]) -> str:
    for phrase in sorted(phrases, key=len, reverse=True):
        text = f" {text} ".replace(f" {phrase} ", " | ")
    return text


def phrases_within(text: str, known: Mapping[str, str]) -> set[str]:
    """The known words and phrases that stand in a plain text."""
    words = text.split()
    runs = (
        " ".join(words[start:end])
        for start in range(len(words))
        for end in range(start + 1, min(start + LONGEST_PHRASE, len(words)) + 1)
    )
    return {run for run in runs if len(run) >= SHORTEST_WITHIN and run in known}


def _beside_sample(rest: str, known: Mapping[str, str]) -> tuple[str | None, str]:
    """What a result means that stands beside the reference of a sample: `S12` alone was sampled, `as S12` was not."""
    if not rest:
        return "identified", "within"
    if REFERS.match(rest):
        return "strongly_presumed", "within"
    return (known[rest], "within") if rest in known else _within(rest, known, {})


def _several_types(written: str, known: Mapping[str, str]) -> tuple[str | None, str]:
    """`Chrysotile & amosite` and the like: types joined by `+` in alphabetical order; else those named in a text."""
    bare = SAMPLE.sub(" ", written.lower())
    pieces = [piece for part in re.split(r"[/,;&+():]|\s[-–]\s| and | with ", bare) if (piece := plain(part))]
    types = {type_of(piece, known) for piece in pieces}
    how = "known" if bare == written.lower() and all(piece in known for piece in pieces) else "within"
    if None in types:
        alone = {piece for piece in pieces if piece in known and len(piece) >= LONGEST_SHORT}
        inside = {phrase for phrase in phrases_within(plain(written), known) if len(phrase) > LONGEST_SHORT}
        types, how = {known[phrase] for phrase in inside | alone}, "within"
    if not types - {"unknown", "none"}:
        return None, "unknown"
    named = sorted({one for joined in types if joined for one in joined.split("+")} - {"unknown", "none"})
    return "+".join(named), how


def type_of(piece: str, known: Mapping[str, str]) -> str | None:
    """The asbestos type that a word means, also where it is misspelt a little."""
    if piece in known or len(piece) < SHORTEST_MISSPELT:
        return known.get(piece)
    near = process.extractOne(
        piece, sorted(known), scorer=DamerauLevenshtein.normalized_similarity, score_cutoff=LEAST_ALIKE
    )
    return known[near[0]] if near else None
