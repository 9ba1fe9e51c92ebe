"""One word or phrase of a surveyor to its term in our vocabularies."""

import re
from collections.abc import Mapping, Sequence
from functools import lru_cache

from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from pipelines.register.phrases import phrases_within, within
from pipelines.register.result_words import NOT_ENTERED, REST_CLEAR, SIGNED, by_parts

SEARCHED_WITHIN = (
    "product",
    "debris",
    "result_in_product",
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
THINGS = ("product", "element", "debris")
"""Fields whose words name what is there."""
CLEARS = frozenset(("none", "not_asbestos", "not_detected", "not_suspect"))
"""Terms that say that there is nothing."""
TYPES = ("asbestos_type", "type_in_result")
SAMPLE = re.compile(
    r"\b(?:\d{1,3}[a-z]{1,4}[-/]|[a-z]{1,3}[-/.]?)\d{1,6}(?:/\d{1,5})?[a-z]?\b|\b\d{3,6}(?:/\d{2,4})?\b", re.I
)
REFERS = re.compile(
    r"^(?:y(?:es)? (?=as\b|same|sim))?"
    r"(?:sim to|as|see|ref|refer to|same as|similar to|x ?ref|cross ref(?:erence)?|sp as)"
    r"(?: samples?)?(?: same.*| similar.*)?$"
)
SAMPLE_REFERRED_TO = re.compile(
    rf"\s*\((?:as|see|ref(?:er to)?|same as|x-?ref|cross[ -]ref)\W+(?:samples? )?{SAMPLE.pattern}\s*\)\s*$", re.I
)
"""Behind what was found in another sample: `None detected (ref. T-007)`."""
NONE_BEFORE = re.compile(r"^(?:no|nil|zero) asb\w* (?:was |were )?(\w+)$")
NOTHING_FIRST = re.compile(r"^\W*(?:nothing|nil)\s*(?:[,;:.]|[-–—]\s)\s*(\S.*)$", re.I | re.S)
"""An answer before what is there instead: `Nothing, it's fibreglass`."""
NOT_IN_WORDS = re.compile(r"[^a-z0-9+#]+")
CODES = re.compile(r"\b[A-Z]{3,4}\b")
DENIES = re.compile(r"\b(?:no|not|non|none|nil|nothing|without|free)\b", re.I)
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
CHANGED_TO = re.compile(
    r"^\W*(?:(?:got|gone|getting|much|slightly|bit|a bit|now|condition) )*"
    r"(?:worse|deteriorated|better|improved|changed)(?:,? (?:to|now)\b)?\W+(?:(?:to|now|now at)\W+)?(\w.*)$",
    re.I,
)
"""Before the condition that a visit found in place of the last: `worse - medium`."""
LIKELIHOOD = re.compile(r"^\s*[0-3]\s*[,;/+]\s*([0-3])\s*[,;/+]\s*[0-3]\s*$")
"""The figures of the likelihood of disturbance in one cell, as HSG227 prints them: location, accessibility, extent."""
FIGURE_BEFORE_WORDS = re.compile(r"^\W*([0-3])(?:\.0)?\W+([a-z]{3}.*)$", re.I)
"""`2 - easily disturbed`."""
GRADES = ("low", "medium", "high")
WITHIN_FLOORS = ("riser", "meter_cupboard", "airing_cupboard", "under_stairs", "bin_store", "plant_room", "garage")
"""Rooms that stand on landings."""
ON_FLOOR = re.compile(
    r"^(?:\d+(?:st|nd|rd|th)|gr?o?u?n?d|first|second|third|fourth|top|lower|upper|basement)\b|^(?:roof|walls?)$", re.I
)
STOREY = r"(?:\d+(?:st|nd|rd|th)|gr?o?u?n?d|first|second|third|fourth|fifth|top|lower|upper)"
ON_LANDING = re.compile(
    rf"\s+(?:(?:on|at) (?:the )?{STOREY} (?:(?:floor|flr|fl) )?|{STOREY} (?:floor|flr|fl) )"
    r"(?:landing|lobby|corridor)(?=,|$)",
    re.I,
)
"""The landing that a room stands on: `Riser 1st floor landing`, `Duct on 1st landing, pipes`."""
CUPBOARDS = ("riser", "meter_cupboard", "airing_cupboard", "under_stairs")
SIDE_OF = re.compile(
    r"^(?P<head>.+?),?\s+(?:inside )?(?:roof|top|back|rear|front|sides?|underside|lid|ceiling|floor|walls?|lining) of$"
    r"|^(?:inside )?(?:roof|top|back|rear|front|sides?|underside|lid|lining) of (?:the )?(?P<tail>.+)$",
    re.I,
)
"""A side of a cupboard, which is no place of its own: `Meter cupboard, roof of`."""
OF_COMMON_PARTS = re.compile(r"^(?:communal|comm|common(?: parts)?|landlord'?s?)\s*[-–:]\s*(?=\w)", re.I)
BELOW = (
    (
        re.compile(r"\b(?:below|beneath|under(?:neath)?)\W+(?:the )?(?:main )?(?:stairs?\b|staircase|stairway)", re.I),
        "under_stairs",
    ),
    (re.compile(r"^(?:void|space|crawl space)\W+(?:below|beneath|under(?:neath)?)\b.*\bfloor", re.I), "floor_void"),
    (re.compile(r"\b[01](?:\.\d+)? ?m (?:above|from|off) (?:the )?ground\b", re.I), "external_low"),
)
"""Places that are said by what they are below, or by how high they are."""
OUTSIDE = re.compile(r"^(?:ext(?:ernal(?:ly)?)?|outside)\b\.?\s*[-–:,]\s*(?=\w)", re.I)
ROOMS = frozenset(("living_room", "bedroom", "kitchen", "bathroom", "wc", "hall_landing"))
"""Behind which an outside wall stands: `Ext. - panel under lounge window`."""
FLOORS = re.compile(
    r"\b(?:l?gf|ground|\d+f|\d+(?:st|nd|rd|th))\s*(?:[-–]|to)\s*(?:\d+f|\d+(?:st|nd|rd|th)|top)\b(?: floors?)?", re.I
)
"""From which floor to which: `Stairs GF-3F soffits`."""
DUCT_SEEN_FROM = re.compile(
    r"^(.*?\w)\s+[-–—:]\s+(?:\w+ )?(?:duct|riser|void)s?(?: access)? (?:panel|pnl|boxing|casing)s?$", re.I
)
"""What closes a duct and is in the room from which it is seen: `Hall - service duct panel`."""
LONG_WORD, LEAST_RESPELT = 6, 0.82
WORDS_ALIKE = DamerauLevenshtein.normalized_similarity
LONGEST_SHORT, SHORTEST_MISSPELT, LEAST_ALIKE = 3, 5, 0.79


def without_floor(room: str) -> str:
    """A room without what says on which floor it is: `Riser cupboard, 1st floor landing`."""
    head, _, tail = room.partition(",")
    return head if ON_FLOOR.match(tail.strip()) else ON_LANDING.sub("", room)


@lru_cache(maxsize=1 << 16)
def plain(text: str) -> str:
    """A heading or word without case, marks and doubled blanks."""
    powers = text.lower().replace("²", "2").replace("³", "3")
    return NOT_IN_WORDS.sub(" ", powers).strip()


def turned(written: str, known: Mapping[str, str]) -> str:
    """The known phrase that an index turns round, if what stands behind its comma is none by itself, or one of what is
    not suspect: `Felt, bituminous roofing`, `Cistern, plastic`."""
    head, _, rest = written.partition(",")
    phrase, term = plain(f"{rest} {head}"), known.get(plain(rest))
    return phrase if plain(rest) and term in (None, "not_asbestos") and phrase in known else ""


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
    signed: a sign alone says what a sample had. of three: it is the second of three figures of the priority assessment.
    alternatives: it leaves several terms open, of which the worst was taken, of places the first.
    Of several words those in `weak` (of things rather than materials) come last: `Rope to flue` is rope.
    Numbers count as `#` where the table has no number of that kind, so that `Bed 2` is `bed #`.
    """
    numberless = plain(re.sub(r"\d+", "#", written))
    if field == "identification" and (signed := SIGNED.match(written)):
        return "identified" if signed[1] == "+" else "not_detected", "signed"
    for candidate in (plain(written), numberless, turned(written, known) if field == "product" else ""):
        if candidate and candidate in known:
            return known[candidate], "known"
    if chosen := _of_alternatives(field, written, alternatives(field, written, known, weak), worst_first):
        return chosen
    if ruled := _by_rule(field, written, known):
        return ruled
    if field in SEARCHED_WITHIN:
        return within(_without_denied(field, numberless, known), known, weak or {})
    return None, "unknown"


def _without_denied(field: str, text: str, known: Mapping[str, str]) -> str:
    """A plain text without the things that it says are not there, as in `no access height no boarding`; `no` behind a
    figure counts them."""
    if field not in THINGS or " no " not in text:
        return text
    denied = (one for one in phrases_within(text, known) if f"no {one}" not in known and known[one] not in CLEARS)
    for phrase in sorted(denied, key=len, reverse=True):
        text = re.sub(rf"(?<!#) no {re.escape(phrase)}(?= |$)", " ", text)
    return text


def _by_rule(field: str, written: str, known: Mapping[str, str]) -> tuple[str | None, str] | None:
    """What a word means in a field that is written in ways of its own, if this one is."""
    if field in TYPES:
        return _of_types(written, known)
    if field == "place":
        return _place_by_rule(written, known)
    if field == "damage":
        return _graded(written, known)
    if field == "accessibility":
        return _of_reach(written, known)
    if field == "result_in_product" and NOT_ENTERED.match(written):
        return "no_access", "within"
    return _result_by_rule(written, known) if field == "identification" else None


def _result_by_rule(written: str, known: Mapping[str, str]) -> tuple[str | None, str] | None:
    """What a result says by its parts, before what is clear besides, or beside the reference of a sample."""
    if apart := REST_CLEAR.match(written):
        return recognise_word("identification", apart[1], known)
    if said := by_parts(written):
        return said, "within"
    if (first := NOTHING_FIRST.match(written)) and not _says_more(first[1], known):
        return "no", "within"
    return _beside_sample(plain(SAMPLE.sub(" ", written)), known) if SAMPLE.search(written) else None


def _of_reach(written: str, known: Mapping[str, str]) -> tuple[str | None, str] | None:
    """The score of a reach that is told in figures: among three, or before words that say the same, or that say how it
    is disturbed, as HSG227 does; other scales run the other way."""
    if three := LIKELIHOOD.match(written):
        return known.get(three[1]), "of three"
    scored = FIGURE_BEFORE_WORDS.match(written)
    if scored is None:
        return None
    said = known.get(plain(scored[2]), scored[1] if "disturb" in written.lower() else None)
    return (scored[1], "within") if said == scored[1] else None


def _says_more(rest: str, known: Mapping[str, str]) -> bool:
    """Whether what stands behind `nothing` may be something: a result other than none, or that nobody could tell."""
    return recognise_word("identification", rest, known)[0] not in (None, "no", "not_detected", "not_suspect")


def _of_types(written: str, known: Mapping[str, str]) -> tuple[str | None, str]:
    """The types that a result names, without the other sample that it refers to."""
    bare = plain(SAMPLE_REFERRED_TO.sub("", written))
    if bare not in known and _is_none_misspelt(bare):
        return "none", "within"
    return (known[bare], "within") if bare in known else _several_types(written, known)


def _is_none_misspelt(text: str) -> bool:
    """Whether a plain text says that no asbestos was detected, with a slip in the last word."""
    none = NONE_BEFORE.match(text)
    return none is not None and WORDS_ALIKE(none[1], "detected") >= LEAST_RESPELT


def _place_by_rule(written: str, known: Mapping[str, str]) -> tuple[str | None, str] | None:
    """A place that is said by where it is: outside, on a floor, off another."""
    if term := next((term for said, term in BELOW if said.search(written)), None):
        return term, "within"
    if OF_COMMON_PARTS.match(written):
        return recognise_word("place", OF_COMMON_PARTS.sub("", written), known)
    if side := SIDE_OF.match(written):
        term = recognise_word("place", side["head"] or side["tail"], known)[0]
        return (term, "within") if term in CUPBOARDS else None
    if OUTSIDE.match(written):
        room = recognise_word("place", OUTSIDE.sub("", written), known)[0]
        return ("external_wall", "several") if room in ROOMS else None
    if (head := without_floor(written)) != written:
        term = recognise_word("place", head, known)[0]
        return (term, "within") if term in WITHIN_FLOORS else None
    if (bare := " ".join(FLOORS.sub(" ", written).split())) != written:
        return recognise_word("place", bare, known)
    seen_from = DUCT_SEEN_FROM.match(written)
    if seen_from and (room := recognise_word("place", seen_from[1], known)[0]) in ROOMS:
        return room, "within"
    term = _off_another(written, known)
    return (term, "within") if term else None


def _off_another(written: str, known: Mapping[str, str]) -> str | None:
    """The room that another leads to, or is below: `Riser off lobby` is a riser, `Loft over top landing` a loft."""
    head, *others = re.split(r" (?:off|over|above) ", plain(written), maxsplit=1)
    return recognise_word("place", head, known)[0] if others else None


def _graded(written: str, known: Mapping[str, str]) -> tuple[str | None, str] | None:
    """The grade that it changed to, as in `worse - m`, or that a surveyor gave before what was seen, as in `Medium -
    corner broken`; `good` says too little."""
    if (changed := CHANGED_TO.match(written)) and (now := recognise_word("damage", changed[1], known))[0]:
        return now[0], "within" if now[1] == "known" else now[1]
    parts = re.split(r"\s[-–—]\s|[:,;(]", written, maxsplit=1)
    term = known.get(plain(parts[0]))
    if len(parts) < 2 or term not in GRADES:
        return None
    return term, "several" if within(plain(parts[1]), known, {})[0] not in (None, term) else "within"


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


def _beside_sample(rest: str, known: Mapping[str, str]) -> tuple[str | None, str]:
    """What a result means that stands beside the reference of a sample: `S12` alone was sampled, `as S12` was not."""
    if not rest:
        return "identified", "within"
    if REFERS.match(rest):
        return "strongly_presumed", "within"
    return (known[rest], "within") if rest in known else within(rest, known, {})


def _several_types(written: str, known: Mapping[str, str]) -> tuple[str | None, str]:
    """`Chrysotile & amosite` and the like: types joined by `+` in alphabetical order; else those named in a text."""
    bare = SAMPLE.sub(" ", written.lower())
    pieces = [piece for part in re.split(r"[/,;&+():]|\s[-–]\s| and | with ", bare) if (piece := plain(part))]
    types = {type_of(piece, known) for piece in pieces}
    how = "known" if bare == written.lower() and all(piece in known for piece in pieces) else "within"
    if None in types:
        alone = {piece for piece in pieces if piece in known and len(piece) >= LONGEST_SHORT}
        alone |= {plain(code) for code in CODES.findall(written) if plain(code) in known and not DENIES.search(written)}
        inside = {phrase for phrase in phrases_within(plain(written), known) if len(phrase) > LONGEST_SHORT}
        misspelt = {near for piece in pieces if piece not in known and (near := type_of(piece, known))}
        types, how = {*misspelt, *(known[phrase] for phrase in inside | alone)}, "within"
    if not types - {"unknown", "none"}:
        return None, "unknown"
    named = sorted({one for joined in types if joined for one in joined.split("+")} - {"unknown", "none"})
    return "+".join(named), how


def type_of(piece: str, known: Mapping[str, str]) -> str | None:
    """The asbestos type that a word means, also where it is misspelt a little."""
    if piece in known or len(piece) < SHORTEST_MISSPELT:
        return known.get(piece)
    near = process.extractOne(
        piece, known.keys(), scorer=DamerauLevenshtein.normalized_similarity, score_cutoff=LEAST_ALIKE
    )
    return known[near[0]] if near else None
