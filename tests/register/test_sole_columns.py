"""What a column holds where the table has no other for it. The rows are invented."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from pipelines.register.columns import read_columns
from pipelines.register.layout import Block
from pipelines.register.reader import Reader


def fields(headings: Sequence[str], rows: Sequence[Sequence[str]], reader: Reader) -> list[tuple[str | None, ...]]:
    columns = read_columns(Block(1, 1, tuple((one,) for one in headings)), rows, reader)
    return [(column.field, *column.also) for column in columns]


@pytest.mark.parametrize(
    ("items", "read"),
    [
        (["Kitchen: Artex ceiling", "WC: AIB boxing", "Bath: vinyl tiles", "Soffits"], ("product", "room")),
        (["Artex: ceiling", "AIB: boxing", "Vinyl: tiles", "Soffits"], ("product",)),
        (["Kitchen: Artex ceiling", "AIB boxing", "Vinyl tiles", "Soffits"], ("product",)),
    ],
)
def test_rooms_before_most_items_are_their_rooms(items: list[str], read: tuple[str, ...], reader: Reader) -> None:
    assert fields(["Address", "Item"], [["1 Elm Row", item] for item in items], reader)[1] == read


def test_items_beside_a_column_of_rooms_name_none(reader: Reader) -> None:
    rows = [["Kitchen", f"Hall: {item}"] for item in ("Artex ceiling", "vinyl tiles", "AIB panel")]
    assert fields(["Room", "Item"], rows, reader) == [("room",), ("product",)]


@pytest.mark.parametrize(
    ("remarks", "field"),
    [(["No reply", "Tenant refused", "No access"], "visit_outcome"), (["Letter sent"] * 3, "notes")],
)
def test_remarks_of_a_list_of_homes_and_days_tell_that_nobody_came_in(
    remarks: list[str], field: str, reader: Reader
) -> None:
    rows = [["1 Elm Row", "2024-05-01", remark] for remark in remarks]
    assert fields(["Address", "1st call", "Remarks"], rows, reader)[2] == (field,)


def test_a_place_that_is_a_street_names_the_home_beside_a_column_of_rooms(reader: Reader) -> None:
    known = replace(reader, contents=replace(reader.contents, stock={"street": frozenset(("elm row", "oak house"))}))
    rows = [["11 elm", "Hall", "AIB"], ["Oak House fl 9", "WC", "Artex"], ["Elm, garage 2", "Roof", "AC sheet"]]
    assert fields(["Where are you", "Which room", "Material"], rows, known)[0] == ("address",)
    assert fields(["Where are you", "Which room", "Material"], [["Left of door", *row[1:]] for row in rows], known)[
        0
    ] != ("address",)


@pytest.mark.parametrize(("days", "field"), [(["", "", "02/02/25", ""], "sent_on"), (["02/02/25"] * 4, None)])
def test_the_day_of_sending_is_that_of_the_visit_where_this_is_told_if_it_is_another(
    days: list[str], field: str | None, reader: Reader
) -> None:
    rows = [["Mon 3 Feb 25 09:41", "1 Elm Row", day, "AIB"] for day in days]
    assert fields(["Sent", "Address", "Day on site if not today", "Material"], rows, reader)[0] == (field,)


DESCRIPTIONS = (
    "Ceiling finished in Artex, about 18 sq m, emulsioned and undamaged.",
    "Insulating board boxing, 1.5 sq m, painted, a few scratches.",
    "Floor tiles, vinyl, 4 sq m, undamaged and sealed.",
    "Nothing suspicious.",
)


def test_notes_that_describe_materials_say_what_no_other_column_does(reader: Reader) -> None:
    rows = [["Kitchen", said, "amosite"] for said in DESCRIPTIONS]
    read = ("product", "extent", "damage", "surface", "notes")
    assert fields(["Room", "Observations", "Result"], rows, reader)[1] == read
    beside = [[*row, "AIB"] for row in rows]
    assert fields(["Room", "Observations", "Result", "Material"], beside, reader)[1] == ("notes",)
    few = [["Kitchen", said, "amosite"] for said in ("Tenant in", "Artex ceiling, see plan", "Dog", "No lights")]
    assert fields(["Room", "Observations", "Result"], few, reader)[1] == ("notes",)
