"""Columns of codes in sheets of several tables, and codes of streets and blocks. The texts are invented."""

from pipelines.register.coded_columns import meant, parted
from pipelines.register.key import Key
from pipelines.register.legends import as_known

HEADINGS = (["Room", "Item", "Damage"], ["Prop", "Code", "Place"])
ROWS = [
    (1, HEADINGS[0]),
    (2, ["Hall", "Tiles", "G"]),
    (3, ["Loft", "Flue", "S"]),
    (4, ["Shed", "Roof", "S"]),
    (5, ["Barn", "Roof", "G"]),
    (7, HEADINGS[1]),
    (8, ["EC 1", "CH", "Hall"]),
    (9, ['"', "AM", "Loft"]),
    (10, ["EC 4", "CH", "Porch"]),
    (11, ["EC communal", "CH", "Store"]),
]
PLACES = Key("", {"EC": "Elm Court", "HL": "Hill Lane"})


def is_heading(cells: list[str]) -> bool:
    return cells in HEADINGS


def test_a_column_is_decoded_by_the_rows_of_its_own_table() -> None:
    keys = [Key("Lab", {"CH": "chrysotile", "AM": "amosite"}), Key("letters for damage", {"G": "good", "S": "slight"})]
    read = dict(meant(ROWS, [*keys, as_known(PLACES, {})], lambda cells: is_heading(list(cells))))
    assert [read[number][2] for number in (2, 3, 4, 5)] == ["good", "slight", "slight", "good"]
    assert [read[number][:2] for number in (8, 9, 10, 11)] == [
        ["1 Elm Court", "chrysotile"],
        ['"', "amosite"],
        ["4 Elm Court", "chrysotile"],
        ["Elm Court communal", "chrysotile"],
    ]
    # as one table, no column is nearly all codes of one key
    # as one table, no column is nearly all codes of a key without a name
    assert not dict(meant(ROWS, [Key("", keys[1].meanings)]))


def test_few_homes_by_the_code_of_their_street_are_read_among_others() -> None:
    homes = ["Prop", "EC 1", "7 Mill Row", "9 Mill Row", "2a HL", "EC flat 4", "EC - communal stairs"]
    assert dict(meant([(nth, [home]) for nth, home in enumerate(homes)], [as_known(PLACES, {})])) == {
        1: ["1 Elm Court"],
        4: ["2a Hill Lane"],
        5: ["flat 4 Elm Court"],
        6: ["Elm Court communal stairs"],
    }


def test_headings_alike_are_of_one_table_and_what_stands_above_the_first_is_of_its_own() -> None:
    rows = [(1, ["Title"]), (2, ["A", "B", "C"]), (3, ["x", "y", "z"]), (5, ["A", "B", "C"]), (6, ["x", "y", "z"])]
    assert parted(rows, lambda cells: cells == ["A", "B", "C"]) == [rows]
    assert [len(part) for part in parted(ROWS, lambda cells: is_heading(list(cells)))] == [5, 5]
    assert parted(rows, lambda cells: False) == [rows]


def test_codes_of_streets_number_no_samples_and_other_codes_no_homes() -> None:
    rows = [(1, ["Sample"]), *((number, [f"EC {number}"]) for number in range(2, 6))]
    assert not dict(meant(rows, [as_known(PLACES, {})]))
    assert dict(meant([(1, ["Home"]), *rows[1:]], [as_known(PLACES, {})]))[2] == ["2 Elm Court"]
    rooms = as_known(Key("", {"LR": "Living Room"}), {"place": {"living room": "living_room"}})
    assert not rooms.is_of_places
    assert rooms.decode("LR 2") == "Living Room 2"


def test_streets_may_have_a_word_of_registers_in_their_names_and_stairs_are_of_a_block() -> None:
    words = {"element": {"hopper": "hopper", "hoppers": "hopper"}}
    key = as_known(Key("", {"PG": "Priory Gate", "OC": "Osyth Court", "HR": "Hoppers Rise"}), words)
    assert key.is_of_places
    assert [key.decode(text) for text in ("12 HR", "Flat 1 OC", "PG stairs")] == [
        "12 Hoppers Rise",
        "Flat 1 Osyth Court",
        "Priory Gate stairs",
    ]
    assert not as_known(Key("", {"BH": "Old Hopper", "RH": "Roof Hopper"}), words).is_of_places
