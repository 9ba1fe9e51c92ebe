"""Places in the words of surveyors, by what they are made of: outside, below something, on a floor, off another."""

import re
from collections.abc import Callable

WITHIN_FLOORS = ("riser", "meter_cupboard", "airing_cupboard", "under_stairs", "bin_store", "plant_room", "garage")
"""Rooms that stand on landings."""
ON_FLOOR = re.compile(
    r"^(?:\d+(?:st|nd|rd|th)|gr?o?u?n?d|first|second|third|fourth|top|lower|upper|basement)\b|^(?:roof|walls?)$", re.I
)
STOREY = r"(?:\d+(?:st|nd|rd|th)|gr?o?u?n?d|first|second|third|fourth|fifth|top|lower|upper)"
ON_LANDING = re.compile(
    rf"\s+(?:(?:on|at) (?:the )?{STOREY} (?:(?:floor|flr|fl) )?|{STOREY} (?:floor|flr|fl) )"
    r"(?:landing|lobby|corridor)(?=,|$)",
    re.I,
)
"""The landing that a room stands on: `Riser 1st floor landing`, `Duct on 1st landing, pipes`."""
CUPBOARDS = ("riser", "meter_cupboard", "airing_cupboard", "under_stairs")
SIDE_OF = re.compile(
    r"^(?P<head>.+?),?\s+(?:inside )?(?:roof|top|back|rear|front|sides?|underside|lid|ceiling|floor|walls?|lining) of$"
    r"|^(?:inside )?(?:roof|top|back|rear|front|sides?|underside|lid|lining) of (?:the )?(?P<tail>.+)$",
    re.I,
)
"""A side of a cupboard, which is no place of its own: `Meter cupboard, roof of`."""
OF_COMMON_PARTS = re.compile(r"^(?:communal|comm|common(?: parts)?|landlord'?s?)\s*[-–:]\s*(?=\w)", re.I)
BELOW = (
    (
        re.compile(r"\b(?:below|beneath|under(?:neath)?)\W+(?:the )?(?:main )?(?:stairs?\b|staircase|stairway)", re.I),
        "under_stairs",
    ),
    (re.compile(r"^(?:void|space|crawl space)\W+(?:below|beneath|under(?:neath)?)\b.*\bfloor", re.I), "floor_void"),
    (
        re.compile(
            r"\b(?:cupboard|cpd|cupd)\W+(?:with|for|housing|holding)\W+(?:the )?(?:fuse|meter|consumer unit|electric)",
            re.I,
        ),
        "meter_cupboard",
    ),
    (re.compile(r"\b[01](?:\.\d+)? ?m (?:above|from|off) (?:the )?ground\b", re.I), "external_low"),
)
"""Places that are said by what they are below or hold, or by how high they are."""
OUTSIDE = re.compile(
    r"^(?:ext(?:ernal(?:ly)?)?|outside)\b\.?\s*(?:(?:to )?(?:the )?(?:front|rear|back|side)\b\s*)?[-–:,]\s*(?=\w)", re.I
)
ELEVATION = re.compile(
    r"^(?:(?:front|rear|back|side|gable|left|right|north|south|east|west|main) )*elevation\W+(?=\w)", re.I
)
"""A side of a house before what is there: `Front elevation, soffit`."""
ROOMS = frozenset(("living_room", "bedroom", "kitchen", "bathroom", "wc", "hall_landing"))
"""Behind which an outside wall stands: `Ext. - panel under lounge window`."""
FLOORS = re.compile(
    r"\b(?:l?gf|ground|\d+f|\d+(?:st|nd|rd|th))\s*(?:[-–]|to)\s*(?:\d+f|\d+(?:st|nd|rd|th)|top)\b(?: floors?)?", re.I
)
"""From which floor to which: `Stairs GF-3F soffits`."""
DUCT_SEEN_FROM = re.compile(
    r"^(.*?\w)\s+[-–—:]\s+(?:\w+ )?(?:duct|riser|void)s?(?: access)? (?:panel|pnl|boxing|casing)s?$", re.I
)
"""What closes a duct and is in the room from which it is seen: `Hall - service duct panel`."""
PlaceOf = Callable[[str], tuple[str | None, str]]
"""The place that words mean, and how that is known."""


def without_floor(room: str) -> str:
    """A room without what says on which floor it is: `Riser cupboard, 1st floor landing`."""
    head, _, tail = room.partition(",")
    return head if ON_FLOOR.match(tail.strip()) else ON_LANDING.sub("", room)


def place_by_rule(written: str, plainly: str, place_of: PlaceOf) -> tuple[str | None, str] | None:
    """A place that is said by where it is; `plainly` is the text without case and marks."""
    if term := next((term for said, term in BELOW if said.search(written)), None):
        return term, "within"
    if OF_COMMON_PARTS.match(written):
        return place_of(OF_COMMON_PARTS.sub("", written))
    if side := SIDE_OF.match(written):
        term = place_of(side["head"] or side["tail"])[0]
        return (term, "within") if term in CUPBOARDS else None
    if OUTSIDE.match(written):
        room = place_of(OUTSIDE.sub("", written))[0]
        return ("external_wall", "several") if room in ROOMS else None
    if (part := ELEVATION.sub("", written)) != written:
        term = place_of(part)[0]
        return (term, "within") if term and term not in ROOMS else None
    if (head := without_floor(written)) != written:
        term = place_of(head)[0]
        return (term, "within") if term in WITHIN_FLOORS else None
    if (bare := " ".join(FLOORS.sub(" ", written).split())) != written:
        return place_of(bare)
    seen_from = DUCT_SEEN_FROM.match(written)
    if seen_from and (room := place_of(seen_from[1])[0]) in ROOMS:
        return room, "within"
    term = _off_another(plainly, place_of)
    return (term, "within") if term else None


def _off_another(plainly: str, place_of: PlaceOf) -> str | None:
    """The room that another leads to, or is below: `Riser off lobby` is a riser, `Loft over top landing` a loft."""
    head, *others = re.split(r" (?:off|over|above) ", plainly, maxsplit=1)
    return place_of(head)[0] if others else None
