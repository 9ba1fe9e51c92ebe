"""Keys in running texts without signs of equality: codes one after the other before what they mean (`TC textured
coating, AC cement`), what a sign before a code adds, and in which order the cells of a sheet say things."""

import re
from collections.abc import Sequence

from pipelines.register.key import FEWEST_CODES, Key

SENTENCE = re.compile(r"(?<=\w)\.(?:\s+|$)|\s{3,}")
LABEL = re.compile(r"^([A-Za-z][^:=,;]{1,30}):\s+")
NEXT = re.compile(r"\s*[,;]\s+")
MEANS = re.compile(
    r"^(?:([A-Z][A-Z/+]{1,4}|[A-Z][a-z]?)\s+(?:[-–:=]\s*)?|([A-Za-z?*+][A-Za-z/+]{0,5})\s*=\s*)([a-z][^=]*[a-z]{2}[^=]*)$"
)
"""A code in capitals before what it means, in small letters, or any before a sign: `AC cement`, `none = lab found
nothing`."""
WORDS = frozenset(("I", "Am", "An", "As", "At", "Do", "He", "If", "In", "Is", "It", "Me", "My", "No", "Of", "On"))
WORDS |= frozenset(("Or", "So", "To", "Up", "Us", "We", "OK", "NB", "PS"))
BEFORE_CODE = re.compile(
    r"\b(?:an? |the )?['\"“‘(]?([A-Za-z+*~?])['\"”’)]? (?:before|in front of) "
    r"(?:it|them|one|an?y? code|the codes?|the letters?)\b"
    r"\s*(?:\([^)]*\)|e\.?g\.? \w+)?\s*(?:=|:|means?|is|stands for)\s*([^.;,=]*[a-z]{3})",
    re.I,
)
"""What stands for more before a code: `an x before it (xAM) = strongly presumed`."""
ORDER = re.compile(r"^(?:[^:/]{2,40}:\s*)?([^:/=.]{3,30}(?:\s+/\s+[^:/=.]{3,30}){2,7})(?:\.\s|\.?\s*$)")
"""What cells say one after the other: `In a box: material / result / amount in m2 / damage 0-3`."""


def keys_listed(cells: Sequence[str]) -> list[Key]:
    """The codes that a text lists before their meanings, all pieces of a sentence alike, with those behind a sign
    before them; and the order of the things that cells say."""
    found = [key for cell in cells for sentence in SENTENCE.split(cell.strip()) if (key := _listed(sentence, cell))]
    told = [one for cell in cells if (one := ORDER.match(re.sub(r"\s*\([^)]*\)", "", cell.strip())))]
    return [*found, *(Key("", order=tuple(re.split(r"\s+/\s+", one[1].strip()))) for one in told)]


def _listed(sentence: str, cell: str) -> Key | None:
    """The codes of a sentence; signs before them are explained in the same cell."""
    label = LABEL.match(sentence)
    pieces = [MEANS.match(piece.strip()) for piece in NEXT.split(sentence[label.end() :] if label else sentence)]
    codes = {one[1] or one[2]: one[3].strip() for one in pieces if one}
    is_list = all(pieces) and len(codes) >= FEWEST_CODES and WORDS.isdisjoint(codes)
    if not is_list or all("=" in one[0] for one in pieces if one):
        return None
    more = {sign[1]: sign[2].strip() for sign in BEFORE_CODE.finditer(cell)}
    signed = {f"{sign}{code}": f"{said} {of}" for sign, said in more.items() for code, of in codes.items()}
    return Key(label[1].strip() if label else "", signed | codes)
