"""Columns of several visits side by side: which are of the last, and what their headings say without the visit."""

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace

from pipelines.register import layout
from pipelines.register.meanings import EARLIER_VISIT, Column
from pipelines.register.words import plain

YEAR = re.compile(r"\b(?:19|20)\d\d\b")
SHORT_YEAR = re.compile(r"^(.*[A-Za-z].*?)[ '’/]+([0-4]\d|[89]\d)$")
YEAR_ALONE = re.compile(r"^\s*['’‘]?(\d\d)\s*$")
CENTURY = "80"
YEARS_LEAST = 3
"""Below one merged cell: fewer may be anything."""
IN_BRACKETS = re.compile(r"\([^()]*\)")
OF_NOW = re.compile(r"\b(?:now|today(?:'?s)?|this (?:time|visit|year|yr)|current(?:ly)?|latest|present)\b", re.I)
EARLIER_VISITS = re.compile(
    r"\b(?:then|(?:last|previous|prev|prior|earlier)(?: (?:time|visit|year|yr|survey|insp(?:ection)?)(?:'?s)?)?"
    r"|before)\b",
    re.I,
)
YEAR_MARKED = re.compile(r"[(\[]?\b(?:19|20)\d\d\b(?:[/–]\d\d(?:\d\d)?\b)?[)\]]?")
"""A year, or two of one visit: `2008/11`."""
MONTH_MARKED = re.compile(
    r"[(\[]?\b(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?"
    r"|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\.?[\s'’/]+(?:(?:19|20)\d\d|[0-4]\d|[89]\d)\b[)\]]?",
    re.I,
)
"""A month with its year: `State June 25`."""
REINSPECTION = re.compile(
    r"\bre-?(?: ?insp(?:ect(?:ion|ed)?|'?d)?|view(?:ed)?|visit(?:ed)?|check(?:ed)?)\b|\bRI\b", re.I
)
OF_CONDITION = re.compile(r"\b(?:cond(?:ition|'?n)?|dam(?:age)?|deterioration|surf(?:ace)?)\b", re.I)
EARLIER_SURE = 0.7
SHORT_LEAST = 4
"""Letters of a heading in short: fewer may be of anything."""


def rows_in_full_years(rows: Sequence[layout.Numbered]) -> list[layout.Numbered]:
    """Rows of a sheet; where one says no more than years in two figures, in their order, below one merged cell, it says
    them in four: `09 | 12 | '16` below `Condition`."""
    full = list(rows)
    for index in range(1, len(rows)):
        (before, labels), (number, cells) = rows[index - 1], rows[index]
        at = [column for column, cell in enumerate(cells) if cell.strip()]
        short = [year[1] for column in at if (year := YEAR_ALONE.match(cells[column]))]
        years = [_whole(year) for year in short]
        over = [layout.at_or_blank(labels, column).strip() for column in at]
        is_row_of_years = len(years) == len(at) >= YEARS_LEAST and years == sorted(set(years))
        if is_row_of_years and number == before + 1 and at[-1] - at[0] == len(at) - 1 and over[0] and not any(over[1:]):
            said = dict(zip(at, years, strict=True))
            full[index] = (number, [said.get(column, cell) for column, cell in enumerate(cells)])
    return full


def without_visits(block: layout.Block) -> tuple[layout.Block, dict[int, float]]:
    """A heading without what tells the visits apart that its columns are of, and how sure the columns of earlier ones
    are: by years, by their last two figures (`Cond 19`, `Cond 23`), or by words (`Last time`, `Now`)."""
    named = _in_full_years(block)
    bare, earlier = _without_years(named)
    return (bare, earlier) if earlier or named is not block else _without_words(block)


def _in_full_years(block: layout.Block) -> layout.Block:
    """A heading whose years are written in full, where two figures behind the same words tell columns apart, or where
    the same words stand before a whole year: `RI 2019`, `RI 20`."""
    whole = [label for labels in block.labels for label in labels if YEAR.search(label)]
    before_whole = {plain(YEAR_MARKED.sub(" ", label)) for label in whole}
    are_whole = len({year for label in whole for year in YEAR.findall(label)}) > 1
    ends = {label: found for labels in block.labels for label in labels if (found := SHORT_YEAR.match(label))}
    of_words: dict[str, set[str]] = {}
    for found in ends.values():
        of_words.setdefault(plain(found[1]), set()).add(found[2])
    told = {
        label
        for label, found in ends.items()
        if plain(found[1]) in before_whole or (not are_whole and len(of_words[plain(found[1])]) > 1)
    }
    if not told:
        return block

    def in_full(label: str) -> str:
        found = ends[label]
        return f"{found[1]} {_whole(found[2])}"

    return replace(
        block, labels=tuple(tuple(in_full(one) if one in told else one for one in labels) for labels in block.labels)
    )


def _whole(year: str) -> str:
    return f"{19 if year >= CENTURY else 20}{year}"


def _without_words(block: layout.Block) -> tuple[layout.Block, dict[int, float]]:
    """A heading without `last time` and `now`, or `2025` and `now`, where both stand over columns of the same words, or
    where they stand without a visit beside those of now: `Cond`, `Cond now`. What stands once, as beside the last
    group, is of no visit but this one."""
    bare = [without_visit(_of_year_before(next(iter(labels), ""))) for labels in block.labels]
    of_now = {text for labels, text in zip(block.labels, bare, strict=True) if labels and OF_NOW.search(labels[0])}
    before = {
        text
        for labels, text in zip(block.labels, bare, strict=True)
        if labels
        and any(_are_same(text, now) for now in of_now)
        and (_is_earlier(labels[0]) or not OF_NOW.search(labels[0]))
    }
    if not before:
        return block, {}
    of_both = before | {now for now in of_now if any(_are_same(text, now) for text in before)}
    earlier = {
        at: EARLIER_SURE
        for at, (labels, text) in enumerate(zip(block.labels, bare, strict=True))
        if text in of_both and not OF_NOW.search(labels[0])
    }
    labels = tuple(
        tuple(dict.fromkeys([text, *own[1:]])) if own and text else own
        for own, text in zip(block.labels, bare, strict=True)
    )
    return replace(block, labels=labels), earlier


def _are_same(one: str, other: str) -> bool:
    """Whether two headings have the same words, or one is the other in short: `Cond`, `Condition`."""
    shorter, longer = sorted((plain(one), plain(other)), key=len)
    return shorter == longer or (len(shorter) >= SHORT_LEAST and " " not in longer and longer.startswith(shorter))


def _of_year_before(label: str) -> str:
    """A heading whose year, or month and year, stands beside a `now` elsewhere, as if it said `before`."""
    return label if OF_NOW.search(label) else YEAR_MARKED.sub(" before ", MONTH_MARKED.sub(" before ", label))


def _is_earlier(label: str) -> bool:
    return EARLIER_VISITS.search(_of_year_before(label)) is not None and not OF_NOW.search(label)


def without_visit(label: str) -> str:
    """A heading without the words for a visit, and what stands in brackets behind them."""
    if not (OF_NOW.search(label) or EARLIER_VISITS.search(label)):
        return label
    return " ".join(OF_NOW.sub(" ", EARLIER_VISITS.sub(" ", IN_BRACKETS.sub(" ", label))).split()).strip(" :-–—")


def _without_years(block: layout.Block) -> tuple[layout.Block, dict[int, float]]:
    """A heading without the years that tell its columns apart, and how sure the columns are that are not of the last
    of them: the earlier the less."""
    years = [set(map(int, YEAR.findall(" ".join(labels)))) for labels in block.labels]
    named = set().union(*years)
    again, of_survey = _found_again(block, years)
    if len(named) < 2 and not of_survey:
        return block, {}
    age = {year: age for age, year in enumerate(sorted(named, reverse=True))}
    earlier = {at: EARLIER_SURE ** age[max(own)] for at, own in enumerate(years) if own and max(named) not in own}
    earlier |= dict.fromkeys(of_survey, EARLIER_SURE ** len(named))
    bare = tuple(
        tuple(dict.fromkeys(text for label in labels if (text := _without_year(label, is_again=at in again))))
        for at, labels in enumerate(block.labels)
    )
    return replace(block, labels=bare), earlier


def _without_year(label: str, *, is_again: bool = False) -> str:
    """A heading without its year, and without what says that it is of a re-inspection if `is_again`."""
    text = YEAR_MARKED.sub(" ", label)
    return " ".join((REINSPECTION.sub(" ", text) if is_again else text).split())


def _found_again(block: layout.Block, years: Sequence[Collection[int]]) -> tuple[set[int], list[int]]:
    """The columns of the condition that re-inspections of some year found, and those of what the survey had found of it
    before: `Re-insp 2025 Cond` and `Cond`. The rest of a row, as its day, is the survey's."""
    own = [plain(_without_year("".join(labels[1:2] or labels), is_again=True)) for labels in block.labels]
    again = {
        at
        for at, labels in enumerate(block.labels)
        if years[at] and REINSPECTION.search(labels[0]) and OF_CONDITION.search(own[at])
    }
    words = {own[at] for at in again}
    return again, [at for at, said in enumerate(own) if not years[at] and said in words]


def of_visits(read: Iterable[Column], earlier: Mapping[int, float]) -> list[Column]:
    """The columns, those of earlier visits less sure."""
    return [
        replace(column, confidence=column.confidence * earlier[at], reason=f"{column.reason}, at {EARLIER_VISIT}")
        if at in earlier and column.field
        else column
        for at, column in enumerate(read)
    ]
