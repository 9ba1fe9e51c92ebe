"""Cells whose pieces are always the same things one after the other, as a key tells of them: `material / type / amount
in m2 / damage 0-3 / surface 0-3`, so that `AIB / Br / 2.2 / 1 / 1` needs no words that say which figure is which."""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence

from pipelines.register.key import FEWEST_CODES, Key
from pipelines.register.words import recognise_word

Order = Sequence[tuple[str, str]]
"""Fields in their order, each with its unit if a bare figure has one."""
FIELDS = {
    "product": "product",
    "identification": "identification",
    "asbestos_types": "asbestos_types",
    "extent": "extent",
    "damage": "damage",
    "damage_score": "damage",
    "surface": "surface",
    "surface_treatment_score": "surface",
    "room": "room",
    "sample_ref": "sample_ref",
}
"""What a piece may be, by the field of a heading of the same words."""
RESULTS = ("identification", "asbestos_types")
NO_TYPES = ("none", "unknown")
SCORES = ("damage", "surface")
VOCABULARIES = {"asbestos_types": "asbestos_type", "room": "place"}
RANGE = re.compile(r"\s*[(\[]?\b\d\s*(?:-|–|to)\s*\d\b[)\]]?\s*$", re.I)
IN_UNIT = re.compile(r"\s+(?:\(?in\s+|\()(m2|m²|sq\.? ?m|sqm|square metres|lm|m|metres|no\.?|nr)\)?\s*$", re.I)
FIGURE = re.compile(r"^(?:c\.?|about|approx\.?|~)?\s*\d+(?:[.,]\d+)?$", re.I)
AMOUNT = re.compile(r"^\D{0,8}\d")
SCORE = re.compile(r"^[0-3]$")
STROKE = re.compile(r"\s*/\s*")
TOGETHER = re.compile(r"\s*[+&]\s*")


def order_said(keys: Iterable[Key], fields_of: Callable[[str], Sequence[str]]) -> Order:
    """The first order of which a key tells all the words, those of a material and a result among them."""
    for key in keys:
        read = [_piece(said, fields_of) for said in key.order]
        found = [one for one in read if one]
        names = [name for name, _ in found]
        if len(found) == len(read) >= FEWEST_CODES and len(set(names)) == len(names) and "product" in names:
            return found
    return ()


def _piece(said: str, fields_of: Callable[[str], Sequence[str]]) -> tuple[str, str] | None:
    """The field that a piece is of, and the unit of its figures."""
    unit = IN_UNIT.search(said)
    bare = RANGE.sub("", said[: unit.start()] if unit else said)
    name = next((FIELDS[one] for one in fields_of(bare) if one in FIELDS), None)
    return (name, unit[1] if unit else "") if name else None


def read_in_order(
    cell: str, order: Order, decoded: Callable[[str], str], terms: Mapping[str, Mapping[str, str]]
) -> dict[str, str]:
    """What a cell says by field, if each of its pieces can be what stands in its place; the last may be left out."""
    pieces = STROKE.split(cell.strip())
    if not 1 < len(pieces) <= len(order):
        return {}
    said: dict[str, str] = {}
    for (name, unit), piece in zip(order, pieces, strict=False):
        read = _of_results(name, piece, decoded, terms) if name in RESULTS else _of(name, unit, piece, decoded, terms)
        if read is None:
            return {}
        said |= read
    return said


def _of_results(
    name: str, piece: str, decoded: Callable[[str], str], terms: Mapping[str, Mapping[str, str]]
) -> dict[str, str] | None:
    """The types, or the result, that a piece is: several types have a mark between them, `Br+W`."""
    codes = [decoded(code) for code in TOGETHER.split(piece)]
    for field in (name, *(one for one in RESULTS if one != name)):
        vocabulary = VOCABULARIES.get(field, field)
        said = {recognise_word(vocabulary, code, terms.get(vocabulary, {}))[0] for code in codes}
        if said.isdisjoint((None, *NO_TYPES)):
            return {field: " + ".join(codes)}
    if any(code != written for code, written in zip(codes, TOGETHER.split(piece), strict=True)):
        return {"identification": " + ".join(codes)}  # a code of which nobody knows what it stands for
    return None if piece else {}


def _of(
    name: str, unit: str, piece: str, decoded: Callable[[str], str], terms: Mapping[str, Mapping[str, str]]
) -> dict[str, str] | None:
    """What a piece says of any other field; None if it can be no such thing."""
    meaning = decoded(piece)
    if not piece or name == "sample_ref":
        return {name: piece} if piece else {}
    if name == "extent":
        amount = f"{piece} {unit}".strip() if FIGURE.match(piece) else piece
        return {name: amount} if AMOUNT.match(piece) else None
    if name in SCORES and SCORE.match(piece):
        return {name: piece}
    known = terms.get(VOCABULARIES.get(name, name), {})
    return {name: meaning} if recognise_word(VOCABULARIES.get(name, name), meaning, known)[0] else None
