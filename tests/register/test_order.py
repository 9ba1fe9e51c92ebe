"""Cells whose pieces are the same things one after the other. The texts are invented."""

import pytest

from pipelines.register.key import Key
from pipelines.register.order import order_said, read_in_order
from pipelines.register.reader import Reader

SAID = Key("", order=("material", "fibre", "amount in m2", "damage 0-3", "surface 0-3"))
CODES = {
    "IB": "insulating board",
    "Br": "brown",
    "W": "white",
    "-": "none detected",
    "?": "not sampled",
    "Z": "who knows",
}


def decoded(piece: str) -> str:
    return CODES.get(piece, piece)


def test_the_words_of_an_order_are_headings(reader: Reader) -> None:
    order = order_said([Key("Type", {"C": "chrysotile"}), SAID], reader.fields_of)
    assert [name for name, _ in order] == ["product", "asbestos_types", "extent", "damage", "surface"]
    assert dict(order)["extent"] == "m2"
    assert order_said([Key("", order=("material", "weather", "amount"))], reader.fields_of) == ()
    assert order_said([Key("", order=("room", "damage", "amount"))], reader.fields_of) == ()


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("IB / Br / 2.2 / 1 / 0", ["insulating board", "asbestos_types", "brown", "2.2 m2", "1", "0"]),
        ("IB/Br+W/3 m/1/0", ["insulating board", "asbestos_types", "brown + white", "3 m", "1", "0"]),
        ("IB / - / 16", ["insulating board", "identification", "none detected", "16 m2"]),
        ("IB / ? / 1 no / 0 / 0", ["insulating board", "identification", "not sampled", "1 no", "0", "0"]),
        ("IB / Z / 4", ["insulating board", "identification", "who knows", "4 m2"]),
    ],
)
def test_pieces_are_what_stands_in_their_place(
    cell: str, said: list[str], reader: Reader, terms: dict[str, dict[str, str]]
) -> None:
    product, result, of, extent, *scores = said
    wanted = {"product": product, result: of, "extent": extent}
    wanted |= dict(zip(("damage", "surface"), scores, strict=False))
    assert read_in_order(cell, order_said([SAID], reader.fields_of), decoded, terms) == wanted


@pytest.mark.parametrize("cell", ["IB", "x", "IB / good / Br", "see / above / 2", "IB / Br / 2 / 7 / 1", "a/b/c/d/e/f"])
def test_cells_that_say_other_things_are_left(cell: str, reader: Reader, terms: dict[str, dict[str, str]]) -> None:
    assert read_in_order(cell, order_said([SAID], reader.fields_of), decoded, terms) == {}
