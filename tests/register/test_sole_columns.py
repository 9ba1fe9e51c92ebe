"""What a column holds where the table has no other for it. The rows are invented."""

from collections.abc import Sequence

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
