"""What one column means by itself: by the words of its heading, by their spelling, by its contents."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from pipelines.register.contents import LIKELY, MOSTLY, SCORES, SURE, Contents
from pipelines.register.reader import NOT_NEEDED, NOTES, Reader, in_full

ELSE = {
    "room": ("position",),
    "product": ("position", "product_beside"),
    "damage": ("damage_before",),
    "damage_score": ("damage_before",),
    "surface": ("surface_before",),
    "surface_treatment_score": ("surface_before",),
    "surveyed_on": ("surveyed_before",),
    "identification": ("identification_before",),
    "material_score": ("material_before",),
    "extent": ("extent_before",),
}
# What a heading names beside what its column may hold instead: the score or its words, one reference or the other.
INSTEAD = {
    "uprn": "property_ref",
    "property_ref": "uprn",
    "asbestos_type_score": "asbestos_types",
    "surface_treatment_score": "surface",
    "product_type_score": "product",
    "identification": "asbestos_types",
    "accessibility": "accessed",
    "accessed": "surveyed_on",
    "sampled": "sample_ref",
    "material_score": "product",
    "room": "address",
}
EARLIER_VISIT = "an earlier visit"
UNCHANGED = re.compile(
    r"^(?:n/?c|u/?c|no (?:further )?change|unchanged|same|as (?:before|last|(?:19|20)\d\d))"
    r"(?: (?:since|from|in|at|on)\b.{0,40})?$",
    re.I,
)
"""What says nothing of its column but that a visit found what the one before did."""
# What stands over the ten factors of the priority assessment, whose names are those of other columns too.
PRIORITY = re.compile(r"\bpriority\b", re.I)
STATED = ("priority_score", "material_score", "accessibility")
EARLIER = re.compile(r"\b(previous|prev|last|prior|old|former|earlier|original|initial|baseline)\b", re.I)
# One of the columns by unit over which an extent may be spread.
MEASURED = re.compile(
    r"\b(?:area|length|number|quantity|qty|amount|count|size|run|extent)\s*(?:[(\[]|,? in\b|[,:])?\s*"
    r"(?:m2|m²|sq\.? ?m|sqm|m|lm|lin\.? ?m|no\.?|nr|each|items?)\s*(?:unless \w+(?: \w+)?\s*)?[)\]]?$"
    r"|^(?:m2|m²|sq\.? ?m(?:etres?)?|sqm|lm|lin\.? ?m(?:etres?)?)\.?$",
    re.I,
)
# Words before a heading that make another thing of it: when to come again is not when one came.
ANOTHER = re.compile(
    r"\b(next|due|target|planned|proposed|recommended|review|report|issued?|completion|removal|expiry|re-?inspect\w*"
    r"|instructed|ordered|booked|birth|alternative|client|author|air|clearance|reassurance|background|swab|dust|smoke|leak"
    r"|personal|decorat\w*)\b",
    re.I,
)
SHORTEST_MISSPELT = 5
SHORTEST_LAST = 3
BY_LAST = "its last words are known"
AMOUNTS = ("amount", "quantity")
SPELLINGS_TRIED = 5
WORD_ALIKE = 0.5
ANSWERED = {"product": LIKELY, "sampled": SURE, "property_ref": LIKELY}
"""How much of a column must be what its heading says for it not to be of results, where nearly all of it is results or
answers: `Tested?` may go on with what was found, `yes - white`, and `Code` be over the results of a key."""


@dataclass(frozen=True)
class Column:
    """How one column was read: `field` is None where it is not used; `confidence` is 0 to 1."""

    heading: str
    field: str | None
    confidence: float
    reason: str
    others: tuple[str, ...] = ()
    """Further fields that the heading can mean, should another column be surer of the first; the first itself, if it
    may stand in several."""
    also: tuple[str, ...] = ()
    """Further fields that are read from the same cells, as the heading names them beside the first."""


def fields_in(columns: Iterable[Column]) -> set[str]:
    """The fields that some columns are read as."""
    return {column.field for column in columns if column.field}


def by_words(labels: Sequence[str], values: Sequence[str], reader: Reader) -> Column:
    """What a column means by the first of its labels whose words are known."""
    if not labels:
        return Column("", None, 0.0, "the heading is blank")
    if any(map(MEASURED.search, labels)) and reader.kind == "registers":
        return Column(labels[0], "extent", 1.0, "the words are known, and name a unit")
    for label in labels:
        if fields := reader.fields_of(label):
            if PRIORITY.search(labels[0]) and label != labels[0] and set(fields).isdisjoint(STATED):
                return Column(label, None, 1.0, "a factor of the priority assessment, and not needed")
            earlier = EARLIER.search(labels[0]) and not EARLIER.search(label)
            why = f"the words are known, though over a group of {EARLIER_VISIT}" if earlier else "the words are known"
            return _chosen(label, fields, values, reader.contents, 0.9 if earlier else 1.0, why)
        if fields := reader.together(label):
            why = f"the words are known, and name {' and '.join(fields)}" if len(fields) > 1 else "the words are known"
            return Column(label, fields[0], 0.95, why, ELSE.get(fields[0], ()), also=tuple(fields[1:]))
    unknown = Column(labels[0], None, 0.0, "no table knows these words, so the column is not used")
    return (
        _by_first_words(labels[0], values, reader)
        or _by_spelling(labels, values, reader)
        or _by_last_words(labels[0], values, reader)
        or unknown
    )


def _by_spelling(labels: Sequence[str], values: Sequence[str], reader: Reader) -> Column | None:
    """What a misspelt heading means."""
    alone = in_full(labels[min(len(labels) - 1, 1)], reader.short)
    if len(alone) < SHORTEST_MISSPELT:
        return None
    spellings = process.extract(
        alone,
        sorted(reader.known),
        scorer=DamerauLevenshtein.normalized_similarity,
        score_cutoff=reader.least_alike,
        limit=SPELLINGS_TRIED,
    )
    alike = (found for found in spellings if _is_alike_by_words(alone, found[0]))
    near = next((found for found in alike if _is_earlier(found[0]) or not _is_earlier(alone)), None)
    if near is None:
        return None
    why = f"spelt almost like '{near[0]}'"
    return _chosen(labels[0], reader.known[near[0]], values, reader.contents, round(near[1], 2), why)


def _by_first_words(label: str, values: Sequence[str], reader: Reader) -> Column | None:
    """What a heading means without the words that a database adds: `QTY_UOM_CD`, `REMOVED_IND`, if the contents fit."""
    bare, fields = reader.technical(label)
    name = next((name for name in fields if reader.contents.share(name, values) >= MOSTLY), None)
    if name is None:
        return None
    others = (name,) if name == "identification" else ELSE.get(name, ())
    return Column(label, name, 0.8, f"its first words are known, '{bare}', and its contents fit", others)


def _by_last_words(label: str, values: Sequence[str], reader: Reader) -> Column | None:
    """What the last words of a heading mean, as of `site UPRN` or `laboratory result`, if the contents fit."""
    words = in_full(label, reader.short).split()
    if not values or ANOTHER.search(label) or _is_earlier(label):
        return None
    for start in range(1, len(words)):
        last = " ".join(words[start:])
        meant = (name for name in reader.known.get(last, ()) if name not in SCORES or "score" in last)
        fields = [name for name in meant if _fits(name, last, values, reader.contents)]
        if fields and len(last) > SHORTEST_LAST:
            best = max(fields, key=lambda name: (reader.contents.share(name, values), -fields.index(name)))
            return Column(label, best, 0.8, f"{BY_LAST}, '{last}', and its contents fit")
    return None


def _fits(name: str, last: str, values: Sequence[str], held: Contents) -> bool:
    """Whether values can be of a field; amounts are figures alone where their unit stands elsewhere."""
    is_amount = name == "extent" and last in AMOUNTS
    return max(held.share(name, values), held.share("none", values) if is_amount else 0.0) >= MOSTLY


def _is_earlier(heading: str) -> bool:
    return EARLIER.search(heading) is not None


def _is_alike_by_words(one: str, other: str) -> bool:
    """Whether no word was exchanged for another: `state of material` is no misspelt `type of material`."""
    words, others = one.split(), other.split()
    return len(words) != len(others) or all(
        DamerauLevenshtein.normalized_similarity(*pair) >= WORD_ALIKE for pair in zip(words, others, strict=True)
    )


def _telling(fields: Sequence[str], values: Sequence[str], held: Contents) -> Sequence[str]:
    """The values of a column that tell what it is: no `unchanged` among conditions, and among materials no mark that
    repeats, `no access` or `nothing suspect`, unless nothing else stands there."""
    if any(name.startswith(("damage", "surface")) for name in fields):
        return [value for value in values if not UNCHANGED.match(value)]
    if "product" not in fields or "identification" in fields:
        return values
    named = [value for value in values if any(map(str.isalnum, value))]
    told = [one for one in named if held.share("product", [one]) or not held.share("identification", [one])]
    return told or values


def _chosen(
    label: str, fields: Sequence[str], values: Sequence[str], held: Contents, confidence: float, why: str
) -> Column:
    """The field that a known heading means; its values decide where it can mean several."""
    choice = fields[0]
    values = _telling(fields, values, held)
    is_result = "asbestos_types" in fields and choice == "identification" and held.share_of_result(values) >= MOSTLY
    if len(fields) > 1 and not is_result and held.share(choice, values) < SURE:
        share, best = _best(fields, values, held)
        if share >= LIKELY:
            choice, why = best, f"{why}; of its meanings the contents fit this one ({share:.0%})"
            confidence = min(confidence, 0.95)
        else:
            confidence, why = min(confidence, 0.7), f"{why}; the first of its meanings, the contents tell nothing"
    other = INSTEAD.get(choice)
    if other and held.is_rather(other, choice, values):
        choice, why = other, f"the contents are a {other}, whatever the heading says"
        confidence = min(confidence, 0.9)
    n_answers = _answers(values, held) if choice in (*ANSWERED, "identification") else 0.0
    if choice in ANSWERED and values and held.share(choice, values) < ANSWERED[choice] and n_answers >= SURE:
        fields = fields if choice == "sampled" else ()
        choice, why = "identification", "its contents are results, whatever the heading says"
        confidence = min(confidence, 0.9)
    if choice == NOT_NEEDED:
        return Column(label, None, confidence, "known, and not needed")
    others = _else(choice, fields, values, held)
    if choice == "identification" and (not values or n_answers >= MOSTLY):
        others = (*others, choice)  # results may stand in several columns
    return Column(label, choice, confidence, why, others)


def _answers(values: Sequence[str], held: Contents) -> float:
    """The share of values that are results, or a yes or no, whatever stands behind it."""
    return held.share_of_answer(values)


def _else(choice: str, fields: Sequence[str], values: Sequence[str], held: Contents) -> tuple[str, ...]:
    """What a column may mean should another be surer of its field."""
    others = tuple(name for name in (*fields, *ELSE.get(choice, ())) if name not in (choice, NOT_NEEDED))
    unfit = set[str]()
    if (
        "property_ref" in others
        and held.share("sample_like", values) >= MOSTLY
        and not held.share("property_ref", values)
    ):
        unfit.add("property_ref")  # numbers of items, which the stock list does not know
    if "position" in others and held.share("sample_like", values) >= MOSTLY:
        unfit.add("position")  # numbers of items, which say no place
    if "identification_before" in others and values and held.share_of_result(values) < LIKELY:
        unfit.add("identification_before")
    if "product_beside" in others and held.share("product", values) < LIKELY:
        unfit.add("product_beside")
    if "reinspection" in others and held.share("reinspection", values) < LIKELY:
        unfit.add("reinspection")  # the days of re-inspections
    is_told = choice == "product" and held.share("notes", values) >= MOSTLY and _says_little_of_things(values, held)
    return tuple(name for name in (*NOTES[:is_told], *others) if name not in unfit)


def _says_little_of_things(values: Sequence[str], held: Contents) -> bool:
    """Whether sentences seldom name a material or where it is, as what a visit found beside those of the last one."""
    return max(held.share("product", values), held.share("position", values)) < LIKELY


def _best(fields: Sequence[str], values: Sequence[str], held: Contents) -> tuple[float, str]:
    """The field that values fit best. References of the stock list are such, though they look like samples too."""
    share, best = max(((_share(name, fields, values, held), name) for name in fields), key=lambda pair: pair[0])
    if best == "sample_ref" and "property_ref" in fields and (known := held.share("property_ref", values)) >= MOSTLY:
        return known, "property_ref"
    return share, best


def _share(name: str, fields: Sequence[str], values: Sequence[str], held: Contents) -> float:
    """How well values fit a field; results also name the asbestos found, where no other field may have that."""
    if name == "identification" and "asbestos_types" not in fields:
        return held.share_of_result(values)
    if name == "accessibility" and NOT_NEEDED in fields:
        return held.share("likelihood", values)  # words of a likelihood are no reach
    return held.share(name, values)
