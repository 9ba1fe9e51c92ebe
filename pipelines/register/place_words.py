"""How places are said by where they are: outside, on a floor, below another, seen from a room."""

import re

ON_FLOOR = re.compile(
    r"^(?:\d+(?:st|nd|rd|th)|gr?o?u?n?d|first|second|third|fourth|top|lower|upper|basement)\b|^(?:roof|walls?)$", re.I
)
ON_LANDING = re.compile(
    r"\s+(?:\d+(?:st|nd|rd|th)|gr?o?u?n?d|first|second|third|fourth|fifth|top|lower|upper) (?:floor|flr|fl) "
    r"(?:landing|lobby|corridor)$",
    re.I,
)
"""The landing that a room stands on: `Riser 1st floor landing`."""
OF_COMMON_PARTS = re.compile(r"^(?:communal|comm|common(?: parts)?|landlord'?s?)\s*[-–:]\s*(?=\w)", re.I)
BELOW = (
    (
        re.compile(r"\b(?:below|beneath|under(?:neath)?)\W+(?:the )?(?:main )?(?:stairs?\b|staircase|stairway)", re.I),
        "under_stairs",
    ),
    (re.compile(r"^(?:void|space|crawl space)\W+(?:below|beneath|under(?:neath)?)\b.*\bfloor", re.I), "floor_void"),
    (re.compile(r"\b[01](?:\.\d+)? ?m (?:above|from|off) (?:the )?ground\b", re.I), "external_low"),
)
"""Places that are said by what they are below, or by how high they are."""
OUTSIDE = re.compile(
    r"^(?:ext(?:ernal(?:ly)?)?|outside)\b\.?\s*(?:(?:to )?(?:the )?(?:front|rear|back|side)\b\s*)?[-–:,]\s*(?=\w)", re.I
)
ELEVATION = re.compile(
    r"^(?:(?:front|rear|back|side|gable|left|right|north|south|east|west|main) )*elevation\W+(?=\w)", re.I
)
"""A side of a house before what is there: `Front elevation, soffit`."""
FLOORS = re.compile(
    r"\b(?:l?gf|ground|\d+f|\d+(?:st|nd|rd|th))\s*(?:[-–]|to)\s*(?:\d+f|\d+(?:st|nd|rd|th)|top)\b(?: floors?)?", re.I
)
"""From which floor to which: `Stairs GF-3F soffits`."""
DUCT_SEEN_FROM = re.compile(
    r"^(.*?\w)\s+[-–—:]\s+(?:\w+ )?(?:duct|riser|void)s?(?: access)? (?:panel|pnl|boxing|casing)s?$", re.I
)
"""What closes a duct and is in the room from which it is seen: `Hall - service duct panel`."""


def without_floor(room: str) -> str:
    """A room without what says on which floor it is: `Riser cupboard, 1st floor landing`."""
    head, _, tail = room.partition(",")
    return head if ON_FLOOR.match(tail.strip()) else ON_LANDING.sub("", room)
