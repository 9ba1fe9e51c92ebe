"""What a column means by the words of its heading, where these have several meanings or name several fields.

Common practice, no source.
"""

from dataclasses import replace

import pytest

from pipelines.register.contents import Contents
from pipelines.register.house_numbers import with_house_numbers, with_unit_numbers
from pipelines.register.layout import Block
from pipelines.register.meanings import Column, by_words
from pipelines.register.reader import Reader
from pipelines.register.score_columns import letters_of_scores


def test_a_location_with_its_description_is_room_and_product_of_one_column() -> None:
    known = {"location": ["room", "address"], "description": ["product", "notes", "room"], "room": ["room"]}
    known |= {"location description": ["room"]}
    reader = Reader("registers", known, {}, Contents({}, {}), 0.8, 0.6, 3)
    assert by_words(["Location / description"], [], reader).also == ("product",)
    assert by_words(["Location description"], [], reader).field == "room"
    assert not by_words(["Room / location"], [], reader).also


def test_the_fields_of_an_address_within_a_record_are_parts_of_it() -> None:
    known = {
        "street": ["address"],
        "house number": ["address"],
        "address line 1": ["address"],
        "postcode": ["postcode"],
    }
    reader = Reader("registers", known | {"name": ["surveyor"]}, {}, Contents({}, {}), 0.8, 0.6, 3)
    meant = {"address.street", "property.address.number", "site.address.line1", "address.postcode"}
    assert {text: list(reader.fields_of(text)) for text in sorted(meant)} == {
        "address.postcode": ["postcode"],
        "address.street": ["address"],
        "property.address.number": ["address"],
        "site.address.line1": ["address"],
    }
    assert not reader.fields_of("surveyor.street") and not reader.fields_of("address.name")


@pytest.mark.parametrize(
    ("values", "field"), [(["2,1,2", "3,2,1"], "accessibility"), (["low", "medium"], None), (["4", "5"], None)]
)
def test_three_figures_of_a_likelihood_tell_the_reach_and_its_words_do_not(
    terms: dict[str, dict[str, str]], values: list[str], field: str | None
) -> None:
    reader = Reader("registers", {"likelihood": ["none", "accessibility"]}, {}, Contents(terms, {}), 0.8, 0.6, 3)
    assert by_words(["Likelihood"], values, reader).field == field


def test_a_column_of_the_laboratory_may_name_the_types_beside_results(terms: dict[str, dict[str, str]]) -> None:
    reader = Reader("registers", {"lab": ["none", "identification"]}, {}, Contents(terms, {}), 0.8, 0.6, 3)
    assert by_words(["Lab"], ["White", "Brown", "White & blue", "NADIS", "presumed"], reader).field == "identification"
    assert by_words(["Lab"], ["Smith & Co", "Smith & Co"], reader).field is None


def test_numbers_below_lines_of_homes_count_their_items(terms: dict[str, dict[str, str]]) -> None:
    reader = Reader("registers", {}, {}, Contents(terms, {"street": frozenset({"elm road"})}), 0.8, 0.6, 3)
    read = [Column("No", None, 1.0, ""), Column("Where", "room", 1.0, ""), Column("What", "product", 1.0, "")]
    rows = [
        ["1", "Hall", "Tiles"],
        ["2", "Loft", "Tank"],
        ["1", "Hall", "Tiles"],
        ["3", "Loft", "Tank"],
        ["", "Bath", "x"],
    ]
    assert with_house_numbers(read, [*rows, ["", "Porch", "x"]], reader)[0].field == "address"
    with_lines = [["4 Elm Road again. 2.5.12", "", ""], *rows, ["", "Porch", "x"]]
    assert with_house_numbers(read, with_lines, reader)[0].field is None


def test_numbers_behind_streets_are_of_homes_also_beside_the_landlords_parts_and_whole_addresses(
    reader: Reader,
) -> None:
    read = [Column("Scheme", "address", 1.0, ""), Column("No.", None, 0.0, ""), Column("Room", "room", 1.0, "")]
    rows = [
        ["Marram Close", number, "Hall"]
        for number in ("1.0", "1.0", "2.0", "5.0", "7.0", "9.0", "11.0", "15.0", "21.0")
    ]
    shared = [["Oak House", "LL", "Stairs"], ["25 OAK LANE", "", "Loft"]]
    assert with_house_numbers(read, [*rows, *shared], reader)[1].field == "address"
    assert with_house_numbers(read, [*rows, ["25 OAK LANE", "3", "Loft"]], reader)[1].field is None


@pytest.mark.parametrize(
    ("numbers", "known", "field"),
    [
        (["1.0", "2.0", "Shared"], "p17", "address"),
        (["1", "2", "3"], "1", "property_ref"),
        (["U-17", "U-18", "U-19"], "p17", "property_ref"),
    ],
)
def test_unit_numbers_are_of_homes_where_the_stock_list_has_no_such_reference(
    numbers: list[str], known: str, field: str, reader: Reader
) -> None:
    of_stock = replace(reader, contents=replace(reader.contents, stock={"property_ref": frozenset((known,))}))
    read = [Column("Unit No", "property_ref", 1.0, "")]
    assert with_unit_numbers(read, [numbers], of_stock)[0].field == field


@pytest.mark.parametrize(
    ("headings", "read"),
    [
        (["D", "S", "Acc"], {"D": ("damage_score",), "S": ("surface_treatment_score",)}),
        (["A", "B", "C", "D", "S"], {}),
        (["D", "Acc"], {}),
    ],
)
def test_damage_and_surface_may_be_initials_where_no_letters_count_the_scores(
    headings: list[str], read: dict[str, tuple[str, ...]], reader: Reader
) -> None:
    assert letters_of_scores(Block(1, 1, tuple((one,) for one in headings)), reader) == read
