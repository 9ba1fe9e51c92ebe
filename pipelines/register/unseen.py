"""Places that nobody saw, listed one below another under a title of their own: `Areas not accessed`."""

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise

from pipelines.register.home_lines import VISIT, Sheet
from pipelines.register.layout import PROPERTY, RESULTS, VALUE
from pipelines.register.words import recognise_word

OF_PLACES = r"(?:areas?|rooms?|places?|locations?|spaces?|voids?|parts?)"
TITLE = re.compile(
    rf"^\W*(?:(?:list of |schedule of )?{OF_PLACES}\b(?:[ /&]+\w+){{0,3}}? )?(?:to which (?:there was )?)?"
    r"(?:not (?:accessed|accessible|inspected|entered|seen|surveyed)|no access(?: (?:was )?(?:gained|obtained))?"
    rf"|inaccessible|un-?accessed)\b(?: {OF_PLACES})?\W*$",
    re.I,
)
NOWHERE = re.compile(
    r"^\W*(?:(?:none|nil|nowhere|n/?a)\b.*|(?:full|all) access\b.*|all\b.*\b(?:accessed|seen|above))\W*$", re.I
)
CELLS_MOST = 3
"""A place, why nobody saw it, and one more."""
UNSEEN = "Not accessed"
TITLED, HEADING, NONE, PLACE = "title", "heading", "none", "place"
Row = tuple[int, bool, Sequence[str]]
Said = Mapping[int, str]


def lists_of_unseen(rows: Sequence[Row], places: Mapping[str, str]) -> dict[int, str]:
    """What the rows of such lists are, by their numbers: the title, a heading (`No. | Area | Reason`), that there is no
    such place, or a place. A list goes on as long as rows stand right below each other and each names a place.

    rows: number, whether a table begins there, and cells, in their order.
    """
    found: dict[int, str] = {}
    open_list: dict[int, str] = {}
    for (before, _, _), (number, is_heading, cells) in pairwise([(0, False, [""]), *rows]):
        texts = [cell.strip() for cell in cells if cell.strip() and not VALUE.match(cell.strip())]
        kind = None if is_heading else _kind(texts, open_list, places, is_next=number == before + 1)
        if kind is None:
            open_list = {}
        elif kind == TITLED:
            open_list = {number: kind}
        else:
            open_list[number] = kind
            found |= open_list if kind in (NONE, PLACE) else {}
    return found


def _kind(texts: Sequence[str], above: Said, places: Mapping[str, str], *, is_next: bool) -> str | None:
    if len(texts) == 1 and TITLE.match(texts[0]):
        return TITLED
    if not above or not is_next or not 0 < len(texts) <= CELLS_MOST:
        return None
    if NOWHERE.match(texts[0]):
        return NONE
    if recognise_word("place", texts[0], places)[0]:
        return PLACE
    return HEADING if len(texts) > 1 and list(above.values()) == [TITLED] else None


def home_again(sheet: Sheet) -> Mapping[str, str]:
    """The home of the sheet or of the line above, and its visit, which hold below the title, too, whatever totals or
    keys stand between."""
    if not sheet.home:
        return sheet.said
    return {name: value for name, value in sheet.said.items() if name in VISIT} | {**sheet.visit, **sheet.home}


def as_item(cells: Sequence[str], fields: Sequence[str | None]) -> list[str]:
    """A place of such a list as a row of the table above it: the room, that it was not accessed, and why."""
    place, *reasons = [cell.strip() for cell in cells if cell.strip() and not VALUE.match(cell.strip())]
    row = [""] * max(len(cells), len(fields))
    row[fields.index("room")] = place
    row[next(fields.index(name) for name in (*RESULTS, "product") if name in fields)] = UNSEEN
    if reasons and "notes" in fields:
        row[fields.index("notes")] = "; ".join(reasons)
    return row


def may_list(fields: Sequence[str | None]) -> bool:
    """Whether a table has columns for such a place, and no home of its own in each row."""
    return (
        "room" in fields
        and any(name in fields for name in (*RESULTS, "product"))
        and set(PROPERTY[:3]).isdisjoint(fields)
    )
