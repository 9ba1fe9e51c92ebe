"""Keys of four conditions in their order, which stand for the four of the material assessment.

`1 = fine, 2 = marks, 3 = broken in a few places, 4 = in bits`: whoever grades in four steps from undamaged to the worst
says by the place of a step how bad it is, whatever words they have for it.
"""

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from pipelines.register.key import Key
from pipelines.register.words import plain, recognise_word

GRADES = {"good": "good", "low": "low damage", "medium": "medium damage", "high": "high damage"}
"""The conditions from the best to the worst, and a word for each."""
WORST = ("high", "poor")
OF_CONDITION = ("cond", "dam", "state", "wear")
"""How the names of such keys begin."""


def in_order(key: Key, damages: Mapping[str, str]) -> Key:
    """A key of four steps from good to the worst, with the grade of its place before each meaning that the words alone
    would give another, or none: `broken in a few places` as the third is `medium damage (broken in a few places)`."""
    codes = list(key.meanings)
    if not plain(key.name).startswith(OF_CONDITION) or len(codes) != len(GRADES) or not _run_on(codes):
        return key
    terms = [recognise_word("damage", said, damages)[0] for said in key.meanings.values()]
    if terms[0] != "good" or terms[-1] not in WORST:
        return key
    steps = zip(key.meanings.items(), terms, GRADES.items(), strict=True)
    meanings = {code: said if term == grade else f"{word} ({said})" for (code, said), term, (grade, word) in steps}
    return replace(key, meanings=meanings)


def _run_on(codes: list[str]) -> bool:
    """Whether codes are figures or letters, each the next of the one before."""
    return all(len(code) == 1 for code in codes) and all(ord(one) + 1 == ord(other) for one, other in pairwise(codes))
