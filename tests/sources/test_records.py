"""JSON and Parquet: column names are row 0, records are numbered from 1, nested values are JSON text."""

import json
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pyarrow as pa
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pyarrow import parquet

from pipelines.sources import UnreadableError
from tests.sources.reading import of, rows, told

EACH = settings(max_examples=60, deadline=None, derandomize=True, database=None)
texts = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=6)
names = st.lists(st.text("abcdef", min_size=1, max_size=4), min_size=2, max_size=5, unique=True)
RECORDS = [{"ref": "H1", "room": "Hall"}, {"ref": "H2", "extent": 2.5}]
ROWS = [(0, ["ref", "room", "extent"]), (1, ["H1", "Hall"]), (2, ["H2", "", "2.5"])]


@EACH
@given(names, st.data(), st.sampled_from(["lines", "array", "enclosed", "parquet"]))
def test_any_table_comes_back(columns: list[str], data: st.DataObject, form: str) -> None:
    rows_of = st.lists(texts, min_size=len(columns), max_size=len(columns))
    table = data.draw(st.lists(rows_of, min_size=1, max_size=8))
    records = [dict(zip(columns, cells, strict=True)) for cells in table]
    with TemporaryDirectory() as folder:
        file = Path(folder, f"register.{'parquet' if form == 'parquet' else 'json'}")
        if form == "parquet":
            parquet.write_table(pa.Table.from_pylist(records), file)
        elif form == "array":
            file.write_text(json.dumps(records, indent=1), "utf-8")
        elif form == "enclosed":
            file.write_text(json.dumps({"exported_at": "2026-10-01", "records": records}), "utf-8")
        else:
            file.write_text("\n".join(json.dumps(record, ensure_ascii=False) for record in records), "utf-8")
        found = rows(file)
    assert found == [(0, columns), *told(table)]


@pytest.mark.parametrize("name", ["register.json", "register.jsonl", "register.ndjson", "register.csv", "register.txt"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le"])
def test_records_with_different_names_share_a_heading(name: str, encoding: str, tmp_path: Path) -> None:
    lines = "\n\n".join(map(json.dumps, RECORDS)).encode(encoding)
    assert of(lines, name, tmp_path) == ROWS
    assert of(json.dumps(RECORDS, indent=2).encode(encoding), name, tmp_path) == ROWS


def test_values_are_text(tmp_path: Path) -> None:
    record = {
        "n": 100023000000,
        "half": 0.5,
        "yes": True,
        "rooms": ["Hall", {"floor": 1}],
        "cut": "\ud800x",
        "nul": "a\0",
        "é": "½",
    }
    (_, heading), (_, cells) = of(json.dumps(record), "register.json", tmp_path)
    assert heading == list(record)
    assert cells == ["100023000000", "0.5", "TRUE", '["Hall", {"floor": 1}]', "\ufffdx", "a\ufffd", "½"]


def test_a_record_within_a_record_is_fields_by_both_names_and_null_is_no_field(tmp_path: Path) -> None:
    lines = [
        {"room": "Hall", "sample": None, "extent": {"value": 2, "unit": "m2"}, "fibres": ["amosite", "chrysotile"]},
        {"room": "Loft", "sample": {"bag": "S1"}, "extent": {"value": 3, "at": {"x": 1, "deeper": {"y": 2}}}},
    ]
    heading, *rows = of("\n".join(map(json.dumps, lines)), "register.json", tmp_path)
    assert heading == (
        0,
        [
            "room", "extent.value", "extent.unit", "fibres",
            "sample.bag", "extent.at.x", "extent.at.deeper",
        ],
    )  # fmt: skip
    assert rows[0] == (1, ["Hall", "2", "m2", "amosite, chrysotile"])
    assert rows[1] == (2, ["Loft", "3", "", "", "S1", "1", '{"y": 2}'])


def test_records_that_a_record_holds_say_what_stands_beside_them_too(tmp_path: Path) -> None:
    visits = [
        {
            "property": {"ref": "P1", "address": {"street": "1 Elm Road", "postcode": "ZZ1 1AA"}},
            "surveyed": "2024-05-01",
            "items": [{"room": "Hall", "material": "AIB"}, {"room": "Loft", "material": "Felt"}],
        },
        {"surveyed": "2024-05-02", "items": [], "property": {"ref": "P2"}},
        {"property": {"ref": "P3"}, "items": [{"room": "Bath", "surveyed": "2024-05-04"}], "surveyed": "2024-05-03"},
    ]
    outer = ["property.ref", "property.address.street", "property.address.postcode", "surveyed"]
    rows = [
        (1, ["Hall", "AIB", "P1", "1 Elm Road", "ZZ1 1AA", "2024-05-01"]),
        (2, ["Loft", "Felt", "P1", "1 Elm Road", "ZZ1 1AA", "2024-05-01"]),
        (3, ["", "", "P2", "", "", "2024-05-02"]),
        (4, ["Bath", "", "P3", "", "", "2024-05-03", "2024-05-04"]),
    ]
    for content in (json.dumps(visits), "\n".join(map(json.dumps, visits)), json.dumps({"visits": visits, "total": 3})):
        heading, *found = of(content, "register.json", tmp_path)
        assert heading == (0, ["room", "material", *outer, "item.surveyed"])
        assert found == rows


def test_an_object_around_a_file_says_what_it_says_for_all_its_records_but_for_what_is_of_the_file(
    tmp_path: Path,
) -> None:
    export = {"exported_at": "2026-01-01", "count": 2, "property_ref": "H1", "records": RECORDS}
    assert of(json.dumps(export), "register.json", tmp_path) == [
        (0, ["ref", "room", "property_ref", "extent"]),
        (1, ["H1", "Hall", "H1"]),
        (2, ["H2", "", "H1", "2.5"]),
    ]


def test_a_record_with_more_to_say_than_what_it_holds_is_one(tmp_path: Path) -> None:
    item = {"ref": "H1", "room": "Hall", "material": "AIB", "photos": [{"file": "a.jpg"}, {"file": "b.jpg"}]}
    _, *found = of(json.dumps([item]), "register.json", tmp_path)
    assert found == [(1, ["H1", "Hall", "AIB", '[{"file": "a.jpg"}, {"file": "b.jpg"}]'])]


def test_a_delimited_text_named_json_is_read_as_what_it_is(tmp_path: Path) -> None:
    assert of("Ref,Room\nH1,Hall\n", "register.json", tmp_path) == [(1, ["Ref", "Room"]), (2, ["H1", "Hall"])]


def test_parquet_values_are_text(tmp_path: Path) -> None:
    columns: dict[str, list[Any]] = {
        "n": [1, None],
        "x": [0.1 + 0.2, 2.0],
        "on": [date(2026, 10, 1), None],
        "at": [datetime(2026, 10, 1, 10, 30), datetime(2026, 10, 1)],
        "sum": [Decimal("1.50"), None],
        "rooms": [["Hall", "Loft"], []],
        "kind": pa.array(["Board", None]).dictionary_encode(),
        "raw": [b"H1", b"\xff"],
    }
    parquet.write_table(pa.table(columns), tmp_path / "register.parquet")
    assert rows(tmp_path / "register.parquet") == [
        (0, list(columns)),
        (1, ["1", "0.3", "2026-10-01", "2026-10-01 10:30:00", "1.50", '["Hall", "Loft"]', "Board", "H1"]),
        (2, ["", "2", "", "2026-10-01", "", "[]", "", "\ufffd"]),
    ]


@pytest.mark.parametrize(
    ("content", "limits", "code"),
    [
        ('{"a": 1}\n{"a": ', {}, "not_json"),
        ('{"a": 1}\n[2]', {}, "not_json"),
        ('[{"a": 1}, 2]', {}, "not_json"),
        ('[{"a": 1}', {}, "not_json"),
        ('{"a": ' + "[" * 200_000, {}, "not_json"),
        ('{"a": ' + "9" * 5_000 + "}", {}, "not_json"),
        ('[{"a": "' + "x" * 90 + '"}]', {"json_characters_most": 80}, "json_too_large"),
        ('{"a": "' + "x" * 90 + '"}', {"row_characters_most": 80}, "row_too_large"),
        ('{"a": "' + "x" * 90 + '"}', {"cell_characters_most": 80}, "cells_too_large"),
        (json.dumps({str(n): n for n in range(90)}), {"columns_most": 80}, "too_many_columns"),
        ('{"a": 1}'.encode("utf-16")[:-1], {}, "cut_off"),
        (b"PAR1" + bytes(200) + b"PAR1", {}, "unreadable"),
        (b"PAR1", {}, "unreadable"),
        ('[{"a": "' + "x" * 90 + '", "b": [{"c": 1}, {"c": 2}]}]', {"unpacked_bytes_most": 150}, "unpacks_too_large"),
    ],
)
def test_what_holds_no_records_is_refused_with_its_reason(
    content: str | bytes, limits: dict[str, int], code: str, tmp_path: Path
) -> None:
    with pytest.raises(UnreadableError) as fault:
        of(content, "register.json", tmp_path, **limits)
    assert fault.value.args[0] == code


@pytest.mark.parametrize(
    ("limits", "code"),
    [
        ({"columns_most": 1}, "too_many_columns"),
        ({"records_most": 1}, "unpacks_too_large"),
        ({"unpacked_bytes_most": 10}, "unpacks_too_large"),
    ],
)
def test_a_parquet_file_that_is_too_large_is_refused(limits: dict[str, int], code: str, tmp_path: Path) -> None:
    parquet.write_table(pa.Table.from_pylist(RECORDS), tmp_path / "register.parquet")
    with pytest.raises(UnreadableError) as fault:
        rows(tmp_path / "register.parquet", **limits)
    assert fault.value.args[0] == code
