"""How the columns of a table read: by the words of a heading, by their spelling, by contents, by what adds up."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from pipelines.register import contents, layout
from pipelines.register.contents import Contents
from pipelines.register.lists import rooms_said
from pipelines.register.words import plain

CONTEXT = (
    *("property_ref", "uprn", "address", "postcode", "survey_type", "surveyed_on", "surveyor", "organisation"),
    *("analysed_on", "laboratory", "certificate_ref", "analyst"),
)
BY_CONTENTS = {
    "stock": ("uprn", "postcode", "dwelling_type"),
    "registers": (
        "property_ref",
        "uprn",
        "address",
        "postcode",
        "surveyed_on",
        "room",
        "product",
        "identification",
        "asbestos_types",
        "damage",
        "surface",
        "extent",
        "extent_unit",
        "survey_type",
        "accessibility",
        "sample_ref",
        "position",
    ),
    "samples": (
        "property_ref",
        "uprn",
        "address",
        "postcode",
        "analysed_on",
        "room",
        "product",
        "asbestos_types",
        "sample_ref",
    ),
}
# A second column that is read as the first of these holds the other.
ELSE = {
    "room": ("position",),
    "product": ("position",),
    "damage": ("damage_before",),
    "damage_score": ("damage_before",),
    "surface": ("surface_before",),
    "surface_treatment_score": ("surface_before",),
    "surveyed_on": ("surveyed_before",),
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
    "sampled": "sample_ref",
}
PARTS_OF_ADDRESS = ("address", "postcode", "uprn")
# What may stand in several columns.
EARLIER_VISIT = "an earlier visit"
BEFORE = ("damage_before", "surface_before", "surveyed_before")
SEVERAL = ("address", "damage_before", "surface_before")
BLANKS = layout.DITTO | {"-", "–", "—", "--", "null"}
# Of two fields that the same contents fit as well, the one to take.
RATHER = {
    frozenset(("identification", "asbestos_types")): "identification",
    frozenset(("property_ref", "sample_ref")): "property_ref",
    frozenset(("product", "position")): "product",
    frozenset(("damage", "surface")): "damage",
    frozenset(("room", "position")): "room",
}
EARLIER = re.compile(r"\b(previous|prev|last|prior|old|former|earlier)\b", re.I)
# One of the columns by unit over which an extent may be spread.
MEASURED = re.compile(
    r"\b(?:area|length|number|quantity|qty|amount|count|size|run|extent)\s*[(\[]?\s*"
    r"(?:m2|m²|sq\.? ?m|sqm|m|lm|lin\.? ?m|no\.?|nr|each|items?)\s*[)\]]?$",
    re.I,
)
# Words before a heading that make another thing of it: when to come again is not when one came.
ANOTHER = re.compile(
    r"\b(next|due|target|planned|proposed|recommended|review|report|issued?|completion|removal|expiry|re-?inspect\w*"
    r"|instructed|ordered|booked|birth|alternative|client|author|air|clearance|reassurance|background|swab|dust|smoke|leak"
    r"|personal|decorat\w*)\b",
    re.I,
)
YEAR = re.compile(r"\b(?:19|20)\d\d\b")
YEAR_MARKED = re.compile(r"[(\[]?\b(?:19|20)\d\d\b[)\]]?")
EARLIER_SURE = 0.7
EITHER = re.compile(r"\s+(?:or|and|&|with)\s+|\s*[/;+&\n]\s*", re.I)
# Which fields a column is read for whose heading names two.
TOGETHER = {
    frozenset(("sample_ref", "identification")): ("identification",),
    frozenset(("sample_ref", "asbestos_types")): ("identification",),
    frozenset(("identification", "asbestos_types")): ("identification",),
    frozenset(("floor", "room")): ("room",),
    frozenset(("room", "position")): ("room",),
    frozenset(("product", "position")): ("product",),
    frozenset(("extent", "extent_unit")): ("extent",),
    frozenset(("property_ref", "address")): ("address",),
    frozenset(("address", "postcode")): ("address",),
}
# `Location / description` says both, though a description can be a room's.
ROOM_AND_PRODUCT = {"room", "product"}
SHORTEST_MISSPELT = 5
SHORTEST_LAST = 3
BY_LAST = "its last words are known"
UNUSED = 0.1
SPELLINGS_TRIED = 5
WORD_ALIKE = 0.5
NOT_NEEDED = "none"
SURE, MOSTLY, LIKELY, APART = 0.8, 0.5, 0.3, 0.2
Known = Mapping[str, Sequence[str]]


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


@dataclass(frozen=True)
class Reader:
    """What is known when headings of one kind of file are read: words to fields, contents, and the reader's limits."""

    kind: str
    known: Known
    short: Mapping[str, str]
    contents: Contents
    least_alike: float
    least_sure: float
    least_fields: int
    remembered: dict[str, Sequence[str]] = field(default_factory=dict)
    told: dict[str, str | None] = field(default_factory=dict)

    def fields_of(self, text: str) -> Sequence[str]:
        """The fields that a heading can mean if its words, or what they are short for, are known."""
        if text not in self.remembered:
            is_both = set(self.together(text)) == ROOM_AND_PRODUCT
            meant = () if is_both else self._known(text) or self._common(EITHER.split(text))
            self.remembered[text] = meant or self._of_address(text)
        return self.remembered[text]

    def _known(self, text: str) -> Sequence[str]:
        return self.known.get(plain(text)) or self.known.get(in_full(text, self.short), ())

    def _common(self, parts: Sequence[str]) -> Sequence[str]:
        """What all parts of a heading such as `Room or Space` mean, if each of them is known."""
        meant = [self._known(part) for part in parts]
        return [name for name in meant[0] if all(name in fields for fields in meant)] if len(parts) > 1 else ()

    def _of_address(self, text: str) -> Sequence[str]:
        """What a field of an address within a record means: `property.address.line1`, `address.number`."""
        over, _, last = text.rpartition(".")
        if plain(over).split()[-1:] != ["address"]:
            return ()
        name = re.sub(r"(?<=[a-z])(?=\d)", " ", last)
        meant = (self._known(f"{before}{name}") for before in ("", "address ", "house "))
        return [one for one in next(filter(None, meant), ()) if one in PARTS_OF_ADDRESS]

    def together(self, text: str) -> Sequence[str]:
        """The fields that one column holds together by a heading such as `Condition and surface`."""
        parts = [part for part in EITHER.split(text) if part.strip()]
        if len(parts) < 2:
            return ()
        meant = [next(iter(self._known(part)), NOT_NEEDED) for part in parts]
        fields = tuple(dict.fromkeys(meant))
        if len(fields) != len(meant) or len(fields) < 2 or NOT_NEEDED in fields:
            return ()
        return TOGETHER.get(frozenset(fields), fields)

    def field_of(self, text: str) -> str | None:
        """The field that a heading most likely means."""
        if text not in self.told:
            self.told[text] = next(iter(self.fields_of(text) or self.together(text)), None)
        return self.told[text]

    def first_known(self, texts: Sequence[str]) -> str:
        """Of the words that may name a column, the first that are known, else the first."""
        return next((text for text in texts if self.field_of(text)), texts[0] if texts else "")

    def context_of(self, text: str) -> str | None:
        """The field that a label above a table means, of those that hold for the whole table."""
        return next((name for name in self.fields_of(text) if name in CONTEXT), None)

    def is_of_rooms(self, filled: Sequence[str]) -> bool:
        """Whether a row says one thing of a list of rooms."""
        return rooms_said(filled, self.contents.terms) is not None


def fields_in(columns: Iterable[Column]) -> set[str]:
    return {column.field for column in columns if column.field}


def read_columns(block: layout.Block, below: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """How each column of a table reads, by its heading and by the rows below it.

    Where headings name several years, those of the last are of this visit and the others of earlier ones.
    """
    written = [next(iter(labels), "") for labels in block.labels]
    block, earlier = _without_years(block)
    values = [
        [text for cells in below if at < len(cells) and (text := cells[at].strip()) and text.lower() not in BLANKS]
        for at in range(len(block.labels))
    ]
    read = [_by_words(labels, held, reader) for labels, held in zip(block.labels, values, strict=True)]
    read = [
        replace(column, confidence=column.confidence * earlier[at], reason=f"{column.reason}, at {EARLIER_VISIT}")
        if at in earlier and column.field
        else column
        for at, column in enumerate(read)
    ]
    read = _without_ties(read)
    taken = fields_in(read)
    read = [
        column if column.field or column.confidence else _by_contents(column, held, reader, taken)
        for column, held in zip(read, values, strict=True)
    ]
    if earlier:
        read = [replace(column, heading=heading) for column, heading in zip(read, written, strict=True)]
    return _by_sums(read, below, reader)


def _without_years(block: layout.Block) -> tuple[layout.Block, dict[int, float]]:
    """A heading without the years that tell its columns apart, and how sure the columns are that are not of the last
    of them: the earlier the less."""
    years = [set(map(int, YEAR.findall(" ".join(labels)))) for labels in block.labels]
    named = set().union(*years)
    if len(named) < 2:
        return block, {}
    age = {year: age for age, year in enumerate(sorted(named, reverse=True))}
    earlier = {at: EARLIER_SURE ** age[max(own)] for at, own in enumerate(years) if own and max(named) not in own}
    bare = tuple(
        tuple(dict.fromkeys(text for label in labels if (text := " ".join(YEAR_MARKED.sub(" ", label).split()))))
        for labels in block.labels
    )
    return replace(block, labels=bare), earlier


def _by_words(labels: Sequence[str], values: Sequence[str], reader: Reader) -> Column:
    if not labels:
        return Column("", None, 0.0, "the heading is blank")
    if any(map(MEASURED.search, labels)) and reader.kind == "registers":
        return Column(labels[0], "extent", 1.0, "the words are known, and name a unit")
    for label in labels:
        if fields := reader.fields_of(label):
            earlier = EARLIER.search(labels[0]) and not EARLIER.search(label)
            why = f"the words are known, though over a group of {EARLIER_VISIT}" if earlier else "the words are known"
            return _chosen(label, fields, values, reader.contents, 0.9 if earlier else 1.0, why)
        if fields := reader.together(label):
            why = f"the words are known, and name {' and '.join(fields)}" if len(fields) > 1 else "the words are known"
            return Column(label, fields[0], 0.95, why, also=tuple(fields[1:]))
    alone = in_full(labels[min(len(labels) - 1, 1)], reader.short)
    if len(alone) >= SHORTEST_MISSPELT:
        spellings = process.extract(
            alone,
            sorted(reader.known),
            scorer=DamerauLevenshtein.normalized_similarity,
            score_cutoff=reader.least_alike,
            limit=SPELLINGS_TRIED,
        )
        alike = (found for found in spellings if _is_alike_by_words(alone, found[0]))
        if near := next((found for found in alike if _is_earlier(found[0]) or not _is_earlier(alone)), None):
            why = f"spelt almost like '{near[0]}'"
            return _chosen(labels[0], reader.known[near[0]], values, reader.contents, round(near[1], 2), why)
    return _by_last_words(labels[0], values, reader) or Column(
        labels[0], None, 0.0, "no table knows these words, so the column is not used"
    )


def _by_last_words(label: str, values: Sequence[str], reader: Reader) -> Column | None:
    """What the last words of a heading mean, as of `site UPRN` or `laboratory result`, if the contents fit."""
    words = in_full(label, reader.short).split()
    if not values or ANOTHER.search(label) or _is_earlier(label):
        return None
    for start in range(1, len(words)):
        last = " ".join(words[start:])
        fields = [name for name in reader.known.get(last, ()) if reader.contents.share(name, values) >= MOSTLY]
        if fields and len(last) > SHORTEST_LAST:
            best = max(fields, key=lambda name: (reader.contents.share(name, values), -fields.index(name)))
            return Column(label, best, 0.8, f"{BY_LAST}, '{last}', and its contents fit")
    return None


def _without_ties(columns: list[Column]) -> list[Column]:
    """Columns of which several mean one field by their last words alone: which of them does is asked."""
    by_last = [column.field for column in columns if column.reason.startswith(BY_LAST)]
    why = f"{BY_LAST}, and another column's too, so neither is used"
    return [
        replace(column, field=None, confidence=UNUSED, reason=why)
        if column.reason.startswith(BY_LAST) and by_last.count(column.field) > 1
        else column
        for column in columns
    ]


def _is_earlier(heading: str) -> bool:
    return EARLIER.search(heading) is not None


def _is_alike_by_words(one: str, other: str) -> bool:
    """Whether no word was exchanged for another: `state of material` is no misspelt `type of material`."""
    words, others = one.split(), other.split()
    return len(words) != len(others) or all(
        DamerauLevenshtein.normalized_similarity(*pair) >= WORD_ALIKE for pair in zip(words, others, strict=True)
    )


def _chosen(
    label: str, fields: Sequence[str], values: Sequence[str], held: Contents, confidence: float, why: str
) -> Column:
    """The field that a known heading means; its values decide where it can mean several."""
    choice = fields[0]
    is_result = "asbestos_types" in fields and choice == "identification" and held.share_of_result(values) >= MOSTLY
    if len(fields) > 1 and not is_result and held.share(choice, values) < SURE:
        share, best = max(((held.share(name, values), name) for name in fields), key=lambda pair: pair[0])
        if share >= LIKELY:
            choice, why = best, f"{why}; of its meanings the contents fit this one ({share:.0%})"
            confidence = min(confidence, 0.95)
        else:
            confidence, why = min(confidence, 0.7), f"{why}; the first of its meanings, the contents tell nothing"
    other = INSTEAD.get(choice)
    if other and held.share(choice, values) < LIKELY and held.share(other, values) >= SURE:
        choice, why = other, f"the contents are a {other}, whatever the heading says"
        confidence = min(confidence, 0.9)
    if choice == NOT_NEEDED:
        return Column(label, None, confidence, "known, and not needed")
    others = [name for name in (*fields, *ELSE.get(choice, ())) if name not in (choice, NOT_NEEDED)]
    if choice == "identification" and (
        not values or held.share_of_result(values) + held.share("sampled", values) >= MOSTLY
    ):
        others.append(choice)  # results may stand in several columns
    return Column(label, choice, confidence, why, tuple(others))


def _by_contents(column: Column, values: Sequence[str], reader: Reader, taken: set[str]) -> Column:
    """What a column holds by its values alone, if they are sure and no other field fits nearly as well."""
    free = [name for name in BY_CONTENTS.get(reader.kind, ()) if name not in taken or name == "identification"]
    if len(values) < reader.least_fields or not free:
        return column
    ranked = [*reader.contents.best(values, free), (0.0, "")]
    (share, name), (second, other) = ranked[0], ranked[1]
    sure = round(0.9 * share, 2)
    if second >= SURE and (rather := RATHER.get(frozenset((name, other)))):
        name, second = rather, ranked[2][0]
    if share >= SURE and share - second >= APART and sure >= reader.least_sure:
        why = f"its contents are a {name} ({share:.0%})"
        return replace(column, field=name, confidence=sure, reason=why, others=(name,) if name in taken else ())
    if share >= MOSTLY:
        what = name if share - second >= APART else f"{name} or {other}"
        return replace(column, reason=f"the words are not known; it may be {what} ({share:.0%}), so it is not used")
    return column


def _by_sums(read: list[Column], below: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """Four neighbouring columns of scores that add up to a fifth are the material assessment, in its printed order."""
    told = {column.field for column in read if len(column.heading) > 1}
    if reader.kind != "registers" or set(contents.SCORES) & told:
        return read
    width = len(read)
    padded = [[*(cell.strip() for cell in cells[:width]), *[""] * (width - len(cells))] for cells in below]
    found = contents.adding_up([list(column) for column in zip(*padded, strict=True)]) if padded else None
    if found is None:
        return read
    first, total = found
    fields = dict(zip(range(first, first + 4), contents.SCORES, strict=True)) | {total: "material_score"}
    if any(column.field == "damage" and at not in fields for at, column in enumerate(read)):
        return read  # what adds up beside a condition in words may be the priority assessment
    why = "four columns of scores add up to a fifth"
    return [
        replace(column, field=fields[at], confidence=0.8, reason=why, others=(), also=())
        if at in fields
        else replace(column, field=None, confidence=0.0, reason=f"{why} elsewhere")
        if column.field in fields.values()
        else column
        for at, column in enumerate(read)
    ]


def without_repeats(columns: Sequence[Column]) -> list[Column]:
    """A field is read from one column only, the surest, else the first; an address, results and conditions of earlier
    visits may stand in several, and an extent in one for each unit."""
    kept: dict[str, int] = {}
    for index, column in enumerate(columns):
        if column.field and (column.field not in kept or column.confidence > columns[kept[column.field]].confidence):
            kept[column.field] = index
    read: list[Column] = []
    for index, column in enumerate(columns):
        also = tuple(name for name in column.also if name not in kept)
        is_one_of_several = column.field in SEVERAL or (column.field == "extent" and MEASURED.search(column.heading))
        if column.field and not is_one_of_several and kept[column.field] != index:
            several = (*SEVERAL, column.field)
            is_earlier = EARLIER_VISIT in column.reason
            others = sorted(column.others, key=lambda name: is_earlier and name not in BEFORE)
            other = next((name for name in (*also, *others) if name in several or name not in kept), None)
            why = f"another column is read as {column.field} already"
            column = replace(column, field=other, confidence=min(0.7, column.confidence) if other else 0.0, reason=why)
            if other:
                kept.setdefault(other, index)
        column = replace(column, also=tuple(name for name in also if name != column.field))
        kept |= dict.fromkeys(column.also, index)
        read.append(column)
    return read


def in_full(heading: str, short: Mapping[str, str]) -> str:
    """A heading's words without case, marks and what stands in brackets at its end, short ones in full: `Insp'd By` is
    `inspected by`, `Access (0-3)` is `access`."""
    bare = re.sub(r"\([^()]*\)\s*$", "", heading) or heading
    return " ".join(short.get(word, word) for word in plain(re.sub(r"['’`]", "", bare)).split())
