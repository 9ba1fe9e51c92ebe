"""Keys in a row of cells, behind what they are called: `Letters for damage: | G = good | S = slight`, `Codes: | CH
chrysotile | AM amosite`; and what they say of columns: `Scores: | D = damage 0-3 | T = treatment 0-3`."""

import re
from collections.abc import Mapping, Sequence

from pipelines.register.key import FEWEST_CODES, FEWEST_SIGNS, Key

WITH_SIGN = re.compile(r"^([A-Za-z?+*✓✗][A-Za-z/+]{0,3}\d?)\s*=\s*(\S.*[A-Za-z]{2}.*)$")
WITHOUT_SIGN = re.compile(r"^([A-Z][A-Z/+]{0,3})\s+(?:[-–:]\s*)?([A-Za-z].*[A-Za-z]{2}.*)$")
SCORED = re.compile(r"^([A-Za-z][A-Za-z /-]*[A-Za-z])[\s,(]*[01]\s?(?:-|–|to)\s?[1-5]\)?$")
"""What a column scores, before the range of its scores: `damage 0-3`."""
LABEL_WORDS_MOST = 6


def behind_label(cells: Sequence[str]) -> list[tuple[str, str, str]]:
    """Name, code and meaning of the codes of a row whose first cell says what they are called; each cell behind it
    explains one, all but one at most where a colon shows the name."""
    label, *said = cells or [""]
    if WITH_SIGN.match(label) or len(label.split()) > LABEL_WORDS_MOST:
        return []
    n_others = 1 if label.endswith(":") else 0
    for pattern, fewest in ((WITH_SIGN, FEWEST_SIGNS), (WITHOUT_SIGN, FEWEST_CODES)):
        found = {one[1]: one[2].strip() for cell in said if (one := pattern.match(cell))}
        if len(found) >= max(fewest, len(said) - n_others) and (n_others or pattern is WITH_SIGN):
            return [(label.rstrip(" :"), code, meaning) for code, meaning in found.items()]
    return []


def columns_scored(keys: Sequence[Key]) -> list[Mapping[str, str]]:
    """What the short headings of scores stand for, by the keys that explain two of them or more."""
    told = ({code: one[1] for code, said in key.meanings.items() if (one := SCORED.match(said))} for key in keys)
    return [{code: f"{name} score" for code, name in found.items()} for found in told if len(found) >= FEWEST_SIGNS]


def headings_in(cells: Sequence[str], scored: Sequence[Mapping[str, str]]) -> Mapping[str, str]:
    """What the headings of scores in a row stand for: one letter is one only where two stand, each once."""
    texts = [cell.strip() for cell in cells]
    return {
        code: name
        for found in scored
        if sum(texts.count(code) == 1 for code in found) >= FEWEST_SIGNS
        for code, name in found.items()
        if texts.count(code) == 1
    }
