"""Cells that go on with the row above."""

from pipelines.register.continuations import repeated


def test_the_next_number_of_a_street_stands_beside_a_ditto() -> None:
    rows = [(1, ["31 Elm Road", "Hall"]), (2, ["", "Loft"]), (3, ["33 -DO-", "33 -DO-"])]
    assert list(repeated(rows, {0})) == [(3, ["33 Elm Road", "33 -DO-"])]


def test_a_day_left_blank_beside_a_ditto_is_the_one_above() -> None:
    rows = [(1, ["3 Elm Road", "6.3.06", "Hall"]), (2, ["ditto", "", "Loft"]), (3, ["4 Elm Road", "", "Loft"])]
    assert list(repeated(rows, {0})) == [(2, ["3 Elm Road", "6.3.06", "Loft"])]
    assert list(repeated(rows)) == [(2, ["3 Elm Road", "", "Loft"])]


def test_a_number_before_a_ditto_stands_at_the_street_above_and_same_is_what_stands_above() -> None:
    rows = [
        (1, ["1 Elm Road", "Pipe lagging"]),
        (2, ["6A do.", "Bits of same on floor"]),
        (3, ["Flat 3 Elm Court", "Tiles"]),
        (4, ["Flat 7 do.", "Tiles"]),
    ]
    said = dict(repeated(rows, {0}))
    assert said == {2: ["6A Elm Road", "Bits of Pipe lagging on floor"], 4: ["Flat 7 Elm Court", "Tiles"]}


def test_the_same_material_is_named_in_words_and_repeats_nothing() -> None:
    said = "Refers to a sample of same material"
    assert list(repeated([(1, ["Sampled - found"]), (2, [said]), (3, [said])])) == []
