"""Other names of blocks that notes tell. The names are invented."""

import pytest

from pipelines.register.renamed import by_name, pairs_in


@pytest.mark.parametrize(
    ("text", "pair"),
    [
        ("Ash House was Block C until 2019. Same building.", ("Ash House", "Block C")),
        ("Elm Court (formerly Block 3)", ("Elm Court", "Block 3")),
        ("Elm Court, previously known as Tower Two", ("Elm Court", "Tower Two")),
        ("Block C is now Ash House", ("Block C", "Ash House")),
        ("Block C = Ash House", ("Block C", "Ash House")),
        ("NB Block C became Ash House in 2004", ("Block C", "Ash House")),
        ("Ash House is the new name for Block C", ("Ash House", "Block C")),
        ("Block C aka Ash House", ("Block C", "Ash House")),
    ],
)
def test_a_text_tells_two_names_of_one_building(text: str, pair: tuple[str, str]) -> None:
    assert pair in list(pairs_in(text))


@pytest.mark.parametrize(
    "text",
    [
        "Ash House was surveyed with Elm Court",
        "Ash House and Elm Court",
        "Ash House is next to Elm Court",
        "Ash House was done on the same day as Elm Court",
        "Ash House is Council",
        "Key = Kitchen",
    ],
)
def test_other_texts_tell_none(text: str) -> None:
    assert list(pairs_in(text)) == []


def test_a_name_stands_where_nothing_else_is_named_right_before_it() -> None:
    cells = [
        "Flat 3 Block B",
        "Block B",
        "bins at Block B, rear",
        "Block B flat 5",
        "12 Block B",
        "Oak Block B",
        "Block Bee",
    ]
    assert by_name(cells, {"Block B": "Ash House"}) == [
        "Flat 3 Ash House",
        "Ash House",
        "bins at Ash House, rear",
        "Ash House flat 5",
        "12 Ash House",
        "Oak Block B",
        "Block Bee",
    ]
