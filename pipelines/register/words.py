"""Surveyors' words to the terms of our vocabularies, on the distinct words only."""

import re
from collections.abc import Mapping

import duckdb
import pandas as pd
from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from pipelines import queries
from pipelines.register.headings import plain

SEARCHED_WITHIN = (
    "product",
    "debris",
    "place",
    "damage",
    "surface",
    "identification",
    "survey_type",
    "element",
    "work_type",
    "dwelling_type",
    "tenure",
    "construction",
    "job_status",
)
SHORTEST_WITHIN = 2
LONGEST_PHRASE = 8
NEAREST_SHOWN = 3
NOTHING = "none"
# Where words of several results stand together, the most cautious one counts.
CAUTIOUS = ("identified", "strongly_presumed", "presumed", "no_access", "not_detected", "not_suspect")
NEAREST_SOUGHT = 200


def recognise(con: duckdb.DuckDBPyConnection) -> None:
    """Make `recognised_words`: one row per row of `written_words`, with its term and how it was found."""
    terms = queries.rows(con, "register", "known_terms")
    known = {
        field: dict(zip(map(plain, rows["written"]), rows["term"], strict=True))
        for field, rows in terms.groupby("field")
    }
    written = queries.rows(con, "register", "words_to_recognise")
    found = [
        recognise_word(field, word, known.get(field, {}))
        for field, word in zip(written["field"], written["written"], strict=True)
    ]
    written[["term", "how"]] = pd.DataFrame(found, columns=["term", "how"], index=written.index, dtype="string")
    written["nth_unknown"] = _order_of_unknown(written)
    written["nearest"] = [
        nearest(word, known.get(field, {})) if how == "unknown" and order < NEAREST_SOUGHT else []
        for field, word, how, order in zip(
            written["field"], written["written"], written["how"], written["nth_unknown"], strict=True
        )
    ]
    queries.insert(con, "recognised_words", written.drop(columns="nth_unknown"))


def _order_of_unknown(written: pd.DataFrame) -> pd.Series:
    """How many unknown words of the field are used more often: near terms are sought for the most used only."""
    unknown = written[written["how"] == "unknown"].sort_values(["n_rows", "written"], ascending=[False, True])
    return unknown.groupby("field").cumcount().reindex(written.index, fill_value=0)


def recognise_word(field: str, written: str, known: Mapping[str, str]) -> tuple[str | None, str]:
    """The term for a word and how it was found.

    known: the table has the word itself. within: one known word, or several of one term, stand in it.
    several: words of different terms stand in it and the longest was taken, but `none` last. unknown: no term.
    Numbers count as `#` where the table has no number of that kind, so that `Bed 2` is `bed #`.
    """
    numberless = plain(re.sub(r"\d+", "#", written))
    for candidate in (plain(written), numberless):
        if candidate and candidate in known:
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


def _within(text: str, known: Mapping[str, str]) -> tuple[str | None, str]:
    """The longest known phrase among the text's words; `several` where the rest holds words of another term."""
    inside = _phrases_within(text, known)
    if not inside:
        return None, "unknown"
    longest = max(sorted(inside), key=len)
    rest = f" {text} ".replace(f" {longest} ", "  ")
    others = sorted(phrase for phrase in inside if f" {phrase} " in rest and known[phrase] != known[longest])
    terms = {known[phrase] for phrase in (longest, *others)}
    if others and terms <= set(CAUTIOUS):
        return min(terms, key=CAUTIOUS.index), "several"
    if others and known[longest] == NOTHING:
        longest = max(others, key=len)
    return known[longest], "several" if others else "within"


def _phrases_within(text: str, known: Mapping[str, str]) -> set[str]:
    words = text.split()
    runs = (
        " ".join(words[start:end])
        for start in range(len(words))
        for end in range(start + 1, min(start + LONGEST_PHRASE, len(words)) + 1)
    )
    return {run for run in runs if len(run) >= SHORTEST_WITHIN and run in known}


def _several_types(written: str, known: Mapping[str, str]) -> tuple[str | None, str]:
    """`Chrysotile & amosite` and the like: the types joined by `+`, in alphabetical order."""
    parts = [plain(part) for part in re.split(r"[/,;&+]| and | with ", written.lower())]
    types = {known.get(part) for part in parts if part}
    if None in types or not types - {"unknown", "none"}:
        return None, "unknown"
    named = sorted({one for joined in types if joined for one in joined.split("+")} - {"unknown", "none"})
    return "+".join(named), "known"
