"""Columns of the scores of the material assessment: by letters, by what their headings score, by what adds up."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from pipelines.register import contents, layout
from pipelines.register.meanings import Column, fields_in
from pipelines.register.reader import Reader
from pipelines.register.words import plain

MOST = 0.9
INITIALS = {
    "P": ("product_type_score",),
    "C": ("damage_score", "damage_before"),
    "S": ("surface_treatment_score", "surface_before"),
    "A": ("asbestos_type_score",),
}
"""Product, condition, surface and asbestos type."""
SCORE_WORDS = re.compile(
    r"\b(?:scor(?:e|es|ed|ing)|points?|pts?|marks?|rating|class|grade|value|factor|algorithm|alg)\b", re.I
)
"""What a heading says beside what is scored: `fibre class`, `Score: finish`."""
SCORED = {
    "product": "product_type_score",
    "damage": "damage_score",
    "surface": "surface_treatment_score",
    "asbestos_types": "asbestos_type_score",
}
"""What is scored, and the score of it."""


def with_type_score(read: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where one of types holds figures beside the other scores of the material assessment: `Type` is then
    the score of the asbestos type."""
    if not set(contents.SCORES[:3]) <= fields_in(read) or contents.SCORES[3] in fields_in(read):
        return read
    why = "its contents are scores, as the columns beside it are"
    return [
        replace(column, field=contents.SCORES[3], confidence=0.9, reason=why, others=(), also=())
        if column.field == "asbestos_types" and held and reader.contents.share("damage_score", held) >= MOST
        else column
        for column, held in zip(read, values, strict=True)
    ]


SEEN = {"D": ("damage_score",), "S": ("surface_treatment_score",)}
IN_ORDER = frozenset("ABC")
"""Letters that count the four scores, `A B C D`."""


def letters_of_scores(block: layout.Block, reader: Reader) -> Mapping[str, Sequence[str]]:
    """What letters mean by which columns of scores are headed together: the initials of what is scored (`P C S A`), or
    of what a surveyor sees, damage and surface (`D S`), where no others letter them in their order."""
    letters = {labels[0].strip().upper() for labels in block.labels if labels}
    if reader.kind != "registers":
        return {}
    if INITIALS.keys() <= letters:
        return INITIALS
    return SEEN if SEEN.keys() <= letters and not IN_ORDER & letters else {}


def by_letter(column: Column, letters: Mapping[str, Sequence[str]]) -> Column:
    """A column of scores by its letter, where it has one."""
    first, *others = letters.get(column.heading.strip().upper(), (None,))
    if first is None:
        return column
    why = "an initial of the material assessment, as the others stand beside it"
    return replace(column, field=first, confidence=0.9, reason=why, others=tuple(others), also=())


def by_headings(read: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where one of scores says what it scores, be it in the words of the heading of another column:
    `Material family` and `Score: material family`."""
    of_headings = {plain(column.heading): column.field for column in read if column.field}
    taken = fields_in(read)
    if reader.kind != "registers":
        return read

    def meant(column: Column, held: Sequence[str]) -> Column:
        scored = plain(SCORE_WORDS.sub(" ", plain(column.heading)))
        if column.field or column.confidence or scored in ("", plain(column.heading)):
            return column
        fields = (of_headings.get(scored), *reader.fields_of(scored))
        name = next((SCORED[one] for one in fields if one in SCORED and SCORED[one] not in taken), None)
        if name is None or reader.contents.share("product_type_score", held) < MOST:
            return column
        return replace(column, field=name, confidence=0.9, reason=f"scores of what the heading names, '{scored}'")

    return [meant(column, held) for column, held in zip(read, values, strict=True)]


def by_sums(read: list[Column], below: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """Four neighbouring columns of scores that add up to a fifth are the material assessment, in its printed order.
    Where headings tell some of them, the others are told by it."""
    if reader.kind != "registers":
        return read
    width = len(read)
    padded = [[*(cell.strip() for cell in cells[:width]), *[""] * (width - len(cells))] for cells in below]
    found = contents.adding_up([list(column) for column in zip(*padded, strict=True)]) if padded else None
    if found is None:
        return read
    first, total = found
    fields = dict(zip(range(first, first + 4), contents.SCORES, strict=True)) | {total: "material_score"}
    told = {column.field: at for at, column in enumerate(read) if len(column.heading) > 1}
    has_told = any(name in told for name in contents.SCORES)
    if any(name in told and fields.get(told[name]) != name for name in contents.SCORES):
        return read
    if any(column.field == "damage" and at not in fields for at, column in enumerate(read)):
        return read  # what adds up beside a condition in words may be the priority assessment
    why = "four columns of scores add up to a fifth"
    return [
        replace(column, field=fields[at], confidence=0.8, reason=why, others=(), also=())
        if at in fields and column.field != fields[at] and not (has_told and column.field)
        else replace(column, field=None, confidence=0.0, reason=f"{why} elsewhere")
        if at not in fields and column.field in fields.values() and not has_told
        else column
        for at, column in enumerate(read)
    ]
