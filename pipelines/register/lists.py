"""Rows between items that say one thing of a list of rooms: `Not seen: | Loft, cellar`, `No access: bedroom 2`,
`ALL AREAS | NO ACCESS - card left`."""

import re
from collections.abc import Mapping, Sequence

from pipelines.register.words import recognise_word

RESULTS = ("no_access", "not_suspect", "not_detected")
LABELLED = re.compile(r"^\s*([^:=]{2,60}?)\s*(?:[:=]|\s[-–—]\s)\s*(\S.*)$", re.S)
IN_BRACKETS = re.compile(r"\(.*?\)")
LONGEST_LABEL = 60


def rooms_said(filled: Sequence[str], terms: Mapping[str, Mapping[str, str]]) -> tuple[str, str] | None:
    """The rooms that the filled cells of such a row name, and the result that it says of them; else None.

    One side must name rooms alone and the other say that nobody saw them, or that nothing is suspect in them.
    """
    if len(filled) == 1:
        found = LABELLED.match(filled[0])
        return _told(found[1], found[2], terms) if found else None
    if not filled or not (filled[0].rstrip().endswith((":", "=")) or len(filled) == 2):
        return None
    label, rest = filled[0].strip(" :=-–—"), ", ".join(filled[1:])
    if told := _told(label, rest, terms):
        return told
    return _told(rest, label, terms) if not filled[0].rstrip().endswith((":", "=")) else None


NOWHERE = re.compile(r"^\W*(?:none|nil|n/?a|nowhere|all seen)\W*$", re.I)


def says_nothing(filled: Sequence[str], terms: Mapping[str, Mapping[str, str]]) -> bool:
    """Whether a row says that there are no such rooms: `Not seen: | none`."""
    results = terms.get("identification", {})
    return (
        len(filled) == 2
        and NOWHERE.match(filled[1]) is not None
        and filled[0].rstrip().endswith((":", "="))
        and recognise_word("identification", filled[0], results)[0] in RESULTS
    )


def _told(result: str, rooms: str, terms: Mapping[str, Mapping[str, str]]) -> tuple[str, str] | None:
    results, places, products = (terms.get(name, {}) for name in ("identification", "place", "product"))
    bare = IN_BRACKETS.sub(" ", rooms)
    is_result = len(result) <= LONGEST_LABEL and recognise_word("identification", result, results)[0] in RESULTS
    if not is_result or recognise_word("place", bare, places)[0] is None:
        return None
    names_more = recognise_word("identification", bare, results)[0] or recognise_word("product", result, products)[0]
    said = recognise_word("identification", result, results)[0]
    return None if names_more not in (None, "none", "not_asbestos", said) else (rooms, result)
