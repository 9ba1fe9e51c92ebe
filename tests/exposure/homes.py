"""Homes of one tiny portfolio, each for one fact about exposure."""

from collections.abc import Iterator
from pathlib import Path

# Homes of one area: year built, then the rows of their register but for the property. None: never surveyed.
BOARD = {"Material": "AIB", "Location": "Kitchen"}
COATING = {"Material": "Textured coating", "Extent": "12 m2"}
PRESUMED = {"Status": "Presumed", "Asbestos_Type": "", "Sample_Ref": ""}
STRONGLY = {"Status": "Strongly presumed", "Asbestos_Type": "", "Sample_Ref": ""}
CLEAR = {"Status": "NAD", "Asbestos_Type": ""}
CEMENT = {"Material": "Cement flue", "Location": "Airing cupboard"}
HOMES: dict[str, tuple[str, list[dict[str, str]] | None]] = {
    "WHOLE": ("1966", [BOARD | {"Extent": "3 m2"}]),
    "SPLIT": ("1966", [BOARD | {"Extent": "1 m2"}, BOARD | {"Extent": "2 m2"}]),
    "SPLIT BY WORDS": (
        "1966",
        [BOARD | {"Extent": "1 m2"}, BOARD | {"Extent": "2 m2", "Location": "Kitchen, rear"}],
    ),
    "ROOMS": ("1966", [COATING | {"Location": room} for room in ("Bed 1", "Bed 2", "Lounge")]),
    "REWORDED": ("1966", [COATING | {"Location": room} for room in ("Bedroom 1", "BEDROOM-2", "Living room")]),
    "HALVES": (
        "1966",
        [COATING | {"Location": room, "Extent": "6 m2"} for room in ("Bed 1", "Bedroom 1", "Bed 2", "bedroom 2")]
        + [COATING | {"Location": "Lounge"}],
    ),
    "IDENTIFIED": ("1967", [BOARD]),
    "STRONGLY": ("1967", [BOARD | STRONGLY]),
    "PRESUMED": ("1967", [BOARD | PRESUMED]),
    "CLEAR": ("1967", [BOARD | CLEAR]),
    "LATER": ("1992", [BOARD | PRESUMED, CEMENT | PRESUMED]),
    "NO YEAR": ("", [BOARD | PRESUMED]),
    "NEW": ("2004", [BOARD | PRESUMED]),
    "NEW FOUND": ("2004", [BOARD]),
    "DAMAGED": ("1967", [BOARD | {"Condition": "High"}]),
    "REACHED": ("1967", [BOARD | {"Accessibility": "3"}]),
    "OLD UNSEEN": ("1910", None),
    "UNSEEN": ("1968", None),
    "LATE UNSEEN": ("1999", None),
    "NO YEAR UNSEEN": ("", None),
    "NEW UNSEEN": ("2000", None),
}


def databases(built: Path, sample_result: Path) -> Iterator[Path]:
    """The result of these homes and that of the sample."""
    yield built
    yield sample_result
