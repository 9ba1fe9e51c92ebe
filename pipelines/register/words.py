"""Surveyors' words to the terms of our vocabularies, on the distinct words only."""

import re
from collections.abc import Mapping

import duckdb
import pandas as pd
from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from pipelines import queries
from pipelines.register.headings import plain

SEARCHED_WITHIN = ("product", "debris", "place", "damage", "surface", "identification", "survey_type")
SHORTEST_WITHIN = 2
NEAREST_SHOWN = 3


def recognise(con: duckdb.DuckDBPyConnection) -> None:
    """Make `recognised_words`: one row per row of `written_words`, with its term and how it was found."""
    terms = queries.rows(con, "register", "known_terms")
    known = {
        field: dict(zip(map(plain, rows["written"]), rows["term"], strict=True))
        for field, rows in terms.groupby("field")
    }
    written = queries.rows(con, "register", "words_to_recognise")
    found = [
        recognise_word(field, word, known[field])
        for field, word in zip(written["field"], written["written"], strict=True)
    ]
    written[["term", "how"]] = pd.DataFrame(found, columns=["term", "how"], index=written.index, dtype="string")
    written["nearest"] = [
        nearest(word, known[field]) if how == "unknown" else []
        for field, word, how in zip(written["field"], written["written"], written["how"], strict=True)
    ]
    queries.insert(con, "recognised_words", written)


def recognise_word(field: str, written: str, known: Mapping[str, str]) -> tuple[str | None, str]:
    """The term for a word and how it was found.

    known: the table has the word itself. within: one known word, or several of one term, stand in it.
    several: words of different terms stand in it and the longest was taken. unknown: no term.
    Numbers count as `#` where the table has no number of that kind, so that `Bed 2` is `bed #`.
    """
    numberless = plain(re.sub(r"\d+", "#", written))
    for candidate in (plain(written), numberless):
        if candidate in known:
            return known[candidate], "known"
    if field == "asbestos_type":
        return _several_types(written, known)
    if field in SEARCHED_WITHIN:
        return _within(numberless, known)
    return None, "unknown"


def nearest(written: str, known: Mapping[str, str]) -> list[str]:
    """The known terms whose words are spelt most like this one, the nearest first."""
    word = plain(written)
    matches = process.extract(
        word, sorted(known), scorer=DamerauLevenshtein.normalized_similarity, limit=2 * NEAREST_SHOWN
    )
    terms = list(dict.fromkeys(known[match[0]] for match in matches))
    return terms[:NEAREST_SHOWN]


def _within(word: str, known: Mapping[str, str]) -> tuple[str | None, str]:
    padded = f" {word} "
    inside = [entry for entry in known if len(entry) >= SHORTEST_WITHIN and f" {entry} " in padded]
    if not inside:
        return None, "unknown"
    longest = max(sorted(inside), key=len)
    rest = padded.replace(f" {longest} ", "  ")
    others = {known[entry] for entry in inside if f" {entry} " in rest}
    return known[longest], "within" if others <= {known[longest]} else "several"


def _several_types(written: str, known: Mapping[str, str]) -> tuple[str | None, str]:
    """`Chrysotile & amosite` and the like: the types joined by `+`, in alphabetical order."""
    parts = [plain(part) for part in re.split(r"[/,;&+]| and | with ", written.lower())]
    types = {known.get(part) for part in parts if part}
    if None in types or not types - {"unknown", "none"}:
        return None, "unknown"
    named = sorted({one for joined in types if joined for one in joined.split("+")} - {"unknown", "none"})
    return "+".join(named), "known"
