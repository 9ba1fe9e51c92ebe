"""Known phrases within a text, and what several of them mean together."""

import re
from collections.abc import Iterable, Mapping, Sequence

SHORTEST_WITHIN = 2
LONGEST_PHRASE = 8
# A material that may be asbestos goes before words of one that is none, or that there is none, in the same cell.
NOT_SUSPECT = ("none", "not_asbestos")
LOOKS = re.compile(r"\b(like|looks|similar|resembles?|appears?|apparently)\b")
# `Eaves, outside` is one place: these only say on which side.
WHEREABOUTS = frozenset(
    ("outside", "external", "externally", "exterior", "ext", "yard", "inside", "internal", "internally")
)
SIDES = frozenset(
    ("|", "#", "front", "rear", "back", "side", "left", "right", "wall", "walls", "only", "all", "round", "and")
)
# What joins or wraps other things is meant where one of these follows it.
JOINING = frozenset(("mastic_putty", "gasket_rope", "textile", "thermal_insulation"))
TOWARDS = re.compile(r" (to|under|beneath|below|behind|from|around|beside) ")
# What lies below these is meant: `floor tiles under lino`.
BELOW, COVERING = ("under", "beneath", "below"), re.compile(r"^(?:the |a |new |fitted )*(?:lino|carpet|laminate)\w*\b")
# Where words of several results stand together, the most cautious one counts.
CAUTIOUS = ("identified", "strongly_presumed", "presumed", "no_access", "not_detected", "not_suspect")
# Where words of several conditions stand together, the worst one counts.
LEVELS = frozenset(("low level", "high level"))
"""What may say where something is, or how badly it is damaged."""
WORST = ("high", "poor", "medium", "fair", "low", "good")
# These only say that a sample was taken, where a result stands beside them.
TAKEN = frozenset(
    ("sampled", "analysed", "sample", "id", "sample taken", "sample analysed", "tested", "confirmed", "smp", "smpl")
)
BESIDE_SAMPLED = ("strongly_presumed", "presumed", "not_detected")
# These only say that none was taken.
NOT_TAKEN = frozenset(
    ("not sampled", "not smp", "no sample", "no sample taken", "unsampled", "not analysed", "not tested")
)
SUSPECT = frozenset(("identified", "strongly_presumed", "presumed", "no_access"))
NO_SUSPECT = re.compile(r"^(not|non)( a)? suspect")
# A form of many materials, which another word names: `ceiling tiles, AIB`.
FORMS = frozenset(("tile", "tiles"))
# In a sentence these answer nothing: `2 no damage`.
ANSWERS, LONGEST_ANSWER = frozenset(("yes", "no", "none")), 3
# Nor do these say of a surface that it is sealed, but alone: `part of the ceiling`.
ALONE, SURFACES = frozenset(("yes", "no", "nil", "part", "partial")), ("sealed", "unsealed", "part_sealed")


def within(text: str, known: Mapping[str, str], weak: Mapping[str, str]) -> tuple[str | None, str]:
    """The longest known phrase among the text's words; `several` where the rest holds words of another term."""
    inside = _in_no_longer(text, _phrases(text, known))
    if not inside or (inside == {"no"} and known["no"] == "no"):
        return None, "unknown"  # nothing known, or a `no` to what is not: `NO_ACC` must never clear
    if weak and (head := _head(text, known)):
        term, how = within(head, known, {})
        return term, "several" if any(known[phrase] not in (term, *NOT_SUSPECT) for phrase in inside) else how
    if inside <= WHEREABOUTS and not SIDES.issuperset(_without(text, inside).split()):
        return known[max(sorted(inside), key=len)], "several"  # the word that tells the place is not known
    inside = _without_covered(text, inside, known)
    if any(known[phrase] not in NOT_SUSPECT for phrase in inside):
        inside = {phrase for phrase in inside if known[phrase] not in NOT_SUSPECT}
    elif LOOKS.search(text) and any(known[phrase] == "not_asbestos" for phrase in inside):
        return None, "unknown"  # looks never identify
    longest = max(sorted(inside), key=lambda phrase: (phrase not in weak, phrase not in FORMS, len(phrase)))
    if overlapping := _ending_later(text, longest, inside, known):
        return known[overlapping], "several"
    rest = f" {text} ".replace(f" {longest} ", "  ")
    others = sorted(phrase for phrase in inside if f" {phrase} " in rest and known[phrase] != known[longest])
    return (_cautious(longest, others, known), "several") if others else (known[longest], "within")


def _cautious(longest: str, others: Sequence[str], known: Mapping[str, str]) -> str:
    """What several phrases of different terms mean: the most cautious result, the worst condition, else the longest."""
    terms = {known[phrase] for phrase in (longest, *others)}
    if terms - {"identified"} <= set(BESIDE_SAMPLED) and TAKEN.issuperset(
        phrase for phrase in (longest, *others) if known[phrase] == "identified"
    ):
        terms -= {"identified"}
    if terms <= set(CAUTIOUS):
        return min(terms, key=CAUTIOUS.index)
    if terms <= set(WORST):
        # `high` or `good` alone may be said of something else, as of a high ceiling
        conditions = {
            known[phrase] for phrase in (longest, *others) if phrase not in {*WORST, *LEVELS} or phrase == "poor"
        }
        return min(conditions or terms, key=WORST.index)
    return known[longest]


def _head(text: str, known: Mapping[str, str]) -> str | None:
    """What stands before `to`, `under` and the like, if it names what joins or wraps: `Adhesive to floor tiles`."""
    head, preposition, rest = text.partition(found[0]) if (found := TOWARDS.search(text)) else (text, "", "")
    terms = {known[phrase] for phrase in phrases_within(head, known)} - set(NOT_SUSPECT)
    is_covered = preposition.strip() in BELOW and COVERING.match(rest) is not None
    return head if preposition and len(terms) == 1 and (is_covered or terms <= JOINING) else None


def _in_no_longer(text: str, inside: set[str]) -> set[str]:
    """The phrases without those that only stand in longer ones: `no asbestos found` finds none, and `screw holes` are
    no holes."""
    return {
        phrase
        for phrase in inside
        if f" {phrase} "
        in f" {_without(text, {one for one in inside if one != phrase and f' {phrase} ' in f' {one} '})} "
    }


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
