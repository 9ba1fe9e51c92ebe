"""The words in which job lists say what was done, to what and where (`reference/job_words.csv`, `job_objects.csv`)."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from pipelines.register.words import plain

SHORTEST_MISSPELT = 5
LONG = 8
ENDINGS = (("s", ""), ("es", ""), ("ies", "y"), ("ed", ""), ("ed", "e"), ("ing", ""), ("ing", "e"))
MENTION, REPAIR, RENEWAL, NEVER = 0, 1, 2, 9
COUNTS_FROM = {"mention": MENTION, "repair": REPAIR, "renewal": RENEWAL, "never": NEVER}


class Row(NamedTuple):
    """What work a thing is, where one of the words beside it is `beside` (blank: anywhere), and from which act."""

    beside: str
    work_type: str
    counts_from: int


@dataclass(frozen=True)
class Lexicon:
    """The words and things of the reference tables; `reach`: how many words the longest phrase from a word on has."""

    meanings: Mapping[str, Sequence[tuple[str, str]]]
    rows: Mapping[str, Sequence[Row]]
    standing: Mapping[str, int]
    words: frozenset[str]
    reach: Mapping[str, int]
    spelt: dict[str, str] = field(default_factory=dict)
    trades: dict[str, frozenset[str]] = field(default_factory=dict)

    def word(self, written: str) -> str:
        """The known word for one as written: itself, without its ending, or the one spelt most like it."""
        if written not in self.spelt:
            self.spelt[written] = self._known(written) or self._nearest(written) or written
        return self.spelt[written]

    def again(self, written: str, act: str) -> str:
        """`re-hang` as one word where that is known; `re leak` as it stands."""
        return f"re{act}" if self._known(f"re{act}") else written

    def _known(self, written: str) -> str | None:
        if written in self.words:
            return written
        stems = (written.removesuffix(ending) + instead for ending, instead in ENDINGS if written.endswith(ending))
        return next((stem for stem in stems if stem in self.words), None)

    def _nearest(self, written: str) -> str | None:
        """One letter off, or two in words of eight and more, the first letter right, and no other word as near."""
        if len(written) < SHORTEST_MISSPELT or not written.isalpha():
            return None
        off = 2 if len(written) >= LONG else 1
        near = process.extract(
            written,
            [word for word in self.words if word[0] == written[0] and len(word) >= SHORTEST_MISSPELT - 1],
            scorer=DamerauLevenshtein.distance,
            score_cutoff=off,
            limit=None,
        )
        best = sorted(word for word, distance, _ in near if distance == min(found[1] for found in near))
        return best[0] if len(best) == 1 else None


def read_lexicon(words: Iterable[tuple[str, str, str]], objects: Iterable[tuple[str, int, str, str, str]]) -> Lexicon:
    """The lexicon from rows of job_words (written, kind, term) and job_objects (object, standing, beside, ...)."""
    meanings: dict[str, list[tuple[str, str]]] = {}
    for written, kind, term in words:
        meanings.setdefault(plain(written), []).append((kind, term))
    rows: dict[str, list[Row]] = {}
    standing: dict[str, int] = {}
    for thing, rank, beside, work_type, counts_from in objects:
        rows.setdefault(thing, []).append(Row(beside, work_type, COUNTS_FROM[counts_from]))
        standing[thing] = rank
    reach: dict[str, int] = {}
    for phrase in meanings:
        first, length = phrase.split()[0], len(phrase.split())
        reach[first] = max(reach.get(first, 0), length)
    known = frozenset(word for phrase in meanings for word in phrase.split())
    return Lexicon({phrase: sorted(kinds) for phrase, kinds in meanings.items()}, rows, standing, known, reach)
