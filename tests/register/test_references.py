"""Which home a reference, a UPRN or a person's answer means. Damage by spreadsheets: common practice, no source."""

from collections.abc import Mapping
from pathlib import Path

import pytest

from tests import portfolios
from tests.register.test_addresses import Match, matches

STOCK: tuple[portfolios.Row, ...] = tuple(
    {"Property Ref": ref, "UPRN": uprn, "Address": address, "Post Code": "ZZ1 1AA", "Block Ref": block}
    for ref, uprn, address, block in (
        ("UND/00123", "999900000123", "1 Elm Road, Alder", ""),
        ("UND/00124", "999900000124", "2 Elm Road, Alder", ""),
        ("UND/01-3", "999900000125", "3 Elm Road, Alder", ""),
        ("000777", "999900000126", "4 Elm Road, Alder", ""),
        ("0888", "999900000127", "5 Elm Road, Alder", ""),
        ("00888", "42", "6 Elm Road, Alder", ""),
        ("123456", "999900000129", "7 Elm Road, Alder", ""),
        ("BL-F1", "999900000131", "Flat 1, Rowan House, Ash Lane, Alder", "BK-7"),
        ("BL-F2", "999900000132", "Flat 2, Rowan House, Ash Lane, Alder", "BK-7"),
    )
)
REFERENCES = (
    ("und/00123", "UND/00123"),
    ("UND-123", "UND/00123"),
    ("UND 0123", "UND/00123"),
    ("123", "UND/00123"),
    ("00123", "UND/00123"),
    ("123.0", "UND/00123"),
    ("UND/1-3", "UND/01-3"),
    ("UND/13", None),
    ("777", "000777"),
    ("777.0", "000777"),
    ("0888", "0888"),
    ("888", None),
    ("ABC/00123", None),
    ("1.23456E+05", "123456"),
    ("1.23E+05", None),
    ("999900000124", "UND/00124"),
    ("999900000124.0", "UND/00124"),
    ("42", "00888"),
    ("bk7", "BK-7-COMMON-PARTS"),
    ("=1+1", None),
    ("E", None),
)
UPRNS = (
    ("999900000123", "UND/00123"),
    ("0999900000123", "UND/00123"),
    ("999900000123.0", "UND/00123"),
    ("999,900,000,123", "UND/00123"),
    ("9.99900000123E+11", "UND/00123"),
    ("9.999E+11", None),
    ("42", "00888"),
    ("0042", "00888"),
    ("1000000000042", None),
    ("UND/00124", "UND/00124"),
    ("-999900000123", None),
    ("9.9E+99", None),
)


def register_row(**cells: str) -> portfolios.Row:
    blank = dict.fromkeys(("Property Ref", "UPRN", "Address", "Post Code"), "")
    rest = {"Room": "Hall", "Material": "AIB", "Survey Date": "2025-03-01"}
    return blank | {name.replace("_", " "): cell for name, cell in cells.items()} | rest


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Mapping[tuple[str | None, ...], Match]:
    references = [register_row(Property_Ref=said) for said, _ in REFERENCES]
    uprns = [register_row(UPRN=said) for said, _ in UPRNS]
    mixed = [register_row(**cells) for cells, *_ in MIXED]
    return matches(tmp_path_factory.mktemp("references"), [*references, *uprns, *mixed], STOCK)


MIXED: tuple[tuple[dict[str, str], str | None, str | None], ...] = (
    # a number without its prefix may be the firm's own: beside an address it counts for nothing
    ({"Property_Ref": "123", "Address": "2 Elm Road, Alder", "Post_Code": "ZZ1 1AA"}, "UND/00124", "address"),
    ({"Property_Ref": "123", "Address": "77 Oak Road, Birch", "Post_Code": "ZZ7 7QQ"}, None, None),
    ({"Property_Ref": "X9", "UPRN": "999900000124"}, "UND/00124", "uprn"),
    ({"Property_Ref": "UND/00123", "UPRN": "999900000124"}, "UND/00123", "reference"),
    ({"UPRN": "9.999E+11", "Address": "2 Elm Road", "Post_Code": "ZZ1 1AA"}, "UND/00124", "address"),
)


@pytest.mark.parametrize(("said", "ref"), REFERENCES)
def test_a_reference_means_a_home(found: Mapping[tuple[str | None, ...], Match], said: str, ref: str | None) -> None:
    assert found[said, None, None, None][0] == ref


@pytest.mark.parametrize(("said", "ref"), UPRNS)
def test_a_uprn_means_a_home(found: Mapping[tuple[str | None, ...], Match], said: str, ref: str | None) -> None:
    assert found[None, said, None, None][0] == ref


@pytest.mark.parametrize(("cells", "ref", "method"), MIXED)
def test_the_surest_decides(
    found: Mapping[tuple[str | None, ...], Match], cells: dict[str, str], ref: str | None, method: str | None
) -> None:
    said = tuple(cells.get(name) for name in ("Property_Ref", "UPRN", "Address", "Post_Code"))
    assert found[said][:2] == (ref, method)


def test_rounded_numbers_are_asked_never_matched(found: Mapping[tuple[str | None, ...], Match]) -> None:
    assert found["1.23E+05", None, None, None] == (None, None, "near_property")
    assert found["888", None, None, None] == (None, None, "ambiguous_property")


def test_references_that_differ_in_case_only_are_two_where_their_addresses_do_not_agree(tmp_path: Path) -> None:
    homes = [
        {"Property Ref": ref, "Address": address, "Post Code": postcode}
        for ref, address, postcode in (
            ("ab12", "1 Elm Road, Alder", "ZZ1 1AA"),
            ("AB12", "9 Oak Street, Birch", "ZZ2 2BB"),
        )
    ]
    rows = [register_row(Property_Ref=ref) for ref in ("ab12", "AB12", "Ab12")]
    rows.append(register_row(Property_Ref="Ab12", Address="9 Oak Street, Birch", Post_Code="ZZ2 2BB"))
    result = portfolios.read(portfolios.write(tmp_path, {"register.csv": rows}, homes))
    entries = portfolios.ask(result, "select row_number, property_ref, match_method from entries order by 1")
    assert entries == [(2, "ab12", "reference"), (3, "AB12", "reference"), (5, "AB12", "address")]
    asked = portfolios.ask(result, "select row_number, reason_code from set_aside_rows")
    assert asked == [(4, "ambiguous_property")]
    ((candidates,),) = portfolios.ask(result, "select candidates from open_questions where len(candidates) > 0")
    assert len(candidates) == 2


def test_answers_go_before_everything_and_each_is_counted(tmp_path: Path) -> None:
    rows = [
        register_row(Property_Ref="UND/00123", Address="1 Elm Road, Alder", Post_Code="ZZ1 1AA"),
        register_row(Address="Old School, Birch"),
        register_row(Address="Rowan House block", Post_Code="ZZ1 1AA"),
        register_row(Property_Ref="X1"),
    ]
    folder = portfolios.write(tmp_path, {"register.csv": rows}, STOCK)
    (folder / "corrections").mkdir()
    (folder / "corrections/properties.csv").write_text(
        "property_ref_as_written,uprn_as_written,address_as_written,postcode_as_written,property_ref,who,on,why\n"
        "und/00123,,,,UND/00124,A,2026-01-01,re-let under another number\n"
        ",,old  school  birch,,none,A,2026-01-01,not this: a comma is missing\n"
        ',,"Old  School, birch",,UND/00124,A,2026-01-01,replaced below\n'
        ',,"Old School, Birch",,none,A,2026-01-02,sold\n'
        ",,Rowan House block,ZZ1 1AA,bk-7-common-parts,A,2026-01-02,\n"
        "X1,,,,Z99,A,2026-01-02,\n"
        "X1,,,,,A,2026-01-02,\n"
        ",,,,UND/00124,A,2026-01-02,\n",
        encoding="utf-8",
    )
    result = portfolios.read(folder)
    entries = portfolios.ask(result, "select row_number, property_ref, match_method from entries order by 1")
    assert entries == [(2, "UND/00124", "correction"), (4, "BK-7-COMMON-PARTS", "correction")]
    aside = portfolios.ask(
        result, "select row_number, reason_code from set_aside_rows where path like 'corrections/%' order by 1"
    )
    assert aside == [
        (3, "correction_meets_nothing"),
        (4, "correction_meets_nothing"),
        (7, "correction_unknown_property"),
        (8, "correction_without_answer"),
        (9, "correction_names_nothing"),
    ]
    assert portfolios.ask(
        result, "select rows_read, rows_used, rows_set_aside from source_files where kind = 'corrections'"
    ) == [(8, 3, 5)]
    assert portfolios.ask(
        result, "select row_number, reason_code from set_aside_rows where path like 'registers/%' order by 1"
    ) == [(3, "not_ours"), (5, "unknown_property")]


def test_the_line_of_a_question_answers_it(tmp_path: Path) -> None:
    address = '3 "Elm" Raod, Alder'
    folder = portfolios.write(tmp_path, {"register.csv": [register_row(Address=address)] * 1}, STOCK)
    ((n_rows, candidates, answer_in, heading, line),) = portfolios.ask(
        portfolios.read(folder),
        "select n_rows, candidates, answer_in, answer_heading, answer_line from open_questions",
    )
    assert n_rows == 1
    assert candidates[0].startswith("UND/01-3, 3 Elm Road, Alder, ZZ1 1AA: ")
    (folder / answer_in).parent.mkdir()
    (folder / answer_in).write_text(f"{heading}\n{line}\n", encoding="utf-8")
    result = portfolios.read(folder)
    assert portfolios.ask(result, "select property_ref, match_method from entries") == [("UND/01-3", "correction")]
    assert portfolios.ask(result, "from open_questions") == []


def test_common_parts_are_added_only_where_named_and_are_no_home(tmp_path: Path) -> None:
    flat = register_row(Address="Rowan House, Ash Lane", Post_Code="ZZ1 1AA") | {"Room": "Flat 2 Kitchen"}
    door = register_row(Address="Rowan House, Ash Lane", Post_Code="ZZ1 1AA") | {"Room": "Flat 2 entrance door"}
    without = portfolios.read(portfolios.write(tmp_path / "without", {"register.csv": [flat]}, STOCK))
    named = portfolios.read(portfolios.write(tmp_path / "named", {"register.csv": [flat, door]}, STOCK))
    homes = "select building_ref, homes from buildings order by 1"
    assert portfolios.ask(without, homes) == portfolios.ask(named, homes)
    derived = "select property_ref, part, building_ref from properties where is_derived"
    assert portfolios.ask(without, derived) == []
    assert portfolios.ask(named, derived) == [("BK-7-COMMON-PARTS", "common parts", "BK-7")]
    entries = "select property_ref, match_method from entries order by row_number"
    assert portfolios.ask(named, entries) == [("BL-F2", "address"), ("BK-7-COMMON-PARTS", "building")]


def test_each_row_of_other_corrections_is_counted_once(tmp_path: Path) -> None:
    folder = portfolios.write(tmp_path, {"register.csv": [register_row(Property_Ref="UND/00123")]}, STOCK)
    (folder / "corrections").mkdir()
    lines = "path,sheet,heading,field,who,on,why\nregisters/register.csv,,Room,room,A,2026-01-01,\n"
    (folder / "corrections/headings.csv").write_text(lines, encoding="utf-8")
    (folder / "corrections/terms.csv").write_text("word,who,on,why\nx,A,2026-01-01,\n", encoding="utf-8")
    counts = (
        "select path, rows_read, rows_used, rows_set_aside, rows_layout from source_files where kind = 'corrections'"
    )
    assert sorted(portfolios.ask(portfolios.read(folder), counts)) == [
        ("corrections/headings.csv", 1, 1, 0, 1),
        ("corrections/terms.csv", 1, 0, 1, 1),
    ]
