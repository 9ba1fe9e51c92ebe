"""What the values of a column look like, where its heading does not settle what it holds."""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from pipelines.register.dates import is_date, is_day_of_some_year
from pipelines.register.words import LIKELIHOOD, plain, recognise_word

POSTCODE = re.compile(r"^[a-z]{1,2}\d[a-z\d]? ?\d[a-z]{2}$", re.I)
UPRN = re.compile(r"^0*\d{8,12}(\.0)?$|^\d{1,3}(,\d{3}){2,3}$|^\d(\.\d+)?E\+\d{2}$", re.I)
ADDRESS = re.compile(r"\d+[a-z]?\b.*[a-z]{3,}|^(flat|block|house)\b", re.I)
OF_FILE = re.compile(r"\.(?:jpe?g|png|gif|hei[cf]|pdf|docx?|xlsx?)\b|https?:", re.I)
SAMPLE = re.compile(
    r"^((?:as|ref|see|same as|like|sim(?:ilar)? to|x-?ref|ext|extrap|extrapolated from|match(?:es)?)[.:]* "
    r"(?:samples? )?)?"
    r"([a-z]{1,4}[-/ .]?\d{1,6}[a-z]?"
    r"(\s*([-–,;&+/]|\bto\b|\band\b)\s*([a-z]{1,4}[-/ .]?)?\d{1,6}[a-z]?)*|\d{2,6}/\d{2,4})$",
    re.I,
)
EXTENT = re.compile(
    r"^[~<>c. ]*\d+([.,]\d+)?\s*"
    r"(m2|m²|sqm|sm|sq(uare)?\.? ?(m|metres?)|m|metres?( run)?|lm|lin\.? ?m(etres)?|nr|no\.?|ea|each|pcs|off)\.?$",
    re.I,
)
# Also `about 7 sq.m`, `14 m run` and, beside such ones, `whole ceiling`.
EXTENT_IN_WORDS = re.compile(
    r"^(?:about |around |approx\.? ?|circa |some |up to |over )?\d+([.,]\d+)?\s*"
    r"(?:sq\.? ?m(?:etres?)?|m2|m²|l/?m|lin\.? ?m|m(?:etres?)?|no\.?|nr|off|panels?|sheets?|doors?|boards?)"
    r"(?: ?(?:run|length|long|approx))?\.?(?:,.*)?$"
    r"|^\d+(?:[.,]\d+)?\s*m{0,2}\s*[x×]\s*\d+(?:[.,]\d+)?\s*m{0,2}\b"
    r"|^(?:throughout|whole|all|entire|full|various|not (?:quantified|measured))\b",
    re.I,
)
NUMBER = re.compile(r"^\d+([.,]\d+)?$")
SCORE = re.compile(r"^[0-3](\.0)?$")
SCORED = re.compile(r"^[0-3]\b|\b[0-3]\)?$")
TOGETHER = re.compile(
    r"^(?:[1-3](?:\s*[+/.·–-]\s*[0-3]){3}|P[a-z]{0,6}[ :=]*[1-3]\W+D[a-z]{0,6}[ :=]*[0-3]\W+S[a-z]{0,6}[ :=]*[0-3])\b",
    re.I,
)
"""Four scores in one cell: `2+1+2+2 = 7`, `2/1/2/2`, `2·1·2·2 (7)`, `PT2 DM1 ST2 AT2`."""
TOTAL = re.compile(r"^\d{1,2}(\.0)?$")
TERMS = {
    "product": "product",
    "product_beside": "product",
    "room": "place",
    "identification": "identification",
    "asbestos_types": "asbestos_type",
    "damage": "damage",
    "surface": "surface",
    "extent_unit": "extent_unit",
    "survey_type": "survey_type",
    "accessibility": "accessibility",
    "dwelling_type": "dwelling_type",
    "position": "element",
}
PATTERNS = {"postcode": POSTCODE, "sample_ref": SAMPLE}
SCORES = ("product_type_score", "damage_score", "surface_treatment_score", "asbestos_type_score")
SAMPLES_DISTINCT = 0.3
"""A reference of samples repeats where one stands for several items, but not like a room or a surveyor."""
ANSWERS = frozenset(("yes", "no", "y", "n", "true", "false"))
"""Which question they answer only the heading can tell."""
ANSWER_GOING_ON = re.compile(r"^\W*(?:yes|y|no|n)\b\W+\w", re.I)
"""An answer and what more is known: `yes - white`, `no, same as no 2`."""
OF_VISIT = re.compile(r"\b(?:surveyed|inspected|visited|access|completed?|no acms?)\b", re.I)
"""What came of a visit."""
REINSPECTED = re.compile(
    r"^\W*(?:n\W?c\b|no change|unchanged|same\b|ok\b|as (?:was|before)|n/?acc|no access"
    r"|not (?:done|seen|found|inspected)|removed|gone\b|encap|covered|enclosed|worse|sold\b|c-?19\b|covid)",
    re.I,
)
"""What a re-inspection says of an item."""
ENTERED = re.compile(r"^(?:not )?(?:gained|obtained|made|achieved|granted|given|refused|denied)$", re.I)
"""Whether somebody got in."""
STATUS = re.compile(
    r"^(?:live|current|active|open|present|still present|remains|remaining|in ?situ|in place|extant|closed|superseded"
    r"|(?:gone|taken out|taken down|(?:(?:part(?:ly|ially)?|half) )?removed|all removed)\b.*)$",
    re.I,
)
"""Whether an item is still there."""
SCORE_MOST, PRIORITY_MOST = 12, 12
SURE, MOSTLY, LIKELY, APART = 0.8, 0.5, 0.3, 0.2
"""Shares of a column's values."""


@dataclass(frozen=True)
class Contents:
    """What values are compared with: the terms of each vocabulary, and the references of the stock list, all plain."""

    terms: Mapping[str, Mapping[str, str]]
    stock: Mapping[str, frozenset[str]] = field(default_factory=dict)
    known: dict[tuple[str, str], bool] = field(default_factory=dict, compare=False, repr=False)
    """Values of which it was told already whether a word of a vocabulary stands there."""

    def share(self, name: str, values: Sequence[str]) -> float:
        """The share of values that can stand in the field `name`, 0 where there are none or the field has no test."""
        test = self._test(name)
        if not test or not values:
            return 0.0
        counted = Counter(values)
        if name == "sample_ref" and len(counted) < SAMPLES_DISTINCT * len(values):
            return 0.0
        return sum(times for value, times in counted.items() if test(value)) / len(values)

    def knows_streets(self, values: Iterable[str]) -> bool:
        """Whether the first word of a street or block of the stock list stands in some values, if the list has any."""
        return not self._street_words or any(not self._street_words.isdisjoint(plain(one).split()) for one in values)

    def share_on_streets(self, values: Sequence[str]) -> float:
        """The share of values with the first word of a street or block of the stock list, as homes are named in speech:
        `Heron Point fl 9`, `11 saltpan`."""
        return sum(not self._street_words.isdisjoint(plain(one).split()) for one in values) / (len(values) or 1)

    def share_of_result(self, values: Sequence[str]) -> float:
        """The share of values that are a result or name the asbestos found, as a column of results has both."""
        return self._share_of_any(("identification", "asbestos_types"), values)

    def share_of_answer(self, values: Sequence[str]) -> float:
        """The share of values that are a result, or say whether there is one, whatever more they say."""
        return self._share_of_any(("identification", "asbestos_types", "sampled", "answered"), values)

    def _share_of_any(self, names: Sequence[str], values: Sequence[str]) -> float:
        tests = [self._test(name) for name in names]
        counted = Counter(values).items()
        return sum(times for value, times in counted if any(test(value) for test in tests if test)) / (len(values) or 1)

    def is_rather(self, other: str, name: str, values: Sequence[str]) -> bool:
        """Whether values are of another field than the heading says: references of samples, though `no` may stand
        between them, below `Tested?`."""
        share = self.share(name, values)
        if name == "sampled":
            samples = self.share("sample_like", values)
            return samples >= APART and share + samples >= SURE
        return share < LIKELY and self.share(other, values) >= SURE

    def best(self, values: Sequence[str], among: Sequence[str]) -> list[tuple[float, str]]:
        """The fields that the values fit, the best first."""
        return sorted(((self.share(name, values), name) for name in among), reverse=True)

    def _test(self, name: str) -> Callable[[str], bool] | None:
        if name in TERMS:
            return lambda value: self._is_term(TERMS[name], value)
        if name == "extent":
            return lambda value: EXTENT.search(value) is not None or EXTENT_IN_WORDS.search(value) is not None
        if name in PATTERNS:
            return lambda value: PATTERNS[name].search(value) is not None
        tests: dict[str, Callable[[str], bool]] = {
            "property_ref": lambda value: (
                plain(value) in self.stock.get("property_ref", ()) or _without_zeros(value) in self._without_zeros
            ),
            "building_ref": lambda value: plain(value) in self.stock.get("building_ref", ()),
            "uprn": lambda value: (
                value.lstrip("0").removesuffix(".0") in self.stock.get("uprn", ()) or UPRN.match(value) is not None
            ),
            "address": lambda value: (
                plain(value) in self.stock.get("address", ())
                or (
                    ADDRESS.search(value) is not None
                    and not (is_date(value) or EXTENT.match(value) or OF_FILE.search(value))
                )
            ),
            "surveyed_on": lambda value: is_date(value) or is_day_of_some_year(value),
            "analysed_on": is_date,
            "damage_score": lambda value: SCORE.match(value) is not None,
            "product_type_score": lambda value: SCORED.match(value) is not None,
            "surface_treatment_score": lambda value: SCORED.match(value) is not None,
            "asbestos_type_score": lambda value: SCORED.match(value) is not None,
            "material_score": lambda value: _at_most(value, SCORE_MOST) or TOGETHER.match(value) is not None,
            "scores_together": lambda value: TOGETHER.match(value) is not None,
            "priority_score": lambda value: _at_most(value, PRIORITY_MOST),
            "notes": lambda value: len(value.split()) > 3,
            "removed": lambda value: plain(value) in ANSWERS or STATUS.match(value) is not None,
            "removed_on": is_date,
            "chrysotile": lambda value: plain(value) in ANSWERS,
            "amosite": lambda value: plain(value) in ANSWERS,
            "crocidolite": lambda value: plain(value) in ANSWERS,
            "likelihood": lambda value: LIKELIHOOD.match(value) is not None,
            "sample_like": lambda value: SAMPLE.search(value) is not None,
            "accessed": lambda value: plain(value) in ANSWERS or ENTERED.match(value) is not None,
            "sampled": lambda value: plain(value) in ANSWERS,
            "answered": lambda value: ANSWER_GOING_ON.match(value) is not None,
            "strongly_presumed": lambda value: plain(value) in ANSWERS,
            "visit_outcome": lambda value: OF_VISIT.search(value) is not None,
            "reinspection": lambda value: REINSPECTED.search(value) is not None,
            "none": lambda value: NUMBER.match(value) is not None,
        }
        return tests.get(name)

    @cached_property
    def _street_words(self) -> frozenset[str]:
        return frozenset(street.split()[0] for street in self.stock.get("street", ()) if street)

    @cached_property
    def _without_zeros(self) -> frozenset[str]:
        """The references that are figures, as a spreadsheet leaves them."""
        return frozenset(map(_without_zeros, filter(str.isdigit, self.stock.get("property_ref", ()))))

    def _is_term(self, vocabulary: str, value: str) -> bool:
        """Whether a word of the vocabulary stands there; figures alone tell nothing."""
        if (told := self.known.get((vocabulary, value))) is None:
            told = self.known[vocabulary, value] = not (
                NUMBER.match(value)
                or (vocabulary == "identification" and SAMPLE.match(value))
                or (plain(value) in ANSWERS and vocabulary != "extent_unit")
                or recognise_word(vocabulary, value, self.terms.get(vocabulary, {}))[0] is None
            )
        return told


def _without_zeros(reference: str) -> str:
    return reference.strip().removesuffix(".0").lstrip("0")


def _at_most(value: str, most: int) -> bool:
    return TOTAL.match(value) is not None and float(value) <= most


def adding_up(columns: Sequence[Sequence[str]]) -> tuple[int, int] | None:
    """The index of the first of four neighbouring columns of scores that add up to a fifth, and the index of that one.

    Columns are values by row, of equal length. At least ten rows, and nine in ten of them, must add up.
    """
    rows = list(zip(*columns, strict=True))
    is_score = [_scores(column) for column in columns]
    for first in range(len(columns) - 3):
        four = zip(*is_score[first : first + 4], strict=True)
        scored = [row for row, scores in zip(rows, four, strict=True) if all(scores)]
        for total in range(len(columns)):
            if first <= total < first + 4:
                continue
            known = [row for row in scored if TOTAL.match(row[total])]
            right = [row for row in known if sum(float(row[at]) for at in range(first, first + 4)) == float(row[total])]
            if len(known) >= 10 and len(right) >= 0.9 * len(known):
                return first, total
    return None


def _scores(column: Sequence[str]) -> list[bool]:
    """Which values of a column are scores."""
    scores = {value for value in set(column) if SCORE.match(value)}
    return [value in scores for value in column]
