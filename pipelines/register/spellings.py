"""Words that are misspelt, shortened, run together or in the plural: what they may be of what is known."""

import re
from collections.abc import Mapping, Sequence

from rapidfuzz import process

from pipelines.register.phrases import phrases_within
from pipelines.register.words import CLEARS, LEAST_RESPELT, LONG_WORD, WORDS_ALIKE, plain

SLASHED = re.compile(r"\b([A-Za-z])/(?=[A-Za-z])")
NEAREST_SHOWN, NEAREST_AMONG = 3, 6


def long_words(known: Mapping[str, str]) -> list[str]:
    """The words of known phrases that are long enough to be told where they are misspelt."""
    return sorted({token for phrase in known for token in phrase.split() if len(token) >= LONG_WORD})


def respelt(
    written: str, known: Mapping[str, str], short: Mapping[str, str], tokens: Sequence[str] | None = None
) -> str | None:
    """A text with its short words in full, its long ones as the nearest known ones, plurals as singulars, if that gives
    a term."""
    if two := _two_words(written, known, short):
        return two
    tokens = long_words(known) if tokens is None else tokens
    words = [
        near[0]
        if len(word) >= LONG_WORD - 1
        and (near := process.extractOne(word, tokens, scorer=WORDS_ALIKE, score_cutoff=LEAST_RESPELT))
        else word.removesuffix("s")
        for shortened in plain(re.sub(r"\d+", "#", SLASHED.sub(r"\1", written))).split()
        for word in short.get(shortened, shortened).split()
    ]
    anew = " ".join(words)
    return anew if phrases_within(anew, known) else None


def _two_words(written: str, known: Mapping[str, str], short: Mapping[str, str]) -> str | None:
    """The known phrase that a code such as `TEXTCOAT` or `FLOORTILE` runs together."""
    word = written.strip().lower()
    if not word.isalpha() or len(word) < LONG_WORD:
        return None
    ways = (f"{short.get(word[:at], word[:at])} {short.get(word[at:], word[at:])}" for at in range(2, len(word) - 2))
    return next((phrase for phrase in ways if phrase in known), None)


def nearest(written: str, known: Mapping[str, str]) -> list[str]:
    """The known terms whose words are spelt most like this one, the nearest first. What would clear the material is
    among them only where the word is a slip of it: nobody should pick it because it stands first."""
    matches = process.extract(plain(written), sorted(known), scorer=WORDS_ALIKE, limit=NEAREST_AMONG)
    alike = ((known[word], likeness) for word, likeness, _ in matches)
    terms = dict.fromkeys(term for term, likeness in alike if term not in CLEARS or likeness >= LEAST_RESPELT)
    return list(terms)[:NEAREST_SHOWN]
