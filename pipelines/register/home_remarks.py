"""Lines of two cells that name a home and, beside it, the day of the visit or a remark, above the items found there."""

from collections.abc import Sequence

from pipelines.register.home_lines import ADDRESS_BEGINS, FLAT, VISIT, Sheet
from pipelines.register.layout import PROPERTY
from pipelines.register.visit_lines import day_beside
from pipelines.register.words import recognise_word


def home_and_remark(sheet: Sheet, texts: Sequence[str]) -> dict[str, str]:
    """What a line of two cells says whose first is a home and whose second the day of the visit or a remark, in a table
    whose columns name no homes: `8 Elm Lane | 2.6.09`, `Elm Cottage | tenant out`."""
    if len(texts) != 2 or not set(sheet.fields).isdisjoint(PROPERTY):
        return {}
    name, beside = texts
    home, day = sheet.names(name) or {}, day_beside(beside)
    if "address" not in home or not (_is_home(sheet, name, day is not None) and (day or _is_remark(sheet, beside))):
        return {}
    sheet.home, sheet.visit = home, {"surveyed_on": day} if day else {}
    of_all = () if sheet.is_visit_of_home else VISIT
    return {name: value for name, value in sheet.said.items() if name in of_all} | dict(sheet.visit) | home


def _is_home(sheet: Sheet, name: str, is_dated: bool) -> bool:
    """Whether a text is a home that the stock list knows, or a number at a street of which it knows the first word;
    beside a day also a flat of the block above."""
    known = sheet.reader.contents
    if sheet.is_in_stock(name) or sheet.is_home_of_street(name) or (is_dated and FLAT.match(name)):
        return True
    is_at_street = ADDRESS_BEGINS.match(name) is not None and bool(known.stock.get("street"))
    is_place = recognise_word("place", name, known.terms.get("place", {}))[0] is not None
    return is_at_street and known.knows_streets([name]) and (is_dated or not is_place)


def _is_remark(sheet: Sheet, text: str) -> bool:
    """Whether a text beside a home names no material and is no room, which would make the line an item."""
    terms = sheet.reader.contents.terms
    is_room = recognise_word("place", text, terms.get("place", {}))[1] == "known"
    return not is_room and recognise_word("product", text, terms.get("product", {}))[0] is None
