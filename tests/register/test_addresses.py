"""Which home an address means: what must match, what must not, and that only names may be misspelt, never numbers.

Streets, homes and postcodes are invented; no postcode begins with ZZ. Forms of addresses: common practice, no source.
"""

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from pipelines import queries, register, sources
from tests import portfolios

STOCK = (
    ("H12", "12 Quillmere Street, Alder", "ZZ1 1AA", ""),
    ("H12A", "12A Quillmere Street, Alder", "ZZ1 1AA", ""),
    ("H14", "14-16 Quillmere Street, Alder", "ZZ1 1AA", ""),
    ("B12", "12 Quillmere Street, Birch", "ZZ2 2BB", ""),
    ("B18", "18 Quillmere Street, Birch", "ZZ2 2BB", ""),
    ("C1", "Flat 1, 20 Ormsel Road, Alder", "ZZ1 1AB", "OR20"),
    ("C2", "Flat 2, 20 Ormsel Road, Alder", "ZZ1 1AB", "OR20"),
    ("C3", "Flat 3, 12 Ormsel Road, Alder", "ZZ1 1AB", "OR12"),
    ("C4", "Flat 4, 12 Ormsel Road, Alder", "ZZ1 1AB", "OR12"),
    ("C5", "Flat 5, 6 Ormsel Road, Alder", "ZZ1 1AB", "OR6"),
    ("C6", "Flat 6, 5 Ormsel Road, Alder", "ZZ1 1AB", "OR5"),
    ("C7", "Flat 5, 5 Ormsel Road, Alder", "ZZ1 1AB", "OR5"),
    ("C8", "Flat 6, 6 Ormsel Road, Alder", "ZZ1 1AB", "OR6"),
    ("G0", "Ground Floor Flat, 7 Ormsel Road, Alder", "ZZ1 1AB", "OR7"),
    ("G1", "First Floor Flat, 7 Ormsel Road, Alder", "ZZ1 1AB", "OR7"),
    ("K1", "Flat 1, Kestrel Court, Marrow Lane, Alder", "ZZ1 2AA", "KC"),
    ("K2", "Flat 2, Kestrel Court, Marrow Lane, Alder", "ZZ1 2AA", "KC"),
    ("K3", "Flat 3, Kestrel Court, Marrow Lane, Alder", "ZZ1 2AA", "KC"),
    ("KCP", "Common parts, Kestrel Court, Marrow Lane, Alder", "ZZ1 2AA", "KC"),
    ("P1", "Flat 1, Plover House, 30 Marrow Lane, Alder", "ZZ1 2AB", "PH"),
    ("P2", "Flat 2, Plover House, 30 Marrow Lane, Alder", "ZZ1 2AB", "PH"),
    ("S1", "1 St Orrin's Close, Alder", "ZZ1 3AA", ""),
    ("S2", "2 St Orrin's Close, Alder", "ZZ1 3AA", ""),
    ("M7", "7 Merrowfield Avenue, Alder", "ZZ1 4AA", ""),
    ("N7", "7 Second Avenue, Alder", "ZZ1 4AB", ""),
    ("E5", "5 East Tarn Drive, Alder", "ZZ1 4AD", ""),
    ("GA", "Garage 4, Merrowfield Avenue, Alder", "ZZ1 4AA", ""),
    ("GR", "Garage 5, rear of Merrowfield Avenue, Alder", "ZZ1 4AA", ""),
    ("R1", "Rowan Cottage, Marrow Lane, Alder", "ZZ1 2AA", ""),
    ("T27A", "27A Tanner Row, Alder", "ZZ1 5AA", "T27"),
    ("T27B", "27B Tanner Row, Alder", "ZZ1 5AA", "T27"),
    ("T29A", "29A Tanner Row, Alder", "ZZ1 5AA", "T29"),
    ("T29FA", "Flat A, 29 Tanner Row, Alder", "ZZ1 5AA", "T29"),
    ("T31A", "Flat A, 31 Tanner Row, Alder", "ZZ1 5AA", "T31"),
    ("W28", "28 Gannet Walk, Alder", "ZZ1 5AB", "GW"),
    ("W30", "30 Gannet Walk, Alder", "ZZ1 5AB", "GW"),
    ("L3", "Flat 3, 1-12 Linnet Court, Alder", "ZZ1 5AD", "LC"),
    ("MA", "Flat A, The Tanneries, Dipper Lane, Alder", "ZZ1 6AA", "MT"),
    ("MB", "Flat B, The Tanneries, Dipper Lane, Alder", "ZZ1 6AA", "MT"),
    ("TC5", "5 The Close, Alder", "ZZ1 6AB", ""),
)
SAME = (
    ("12 Quillmere St ZZ1 1AA - Alder", "", "H12"),
    ("12 QUILLMERE STREET, ALDER", "ZZ1 1AA", "H12"),
    ("12 Quillmere St, Alder", "zz11aa", "H12"),
    ("7 Merrowfield", "", "M7"),
    ("garage 4 merrowfield", "", "GA"),
    ("12, Quillmere St., Alder, ZZ1 1AA", "", "H12"),
    ("Garage 5 r/o Merrowfield Ave", "ZZ1 4AA", "GR"),
    ("12 Quillmere Street Alder ZZ11AA", "", "H12"),
    ("12 Quillmere Street", "ZZ1 1AA", "H12"),
    ("12 Quillmere Street, Alder", "", "H12"),
    ("No. 12 Quillmere Str\nAlder", "ZZ1 1AA", "H12"),
    ("012 Quillmere Street", "ZZ1 1AA", "H12"),
    ("12 Quillmere Street, Birch", "", "B12"),
    ("18 Quillmere Street", "", "B18"),
    ("12 Quillmere Street, Alder, Countyshire, England", "ZZ1 1AA", "H12"),
    ("12a Quillmere Street", "ZZ1 1AA", "H12A"),
    ("12 A Quillmere Street", "ZZ1 1AA", "H12A"),
    ("14-16 Quillmere Street", "ZZ1 1AA", "H14"),
    ("14 - 16 Quillmere St", "ZZ1 1AA", "H14"),
    ("14/16 Quillmere St", "ZZ1 1AA", "H14"),
    ("12 Quilmere Street, Alder", "ZZ1 1AA", "H12"),
    ("12 Quillmree Street", "ZZ1 1AA", "H12"),
    ("12 Quillmere Street, Alder", "ZZ1 1AQ", "H12"),
    ("12 Quillmere Street, Alder", "ZZI IAA", "H12"),
    ("12 Ormsel Road, Flat 3", "ZZ1 1AB", "C3"),
    ("Flat 3 12 Ormsel Rd", "ZZ1 1AB", "C3"),
    ("Apartment 3, 12 Ormsel Road", "ZZ1 1AB", "C3"),
    ("Apt. 3, 12 Ormsel Road", "ZZ1 1AB", "C3"),
    ("Unit 3, 12 Ormsel Road", "ZZ1 1AB", "C3"),
    ("3/12 Ormsel Road", "ZZ1 1AB", "C3"),
    ("12/3 Ormsel Road", "ZZ1 1AB", "C3"),
    ("3, 12 Ormsel Road, Alder", "", "C3"),
    ("GFF, 7 Ormsel Road", "ZZ1 1AB", "G0"),
    ("ground floor flat 7 Ormsel Road, Alder", "", "G0"),
    ("1st Floor Flat, 7 Ormsel Road", "ZZ1 1AB", "G1"),
    ("7 Ormsel Road, First Floor", "ZZ1 1AB", "G1"),
    ("2 Kestrel Ct, Marrow La", "ZZ1 2AA", "K2"),
    ("Flat 2 Kestrel Court Alder", "", "K2"),
    ("Kestrel Court Flat 2", "ZZ1 2AA", "K2"),
    ("Flat 2, Kestral Court, Marrow Lane", "ZZ1 2AA", "K2"),
    ("Flat 2, 30 Marrow Lane", "ZZ1 2AB", "P2"),
    ("2 Plover Hse", "ZZ1 2AB", "P2"),
    ("1 Saint Orrins Cl", "ZZ1 3AA", "S1"),
    ("7 2nd Ave", "ZZ1 4AB", "N7"),
    ("Garage 4 Merrowfield Ave", "ZZ1 4AA", "GA"),
    ("Rowan Cott, Marrow Lane", "ZZ1 2AA", "R1"),
    ("Flat A, 27 Tanner Row", "ZZ1 5AA", "T27A"),
    ("Flat 27B Tanner Row", "ZZ1 5AA", "T27B"),
    ("27 Tanner Row, Flat B", "ZZ1 5AA", "T27B"),
    ("29A Tanner Row", "ZZ1 5AA", "T29A"),
    ("29A Tanner Row, Alder", "", "T29A"),
    ("Flat A, 29 Tanner Row", "ZZ1 5AA", "T29FA"),
    ("31a Tanner Row, Alder", "", "T31A"),
    ("No 28, 28-34 Gannet Walk", "ZZ1 5AB", "W28"),
    ("30, 28-34 Gannet Walk, Alder", "", "W30"),
    ("Flat 3, Linnet Court", "ZZ1 5AD", "L3"),
    ("Tanneries flat B", "", "MB"),
    ("The Tanneries, flat B", "", "MB"),
    ("Flat A Tanneries, Dipper Lane", "ZZ1 6AA", "MA"),
    ("5 The Close", "ZZ1 6AB", "TC5"),
)
OF_BLOCK = (
    ("Kestrel Court, Marrow Lane ZZ1 2AA – stairs and other common parts", "", "KCP"),
    ("Kestrel Court, Marrow Lane (3 flats), Alder", "ZZ1 2AA", "KCP"),
    ("KESTREL COURT  flats 1-3, 2 storey", "ZZ1 2AA", "KCP"),
    ("Kestrel Court, 3 flats", "", "KCP"),
    ("Kestrel Court, common stairs etc", "", "KCP"),
    ("Kestrel Court boiler room", "", "KCP"),
    ("KESTREL CT, STAIRS", "", "KCP"),
    ("Kestrel Court riser 3rd floor", "", "KCP"),
    ("Kestrel Court", "ZZ1 2AA", "KCP"),
    ("Kestrel Court, Marrow Lane, Alder", "", "KCP"),
    ("Communal areas, Kestrel Court", "ZZ1 2AA", "KCP"),
    ("1-3 Kestrel Court", "ZZ1 2AA", "KCP"),
    ("Flats 1-3, Kestrel Court", "ZZ1 2AA", "KCP"),
    ("20 Ormsel Road", "ZZ1 1AB", "OR20-COMMON-PARTS"),
    ("Landlord's areas, 20 Ormsel Rd, Alder", "", "OR20-COMMON-PARTS"),
    ("Plover House", "ZZ1 2AB", "PH-COMMON-PARTS"),
    ("Tanneries – common parts", "", "MT-COMMON-PARTS"),
)
NOT = (
    ("13 Quillmere Street, Alder", "ZZ1 1AA"),
    ("12B Quillmere Street, Alder", "ZZ1 1AA"),
    ("14 Quillmere Street, Alder", "ZZ1 1AA"),
    ("18 Quillmere Street, Alder", "ZZ1 1AA"),
    ("12 Quillmere Street", ""),
    ("12 Quillmere Street, Cedar", "ZZ7 7QQ"),
    ("12 Quilmere Street", ""),
    ("Flat 3, 12 Quillmere Street", "ZZ1 1AA"),
    ("Flat 12, Quillmere Street", "ZZ1 1AA"),
    ("Flat, 12 Quillmere Street", "ZZ1 1AA"),
    ("3 Ormsel Road", "ZZ1 1AB"),
    ("Flat 5, 12 Ormsel Road", "ZZ1 1AB"),
    ("Flat 3, 20 Ormsel Road", "ZZ1 1AB"),
    ("5/6 Ormsel Road", "ZZ1 1AB"),
    ("Basement flat, 7 Ormsel Road", "ZZ1 1AB"),
    ("Flat 4, Kestrel Court", "ZZ1 2AA"),
    ("Flat 2, Kestrel House, Marrow Lane", "ZZ1 2AA"),
    ("Flat 1, Plover House, 32 Marrow Lane", "ZZ1 2AB"),
    ("1-9 Ormsel Road", "ZZ1 1AB"),
    ("7 First Avenue", "ZZ1 4AB"),
    ("5 West Tarn Drive", "ZZ1 4AD"),
    ("7 Merrowfield Close", "ZZ1 4AA"),
    ("4 Merrowfield Avenue", "ZZ1 4AA"),
    ("Garage 7, Merrowfield Avenue", "ZZ1 4AA"),
    ("Garage 6 r/o Merrowfield Avenue", "ZZ1 4AA"),
    ("Garage 4 r/o Merrowfield Avenue", "ZZ1 4AA"),
    ("Garages r/o Merrowfield Avenue", "ZZ1 4AA"),
    ("Land at rear of 12 Quillmere Street", "ZZ1 1AA"),
    ("Adj 12 Quillmere Street", "ZZ1 1AA"),
    ("Marrow Lane", "ZZ1 2AA"),
    ("Flat C, 27 Tanner Row", "ZZ1 5AA"),
    ("27 Tanner Row, Flat 1", "ZZ1 5AA"),
    ("No 32, 28-34 Gannet Walk", "ZZ1 5AB"),
    ("Flat C, Tanneries", ""),
    ("5 Close", "ZZ1 6AB"),
    ("12", ""),
    ("Alder", ""),
    ("ZZ1 1AA", ""),
    ("12 Quillmere Street" + ", Alder" * 100, "ZZ1 1AA"),
    ('=HYPERLINK("12 Quillmere")\'; drop table x', "ZZ1 1AA"),
)

Match = tuple[str | None, str | None, str]
Ask = Callable[[str, str], Match]


def stock_rows(homes: Sequence[tuple[str, str, str, str]] = STOCK) -> list[portfolios.Row]:
    return [
        {"Property Ref": ref, "Address": address, "Post Code": postcode, "Block Ref": block or ref,
         "Part": "common parts" if address.startswith("Common") else "home"}
        for ref, address, postcode, block in homes
    ]  # fmt: skip


def matches(
    folder: Path, rows: Sequence[portfolios.Row], stock: Sequence[portfolios.Row]
) -> dict[tuple[str | None, ...], Match]:
    """What each way of naming a property in a register means: property, method and what is said where none is found."""
    settings = {"as_of": portfolios.AS_OF}
    portfolios.write(folder, {"register.csv": rows}, stock)
    with queries.create(folder / "made.duckdb", threads=1) as con:
        sources.store(con, sources.find(folder))
        register.match_properties(con, settings, register.read_lines(con, settings, folder))
        found = con.execute(
            "select property_ref, uprn, address, postcode, found, match_method, unmatched_code from property_matches"
        ).fetchall()
    return {tuple(said): (ref, method, code) for *said, ref, method, code in found}


@pytest.fixture(scope="module")
def meant(tmp_path_factory: pytest.TempPathFactory) -> Ask:
    """What an address and postcode mean, beside `STOCK`."""
    said = [(address, code) for address, code, *_ in (*SAME, *OF_BLOCK, *NOT)]
    rows = [
        {"Address": address, "Post Code": code, "Location": "Hall", "Material": "AIB", "Survey Date": "2025-03-01"}
        for address, code in said
    ]
    found = matches(tmp_path_factory.mktemp("addresses"), rows, stock_rows())
    return lambda address, code: found[None, None, address.strip() or None, code or None]


@pytest.mark.parametrize(("address", "postcode", "ref"), SAME)
def test_one_home_written_in_another_way_is_that_home(meant: Ask, address: str, postcode: str, ref: str) -> None:
    assert meant(address, postcode)[:2] == (ref, "address")


@pytest.mark.parametrize(("address", "postcode", "ref"), OF_BLOCK)
def test_a_block_itself_is_its_common_parts(meant: Ask, address: str, postcode: str, ref: str) -> None:
    found, method, _ = meant(address, postcode)
    assert (found, method) in ((ref, "building"), (ref, "address"))


@pytest.mark.parametrize(("address", "postcode"), NOT)
def test_another_home_is_no_home_of_the_stock(meant: Ask, address: str, postcode: str) -> None:
    assert meant(address, postcode)[0] is None


def test_what_may_be_meant_is_asked(meant: Ask) -> None:
    asked = {address: meant(address, code)[2] for address, code in NOT}
    assert asked["5/6 Ormsel Road"] == "ambiguous_property"
    assert asked["12 Quillmere Street"] == "ambiguous_property" or asked["12 Quillmere Street"] == "near_property"
    assert asked["12 Quilmere Street"] == "near_property"
    assert asked["Flat 12, Quillmere Street"] == "near_property"
    assert asked["Alder"] == "unknown_property"
