"""What addresses claim: numbers are never alike, names may be misspelt. Invented names; the rules are our own."""

import csv

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipelines import queries
from pipelines.register import addresses, claims

with (queries.REFERENCE / "address_words.csv").open(encoding="utf-8", newline="") as opened:
    WORDS = addresses.Vocabulary.of((row["kind"], row["word"], row["written"]) for row in csv.DictReader(opened))

NUMBER = st.integers(1, 150).map(str)
FLATS = st.one_of(NUMBER, st.sampled_from("ABCDEF"))
NAMES = st.sampled_from(("Quillmere Street", "Ormsel Road", "St Orrins Close", "East Tarn Drive", "Second Avenue"))
BLOCKS = st.sampled_from(("Kestrel Court", "Plover House", "Rowan Lodge"))


def said(text: str, known: frozenset[str] = frozenset()) -> set[tuple[str, str]]:
    """The units and names that an address claims."""
    return {(claim.unit, claim.name) for claim in claims.claims(addresses.parse(text, None, WORDS), WORDS, known)}


@given(flat=FLATS, house=NUMBER, street=NAMES)
def test_form_changes_nothing(flat: str, house: str, street: str) -> None:
    short = street.replace("Street", "St").replace("Road", "Rd").replace("Drive", "Dr").replace("Avenue", "Ave")
    forms = (
        f"Flat {flat}, {house} {street}",
        f"{house} {street}, Flat {flat}",
        f"FLAT {flat} {house} {street}".upper(),
        f"Apt. {flat}\n{house}, {short}",
        f"  flat  {flat} ,{house}   {short}. ",
        f"Flat 0{flat}, 0{house} {street}" if flat.isdigit() else f"Unit {flat}, {house} {street}",
    )
    assert len({frozenset(said(form)) for form in forms}) == 1


@given(one=NUMBER, other=NUMBER, house=NUMBER, street=NAMES, block=BLOCKS)
def test_another_number_is_another_home(one: str, other: str, house: str, street: str, block: str) -> None:
    for form in ("{} " + street, "Flat {}, " + block, "Flat {}, " + f"{house} {street}", "Flat 1, {} " + street):
        shared = said(form.format(one)) & said(form.format(other))
        assert bool(shared) == (one == other)


@given(name=st.text("abcdefghij ", min_size=5, max_size=20), number=st.integers(1, 99))
def test_numbers_are_never_alike(name: str, number: int) -> None:
    assert not claims.spelt_alike(f"{name} {number} road", f"{name} {number + 1} road", WORDS)


@given(st.text(max_size=60), st.text(max_size=10))
def test_any_text_is_parsed(text: str, postcode: str) -> None:
    parsed = addresses.parse(text, postcode, WORDS)
    assert all(claim.unit or claim.name for claim in claims.claims(parsed, WORDS))


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    (
        ("quillmere street", "quilmere street", True),
        ("quillmere street", "quillmree street", True),
        ("kestrelcourt", "kestrel court", True),
        ("quillmere street", "quillmere road", False),
        ("east tarn drive", "west tarn drive", False),
        ("first avenue", "second avenue", False),
        ("block a", "block b", False),
        ("elm road", "elms road", False),
    ),
)
def test_names_may_be_misspelt_but_not_exchanged(one: str, other: str, alike: bool) -> None:
    assert claims.spelt_alike(one, other, WORDS) is alike
    assert claims.near_names([one], [other], WORDS) == ([(one, other)] if alike else [])


def test_a_range_behind_the_name_of_a_block_is_of_that_block() -> None:
    assert said("Kestrel Court 1-12 (communal), Marrow Lane") == said("1-12 Kestrel Court (communal), Marrow Lane")
    assert said("Kestrel Court (1-12) - communal areas, Marrow Lane") == said(
        "Kestrel Court 1-12 (communal), Marrow Lane"
    )
    assert said("Kestrel Court, 1-12, Marrow Lane") == said("Kestrel Court, 1-12 Marrow Lane")
    assert ("1-12", "marrow lane") in said("Kestrel Court, 1-12 Marrow Lane")


def test_numbers_with_letters_from_one_to_another_are_a_range() -> None:
    assert said("40A-44B Marrow Lane") == {("40a-44b", "marrow lane")}
    assert said("14 to 24 (evens) Marrow Lane") == said("14-24 Marrow Lane")


def test_a_flat_may_be_shortened_to_its_first_letter() -> None:
    assert said("F6, Napier Court") == said("Flat 6, Napier Court")
    assert said("Block F6, Napier Court") != said("Flat 6, Napier Court")


def test_what_kind_of_housing_a_block_is_is_no_part_of_its_name() -> None:
    assert said("Napier Court (sheltered) - common areas") == said("Napier Court - common areas")


@pytest.mark.parametrize(
    ("one", "other", "is_slip"),
    (
        ("quilbeck road", "quillbeck road", True),
        ("thrumdlae close", "thrumdale close", True),
        ("quilet close", "quillet close", True),
        ("quinet close", "quillet close", False),
        ("barrington road", "harrington road", False),
        ("quillbek roda", "quillbeck road", False),
        ("elm road", "elms road", False),
    ),
)
def test_one_slip_within_a_long_word_or_a_doubled_letter_leaves_its_first_letter(
    one: str, other: str, is_slip: bool
) -> None:
    assert claims.is_slip(one, other) is is_slip


@pytest.mark.parametrize(
    "written", ["Block A, Elm Yard", "Elm Yard, Block A - communal areas", "Elm Yard Block A, stairs and landings"]
)
def test_a_block_of_one_letter_comes_before_its_estate(written: str) -> None:
    assert addresses.parse(written, None, WORDS).names == ("block a", "elm yard")
