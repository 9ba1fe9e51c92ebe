"""Rooms, layers and picked answers that one cell names together. Words: common practice, no source."""

import pytest

from pipelines.register.terms import parts
from pipelines.register.words import recognise_word

WORST_FIRST = (
    *("insulating_board", "asbestos_cement", "crocidolite", "amosite", "chrysotile"),
    *("high", "poor", "medium", "fair", "low", "good", "unsealed", "sealed"),
)


@pytest.mark.parametrize(
    ("field", "written", "pieces"),
    [
        ("place", "Brick store, rear garden", []),  # the garden is where the store stands
        ("place", "Kitchen, U/S cupboard", ["Kitchen", "U/S cupboard"]),
        ("place", "U/S cupboard, hall", []),  # it stands there
        ("place", "U/S cupboard + hall", ["U/S cupboard", "hall"]),
        ("place", "Back bed + front bed", ["Back bed", "front bed"]),
        ("place", "Bed + bed", []),
        ("place", "Front & rear", []),
        ("product", "F/tiles and bitumen adhesive", ["F/tiles", "bitumen adhesive"]),
        ("product", "Tiles/adhesive", ["Tiles", "adhesive"]),
        ("product", "Tiles or f/tiles; adhesive, glue or the like", ["Tiles or f/tiles", "adhesive, glue or the like"]),
        ("product", "Tiles or adhesive", []),
        ("product", "Tiles (square, with adhesive)", []),
    ],
)
def test_what_one_cell_names_is_parted_at_marks_but_not_within_short_words(
    field: str, written: str, pieces: list[str]
) -> None:
    known = {
        "place": {
            "brick store": "garage",
            "rear garden": "external_wall",
            "kitchen": "kitchen",
            "u s": "under_stairs",
            "hall": "hall_landing",
        }
        | {"bed": "bedroom", "front": "external_wall", "rear": "external_wall"},
        "product": {"f tiles": "floor_tile", "tiles": "floor_tile", "adhesive": "mastic_putty"},
    }
    assert parts(field, written, known[field], {}) == pieces


def test_a_roof_and_a_room_are_two_places(terms: dict[str, dict[str, str]]) -> None:
    assert parts("place", "Roof & tank room", terms["place"], terms["element"]) == ["Roof", "tank room"]
    assert parts("place", "Porch, roof", terms["place"], terms["element"]) == []
    assert parts("place", "Meter cupboard, roof of", terms["place"], terms["element"]) == []


def test_what_is_over_another_room_or_joined_to_one_is_a_place_of_its_own(terms: dict[str, dict[str, str]]) -> None:
    assert recognise_word("place", "Loft over top landing", terms["place"])[0] == "loft"
    assert parts("place", "Riser and bin store", terms["place"], terms["element"]) == ["Riser", "bin store"]


def test_a_layer_may_be_told_more_of_behind_a_comma_and_a_shortened_room_be_one(
    terms: dict[str, dict[str, str]],
) -> None:
    written = "FT, red + bit. adhesive"
    assert parts("product", written, terms["product"], terms["element"]) == ["FT, red", "bit. adhesive"]
    short = {"rm": "room"}
    assert parts("place", "Bed/sitting rm", terms["place"], terms["element"], short) == []
    assert parts("place", "Bed/dining rm", terms["place"], terms["element"], short) == ["Bed", "dining rm"]


def test_a_seal_and_what_it_is_of_are_one_thing(terms: dict[str, dict[str, str]]) -> None:
    assert parts("product", "Rope seal, boiler flue", terms["product"], terms["element"]) == []
    assert len(parts("product", "Floor tiles, boiler flue", terms["product"], terms["element"])) == 2


@pytest.mark.parametrize(
    ("written", "rooms"),
    [
        ("1st and 2nd fl. landings", ["1st fl. landings", "2nd fl. landings"]),
        (
            "Ground, first & 2nd floor corridors",
            ["Ground floor corridors", "first floor corridors", "2nd floor corridors"],
        ),
        ("1st and 2nd floor landing", []),
        ("1st and 2nd floor things", []),
        ("Lounge and dining rm", ["Lounge", "dining rm"]),
        ("Living and dining room", []),
        ("Lounge/dining room", []),
        ("BEDS 1 & 2", ["BEDS 1", "BEDS 2"]),
    ],
)
def test_rooms_of_several_floors_are_several_and_so_are_a_lounge_and_a_dining_room(
    terms: dict[str, dict[str, str]], written: str, rooms: list[str]
) -> None:
    assert parts("place", written, terms["place"], terms["element"]) == rooms
