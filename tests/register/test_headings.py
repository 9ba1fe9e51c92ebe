"""Headings that are questions, or words run together. The texts are invented."""

import csv
import re
from pathlib import Path

import pytest

from pipelines.register import columns, layout
from pipelines.register.contents import Contents
from pipelines.register.headings import _as_above
from pipelines.register.meanings import Column, by_words
from pipelines.register.reader import Reader

QUESTIONS = Path(__file__).parents[2] / "pipelines" / "reference" / "heading_questions.csv"
KNOWN = {"prop name": ["address"], "remarks": ["notes"], "name": ["address"], "unit": ["extent_unit"]}


@pytest.fixture(scope="module")
def reader() -> Reader:
    with QUESTIONS.open(encoding="utf-8", newline="") as opened:
        asked = [(re.compile(row["pattern"]), row["field"]) for row in csv.DictReader(opened)]
    return Reader("registers", KNOWN, {}, Contents({}), 0.8, 0.5, 3, asked)


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("3.4 How much of it is there? (number only)", "extent"),
        ("What unit is your answer in?", "extent_unit"),
        ("Which room or area are you in?", "room"),
        ("6. What part of the place were you in?", "room"),
        ("What part is it?", "position"),
        ("8. What is it there for?", "position"),
        ("What did you come across?", "product"),
        ("Which property are you surveying?", "address"),
        ("What date was the inspection carried out?", "surveyed_on"),
        ("Date the laboratory result was entered", None),
        ("If sampled, scan the sample bag", "sample_ref"),
        ("If strongly presumed, which sample bag does it match?", "sample_like"),
        ("Were you able to get into this room?", "accessed"),
        ("How easy is it for people to reach and disturb?", "accessibility"),
        ("How damaged is the material?", "damage"),
        ("If it has been removed, when?", "removed_on"),
        ("Is the item still there?", "removed"),
        ("PropName", "address"),
        ("Surveyor's remarks", "notes"),
        ("Surveyor's name", None),
        ("How nice", None),
        ("A column about conditions of the lease", None),
    ],
)
def test_a_heading_asks_for_a_field(heading: str, field: str | None, reader: Reader) -> None:
    assert reader.field_of(heading) in ((field,) if field else (None, "none"))


def test_numbers_of_items_that_no_stock_list_knows_are_no_references_of_homes() -> None:
    known = {"ref": ["property_ref", "sample_ref"], "sample no": ["sample_ref"], "room": ["room"]}
    block = layout.Block(1, 1, (("Ref",), ("Sample No",), ("Room",)))
    rows = [["C001", "S1", "Hall"], ["C002", "S2", "Hall"], ["C003", "", "Lobby"]]
    for stock, field in ((frozenset(("q1",)), "item_ref"), (frozenset(("c001", "c002", "c003")), "property_ref")):
        reader = Reader("registers", known, {}, Contents({}, {"property_ref": stock}), 0.8, 0.5, 3)
        read = columns.without_repeats(columns.read_columns(block, rows, reader))
        assert [column.field for column in read] == [field, "sample_ref", "room"]


def test_of_two_references_of_homes_the_one_that_the_stock_list_knows_stands() -> None:
    known = {"site code": ["property_ref"], "client ref": ["property_ref"], "room": ["room"]}
    reader = Reader("registers", known, {}, Contents({}, {"property_ref": frozenset(("h1", "h2"))}), 0.8, 0.5, 3)
    block = layout.Block(1, 1, (("Site Code",), ("Client Ref",), ("Room",)))
    for rows, fields in (
        ([["N1", "H1", "Hall"], ["N2", "H2", "Hall"], ["N3", "H9", "Hall"]], [None, "property_ref"]),
        ([["N1", "C1", "Hall"], ["N2", "C2", "Hall"], ["N3", "C3", "Hall"]], ["property_ref", None]),
    ):
        read = columns.without_repeats(columns.read_columns(block, rows, reader))
        assert [column.field for column in read] == [*fields, "room"]


def test_a_product_or_asbestos_told_in_figures_alone_is_a_score() -> None:
    known = {"product": ["product", "product_type_score"], "asbestos": ["asbestos_types", "asbestos_type_score"]}
    reader = Reader("registers", known, {}, Contents({"product": {"board": "insulating_board"}}), 0.8, 0.5, 3)
    for cell, field in (("2", "product_type_score"), ("Board", "product")):
        assert by_words(["Product"], [cell] * 4, reader).field == field
    assert by_words(["Asbestos"], ["1", "3"], reader).field == "asbestos_type_score"


@pytest.mark.parametrize(
    ("heading", "field"),
    [("AREA_DESC", "room"), ("SC_DMG", "damage_score"), ("FIBRE_CD", "asbestos_types"), ("RSLT_CD", "identification")],
)
def test_a_database_names_a_column_by_short_words_and_adds_its_own(heading: str, field: str) -> None:
    known = {"area": ["room"], "damage score": ["damage_score"], "fibre": ["asbestos_types"]}
    known |= {"result": ["identification"], "fibre score": ["asbestos_type_score"]}
    short = {"desc": "description", "sc": "score", "dmg": "damage", "cd": "code", "rslt": "result"}
    terms = {"place": {"hall": "hall_landing"}, "asbestos_type": {"chr": "chrysotile"}}
    terms |= {"identification": {"neg": "not_detected"}}
    reader = Reader("registers", known, short, Contents(terms), 0.8, 0.5, 3)
    held = {"room": "Hall", "damage_score": "1", "asbestos_types": "CHR", "identification": "NEG"}
    assert reader.field_of(heading) == field
    assert by_words([heading], [held[field]] * 3, reader).field == field


def test_notes_may_say_what_they_are_on(reader: Reader) -> None:
    assert reader.fields_of("notes - encapsulated / removed / sold etc") == ("notes",)
    assert reader.fields_of("Notes for the tenant") == ()


def test_references_of_the_stock_list_are_no_samples_though_some_are_written_otherwise() -> None:
    known = {"ref": ["property_ref", "sample_ref"], "room": ["room"], "what": ["product"]}
    block = layout.Block(1, 1, (("ref",), ("room",), ("what",)))
    rows = [["HN-0412", "Hall", "Soffit"], ["HN-0413", "Hall", "Tiles"], ["HN 414", "Loft", "Tank"]]
    reader = Reader(
        "registers", known, {}, Contents({}, {"property_ref": frozenset(("hn 0412", "hn 0413"))}), 0.8, 0.5, 3
    )
    assert columns.read_columns(block, rows, reader)[0].field == "property_ref"


@pytest.mark.parametrize(("values", "field"), [("12213", "asbestos_type_score"), ("CCAAN", "asbestos_types")])
def test_types_in_figures_beside_the_other_scores_are_scores(values: str, field: str) -> None:
    known = {"room": ["room"], "prod": ["product_type_score"], "dam": ["damage_score"]}
    known |= {"surf": ["surface_treatment_score"], "type": ["asbestos_types", "survey_type"]}
    block = layout.Block(1, 1, (("Room",), ("Prod",), ("Dam",), ("Surf",), ("Type",)))
    rows = [["Hall", "2", "1", "1", value] for value in values]
    reader = Reader("registers", known, {}, Contents({}), 0.8, 0.5, 3)
    assert columns.read_columns(block, rows, reader)[-1].field == field


@pytest.mark.parametrize(
    ("headings", "fields"),
    [
        (("Location 1", "Location 2"), ["room", "position"]),
        (("Area (1)", "Area (2)"), ["room", "position"]),
        (("Location level 1", "Location level 2"), ["room", "position"]),
        (("Location 2", "Location 3"), [None, None]),
        (("Room 1", "Room 2"), [None, None]),
        (("Remarks 1", "Remarks 2"), [None, None]),
    ],
)
def test_numbered_headings_of_places_lead_to_one_place(headings: tuple[str, str], fields: list[str | None]) -> None:
    known = {"location": ["room"], "area": ["room"], "room": ["room"], "remarks": ["notes"], "material": ["product"]}
    reader = Reader("registers", known, {}, Contents({}), 0.8, 0.5, 3)
    block = layout.Block(1, 1, tuple((text,) for text in (*headings, "Material")))
    rows = [["Ground", "Hall", "AIB"], ["Kitchen", "Ceiling", "AIB"]]
    read = columns.without_repeats(columns.read_columns(block, rows, reader))
    assert [column.field for column in read] == [*fields, "product"]


def test_a_landlord_heads_a_list_in_plain_words() -> None:
    with (QUESTIONS.parent / "headings.csv").open(encoding="utf-8", newline="") as opened:
        rows = [row for row in csv.DictReader(opened) if row["kind"] == "registers"]
    known = {row["heading"].lower(): [row["field"]] for row in reversed(rows)}
    reader = Reader("registers", known, {}, Contents({}), 0.8, 0.5, 3)
    said = ("Who went", "When", "What they found", "What we do")
    assert [reader.field_of(heading) for heading in said] == ["surveyor", "surveyed_on", "product", "recommendation"]
    said = ("Likely to be disturbed 0-3", "Ease of disturbance: 0 to 3", "Likely to be disturbed 1-3", "Flats 0-3")
    assert [reader.field_of(heading) for heading in said] == ["accessibility", "accessibility", None, None]


def test_a_firm_that_heads_all_in_its_own_words_is_read_by_the_stock_list_and_by_what_it_scores(
    terms: dict[str, dict[str, str]],
) -> None:
    stock = {"property_ref": frozenset(("h20410", "h20413", "h20416")), "street": frozenset(("larkrise road",))}
    known = {"room": ["room"], "fibre": ["asbestos_types"], "amount": ["extent"], "unit": ["extent_unit"]}
    reader = Reader("registers", known, {}, Contents(terms, stock), 0.8, 0.6, 3)
    headings = ("Record", "Client no", "Dwelling", "Room", "Family", "Score: family", "Fibre class")
    block = layout.Block(1, 1, tuple((text,) for text in (*headings, "Measured amount", "Disturbed")))
    beside = [("H20410", "2 Larkrise Road"), ("H20413", "8 Larkrise Road"), ("H20416", "14 Larkrise Road")]
    rows = [
        [f"R0331{at}", *home, "Kitchen", "Insulating board", "2", "1", "16.0", "2 - Easily disturbed"]
        for at, home in enumerate(beside)
    ]
    read = columns.without_repeats(columns.read_columns(block, rows, reader))
    scores = ["product_type_score", "asbestos_type_score"]
    assert [column.field for column in read] == [
        *("item_ref", "property_ref", "address", "room", "product"),
        *scores,
        *("extent", "accessibility"),
    ]
    named = ("2 Larkrise Road", "8 Larkrise Road", "Plover House")
    without = [[cells[0], "", name, *cells[3:]] for cells, name in zip(rows, named, strict=True)]
    assert columns.read_columns(block, without, reader)[2].field == "address"


def test_a_heading_that_comes_again_with_other_words_here_and_there_means_what_it_did() -> None:
    above = layout.Block(1, 1, (("Old no",), ("Room",), ("P",), ("D",), ()))
    again = layout.Block(9, 9, (("Ref",), ("Room",), ("P",), ("D",), ()))
    fields = (None, "room", "product_type_score", "damage_score", "extent_unit")
    before = [Column("", field, 1, "") for field in fields]
    here = [Column("", field, 1, "") for field in ("property_ref", "room", None, "asbestos_type_score", None)]
    read = _as_above(again, here, 4, [(above.labels, before, 20)])
    assert [column.field for column in read] == ["property_ref", *fields[1:4], None]
    assert _as_above(again, here, 30, [(above.labels, before, 20)]) == here
    other = layout.Block(9, 9, (("Ref",), ("Where",), ("What",), ("D",), ()))
    assert _as_above(other, here, 4, [(above.labels, before, 20)]) == here


def test_figures_alone_beside_a_column_of_their_units_are_the_extent(terms: dict[str, dict[str, str]]) -> None:
    known = {"room": ["room"], "stuff": ["product"], "measure": ["extent_unit"], "measured in": ["extent_unit"]}
    reader = Reader("registers", known, {}, Contents(terms), 0.8, 0.6, 3)
    block = layout.Block(1, 1, (("Room",), ("Stuff",), ("Measure",), ("Measured in",)))

    def fields(units: str) -> list[str | None]:
        rows = [["Kitchen", "AIB", amount, units] for amount in ("6.5", "16", "1")]
        return [column.field for column in columns.read_columns(block, rows, reader)]

    assert fields("square metre") == ["room", "product", "extent", "extent_unit"]
    assert fields("by tape") == ["room", "product", "extent_unit", "extent_unit"]


def test_numbers_of_items_say_no_position(terms: dict[str, dict[str, str]]) -> None:
    known = {"item": ["product"], "material": ["product"], "room": ["room"], "whereabouts": ["room"]}
    reader = Reader("registers", known, {}, Contents(terms), 0.8, 0.6, 3)
    block = layout.Block(1, 1, (("Item",), ("Room",), ("Material",), ("Whereabouts",)))
    rows = [[f"KE00{nth}", "Kitchen", "AIB", "Behind sink"] for nth in (1, 2, 3)]
    read = columns.without_repeats(columns.read_columns(block, rows, reader))
    assert [column.field for column in read] == [None, "room", "product", "position"]


def test_figures_alone_are_the_extent_where_an_unread_column_beside_them_holds_units(
    terms: dict[str, dict[str, str]],
) -> None:
    known = {"room": ["room"], "stuff": ["product"], "measure": ["extent_unit"]}
    reader = Reader("registers", known, {"meas": "measure"}, Contents(terms), 0.8, 0.6, 3)
    block = layout.Block(1, 1, (("Room",), ("Stuff",), ("Meas.",), ("Per",)))
    rows = [["Kitchen", "AIB", amount, "sq.m"] for amount in ("6.5", "16", "1")]
    read = columns.read_columns(block, rows, reader)
    assert [column.field for column in read] == ["room", "product", "extent", "extent_unit"]


@pytest.mark.parametrize("heading", ["P·D·S·F", "MAA (P.D.S.F)", "Assessed P/C/S/T", "PDSA"])
def test_initials_of_the_four_scores_head_all_of_them(heading: str, terms: dict[str, dict[str, str]]) -> None:
    reader = Reader("registers", {"room": ["room"]}, {}, Contents(terms), 0.8, 0.6, 3)
    assert reader.fields_of(heading) == ("scores_together",)
    assert reader.fields_of("D·P·S·F") == ()
    assert Contents(terms).share("scores_together", ["1·0·0·1", "2.1.2.2 (7)", "2/1/2/2"]) == 1
    assert Contents(terms).share("scores_together", ["1.5", "0.0.0.1", "25.0.1.1"]) == 0


def test_a_column_that_counts_the_rows_says_no_notes_whatever_its_heading(terms: dict[str, dict[str, str]]) -> None:
    known = {"obs": ["notes"], "room": ["room"], "material": ["product"], "bag": ["sample_ref"]}
    reader = Reader("registers", known, {}, Contents(terms), 0.8, 0.6, 3)
    for heading in ("Obs", "Record"):
        block = layout.Block(1, 1, ((heading,), ("Room",), ("Material",), ("Bag",)))
        rows = [[f"W00{nth}", "Kitchen", "AIB", f"44/0{nth}" if nth % 2 else ""] for nth in range(1, 6)]
        read = columns.without_repeats(columns.read_columns(block, rows, reader))
        assert [column.field for column in read] == ["item_ref", "room", "product", "sample_ref"]
        told = [["worn" if cells[0] == "W003" else cells[0], *cells[1:]] for cells in rows]
        assert columns.read_columns(block, told, reader)[0].field != "item_ref"


def test_a_list_of_materials_is_surer_than_descriptions_that_name_them_less_often(
    terms: dict[str, dict[str, str]],
) -> None:
    known = {"mat": ["product"], "description": ["product"], "room": ["room"]}
    reader = Reader("registers", known, {}, Contents(terms), 0.8, 0.6, 3)
    block = layout.Block(1, 1, (("Room",), ("Description",), ("Mat.",)))
    said = ["Board to duct", "Cement flue", "Vinyl tiles", "Board panel", "Lagging", "Felt", "Hatch cover"]
    rows = [["Hall", text, "Insulating board" if nth % 2 else "Cement product"] for nth, text in enumerate(said)]
    read = columns.without_repeats(columns.read_columns(block, rows, reader))
    assert [read[0].field, read[2].field] == ["room", "product"]
    alone = [[*cells[:2], f"{cells[2]} {nth}"] for nth, cells in enumerate(rows)]
    assert columns.read_columns(block, alone, reader)[1].confidence == 1


def test_a_number_beside_columns_of_other_units_is_how_many_there_are(terms: dict[str, dict[str, str]]) -> None:
    known = {"room": ["room"], "stuff": ["product"], "no": ["none"]}
    reader = Reader("registers", known, {}, Contents(terms), 0.8, 0.6, 3)

    def fields(heading: list[str], numbers: tuple[str, ...]) -> list[str | None]:
        block = layout.Block(1, 1, tuple((text,) for text in heading))
        rows = [["Hall", "AIB", "" if number else "5", number] for number in numbers]
        return [column.field for column in columns.without_repeats(columns.read_columns(block, rows, reader))]

    assert fields(["Room", "Stuff", "m2", "no"], ("", "1", "4", "")) == ["room", "product", "extent", "extent"]
    assert fields(["Room", "Stuff", "m2", "no"], ("1", "2", "3", "4"))[3] != "extent"
    assert fields(["Room", "Stuff", "Photo", "no"], ("", "1", "4", ""))[3] is None


def test_codes_that_stand_for_results_are_no_references_of_homes(terms: dict[str, dict[str, str]]) -> None:
    known = {"code": ["property_ref"]}
    reader = Reader("registers", known, {}, Contents(terms, {"property_ref": frozenset(("ch 1",))}), 0.8, 0.6, 3)
    assert by_words(("Code",), ["chrysotile", "presumed", "none detected"], reader).field == "identification"
    assert by_words(("Code",), ["CH 1", "CH 1", "CH 1"], reader).field == "property_ref"
    assert by_words(("Code",), ["X17", "X18", "X19"], reader).field == "property_ref"


def test_what_a_visit_found_beside_the_material_is_a_note_where_it_names_no_things(
    terms: dict[str, dict[str, str]],
) -> None:
    known = {"room": ["room"], "item": ["product"], "what we found": ["product"]}
    reader = Reader("registers", known, {}, Contents(terms), 0.8, 0.6, 3)

    def field(*found: str) -> str | None:
        block = layout.Block(1, 1, (("Room",), ("Item",), ("What we found",)))
        rows = [["Hall", "Insulating board", text] for text in found]
        return columns.without_repeats(columns.read_columns(block, rows, reader))[2].field

    assert field("Kicked in at one end", "Sealed up since last year", "Came to light this time") == "notes"
    assert field("Cement flue in the corner", "Vinyl tiles all over it", "Board panel at the back") != "notes"
