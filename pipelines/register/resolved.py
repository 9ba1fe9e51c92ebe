"""Columns of codes beside columns of their words, as a database exports them: `COND_CD | COND_TXT`.

The words say what each code means, wherever its own are missing. Such a code is no score, whatever its figure.
"""

import re
from collections.abc import Iterator, Sequence

from pipelines.register.words import plain

Numbered = tuple[int, Sequence[str]]
Pair = tuple[int, int]

CODES = re.compile(r"^(.+) (?:cd|codes?)$")
WORDS = re.compile(r"^(.+) (?:txt|text|words?|descr?|description|name|meaning)$")
FIGURES = re.compile(r"^\d{1,4}(?:\.0)?$")
MISSING = re.compile(r"^(?:|[-–—]+|null|\(null\)|n/a|#\S*)$", re.I)
"""What stands for a word that was not looked up: `#LKP`, `#N/A`."""
ELSEWHERE = re.compile(r"\bsee (?:the )?(?:text|descr\w*)\b", re.I)
"""Words of a lookup that leave it to the text beside them: `Other (see text)`."""
FEWEST_CODES = 2
FEWEST_EACH = 2
"""Rows for each code, on the average, below which it cannot be told whether its words are its meaning."""


def pairs_in(cells: Sequence[str]) -> list[Pair]:
    """Where a heading has codes and where their words."""
    headings = [plain(cell.replace("_", " ")) for cell in cells]
    words = {found[1]: at for at, heading in enumerate(headings) if (found := WORDS.match(heading))}
    codes = {found[1]: at for at, heading in enumerate(headings) if (found := CODES.match(heading))}
    return [(at, words[stem]) for stem, at in codes.items() if stem in words]


def resolved(rows: Sequence[Numbered]) -> Iterator[Numbered]:
    """The rows below a heading that has codes beside their words, with the words alone."""
    first = next((nth for nth, (_, cells) in enumerate(rows) if pairs_in(cells)), None)
    if first is None:
        return
    pairs = pairs_in(rows[first][1])
    below = [(number, list(cells)) for number, cells in rows[first + 1 :] if not pairs_in(cells)]
    meanings = {pair: said for pair in pairs if (said := _meanings([cells for _, cells in below], pair))}
    texts = _texts_behind(rows[first][1], pairs)
    width = len(rows[first][1])
    for number, cells in below:
        read = [*cells, *[""] * (width - len(cells))]
        for (at, beside), said in meanings.items():
            if ELSEWHERE.search(read[beside]) and beside in texts:
                read[beside] = read[texts[beside]].strip() or read[beside]
            if FIGURES.match(code := read[at].strip()):
                if MISSING.match(read[beside].strip()):
                    read[beside] = said.get(code, f"code {code}")
                read[at] = ""
        if read != cells:
            yield number, read


def _texts_behind(heading: Sequence[str], pairs: Sequence[Pair]) -> dict[int, int]:
    """Of columns of words, the free text that stands next to them."""
    beside = {at for _, at in pairs}
    return {
        at: at + 1
        for at in beside
        if at + 1 < len(heading) and at + 1 not in beside and WORDS.match(plain(heading[at + 1].replace("_", " ")))
    }


def _meanings(rows: Sequence[Sequence[str]], pair: Pair) -> dict[str, str]:
    """What each code of a column means, if nothing but figures stands there and each always has the same words."""
    at, beside = pair
    both = [(cells[at].strip(), cells[beside].strip()) for cells in rows if max(pair) < len(cells)]
    coded = [(code, words) for code, words in both if not MISSING.match(code)]
    said = [(code, words) for code, words in coded if not MISSING.match(words)]
    meanings = dict(said)
    is_lookup = (
        all(FIGURES.match(code) and not FIGURES.match(words) for code, words in said)
        and all(plain(meanings[code]) == plain(words) for code, words in said)
        and len(said) >= FEWEST_EACH * len(meanings)
    )
    return meanings if is_lookup and len(meanings) >= FEWEST_CODES else {}
