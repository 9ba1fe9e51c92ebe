"""What a line above items says of the home they are of."""

import pytest

from pipelines.register.contents import Contents
from pipelines.register.home_lines import NAMES, Sheet, begun, beside_labels, home_and_visit
from pipelines.register.reader import Reader


@pytest.fixture
def sheet() -> Sheet:
    stock = {"property_ref": frozenset({"50303"})}
    return Sheet("registers/a.csv", None, Reader("registers", {}, {}, Contents({}, stock), 0.8, 0.5, 3))


@pytest.mark.parametrize(
    ("line", "day"),
    [
        ("Flat 5, Juniper House   Ref 50303   Inspected 01/10/2013", "01/10/2013"),
        ("50303 surveyed on: 3 February 2021", "3 February 2021"),
        ("50303 Inspected annually", None),
        ("50303 Juniper House", None),
    ],
)
def test_a_line_names_its_property_and_the_day_of_the_visit(line: str, day: str | None, sheet: Sheet) -> None:
    said = sheet.at(line)
    assert said["property_ref"] == "50303"
    assert said.get("surveyed_on") == day


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (
            "12 Larkspur Rise, ZZ7 3AB - surveyed 6 May 2014 by J. Smith",
            "12 Larkspur Rise, ZZ7 3AB|6 May 2014|J. Smith",
        ),
        ("12 Larkspur Rise (J. Smith, 06/05/2014)", "12 Larkspur Rise|06/05/2014|J. Smith"),
        ("12 Larkspur Rise, ZZ7 3AB - 06/05/2014 - J Smith", "12 Larkspur Rise, ZZ7 3AB|06/05/2014|J Smith"),
        ("12 Larkspur Rise   Survey date: 06/05/2014   Surveyor: J Smith", "12 Larkspur Rise|06/05/2014|J Smith"),
        ("12 Larkspur Rise | 6th May 2014 | Surveyor J. Smith", "12 Larkspur Rise|6th May 2014|J. Smith"),
        ("12 Larkspur Rise, Alder", "12 Larkspur Rise, Alder||"),
        ("12 Larkspur Rise - void 22/3/23", "12 Larkspur Rise|22/3/23|"),
        ("12 Larkspur Rise - 8 March 2023 NOT DONE tenant away", "12 Larkspur Rise|8 March 2023|"),
        ("12 Larkspur Rise - inspected Tuesday 5 March 2019", "12 Larkspur Rise|Tuesday 5 March 2019|"),
        ("V20117   12 LARKSPUR RISE, ALDER", "12 LARKSPUR RISE, ALDER||"),
        ("Flat 1/2, 12 Larkspur Rise", "Flat 1/2, 12 Larkspur Rise||"),
        ("12 Larkspur Rise, ZZ7 3AB.  House.  6.5.14", "12 Larkspur Rise, ZZ7 3AB|6.5.14|"),
        ("12 Larkspur Rise, 6/5/14. Tenant in, very good about it", "12 Larkspur Rise|6/5/14|"),
        ("12 Larkspur Rise again.  6.5.14.  Hatch freed", "12 Larkspur Rise|6.5.14|"),
        ("12 Larkspur Rise, 6/5/14 and 9/5/14", "12 Larkspur Rise|9/5/14 (also 6/5/14)|"),
    ],
)
def test_a_line_names_a_property_the_day_and_who_came(line: str, said: str, sheet: Sheet) -> None:
    heard = sheet.at(line)
    assert "|".join(heard.get(name, "") for name in ("address", "surveyed_on", "surveyor")) == said


@pytest.mark.parametrize("line", ["Flat A", "Flat 3", "12", "Unit B", "Apt 4a", "Top Floor Flat"])
def test_a_line_below_a_block_names_a_home_of_it(line: str, sheet: Sheet) -> None:
    sheet.hear({"address": "27 Tanner Row"})
    address = sheet.at(line)["address"]
    assert address.endswith(f"{line}, 27 Tanner Row")


@pytest.mark.parametrize("line", ["Loft", "A", "Flat roof", "No access"])
def test_other_lines_below_a_block_name_no_home(line: str, sheet: Sheet) -> None:
    sheet.hear({"address": "27 Tanner Row"})
    assert sheet.names(line) in (None, {"address": line})


@pytest.mark.parametrize(
    ("line", "address"),
    [
        ("No. 14  -  3 bed end terrace, tenanted  -  surveyed 14/07/2026 (AB)", "No. 14, TANSY CLOSE, ALDER"),
        ("No. 18A (upper)  -  tenanted", "No. 18A, TANSY CLOSE, ALDER"),
        ("Flat 2 - gf - void - 21/07/2026 - AB", "Flat 2, TANSY CLOSE, ALDER"),
        ("Scheme 2291 - Tansy Close", "TANSY CLOSE, ALDER"),
        ("4 - Osier House", "4 - Osier House"),
    ],
)
def test_a_home_of_the_street_above_stands_before_what_is_said_of_it(line: str, address: str) -> None:
    stock = {"street": frozenset({"osier house", "tansy close"})}
    sheet = Sheet("registers/a.xlsx", None, Reader("registers", {}, {}, Contents({}, stock), 0.8, 0.5, 3))
    sheet.hear({"address": "TANSY CLOSE, ALDER"})
    assert sheet.at(line)["address"] == address


def test_a_title_names_a_block_before_a_bracket_and_what_is_done_there() -> None:
    stock = {"street": frozenset({"osier house"})}
    sheet = Sheet("registers/a.xlsx", None, Reader("registers", {}, {}, Contents({}, stock), 0.8, 0.5, 3))
    assert sheet.at("OSIER HOUSE, WEIR ST  (block of 12, 1967)  Heating")["address"] == "OSIER HOUSE, WEIR ST"


def test_a_title_names_the_street_and_the_day_among_other_words() -> None:
    stock = {"street": frozenset({"osier house", "tansy close"})}
    sheet = Sheet("registers/a.xlsx", None, Reader("registers", {}, {}, Contents({}, stock), 0.8, 0.5, 3))
    said = sheet.at("OSIER HOUSE sheltered, Weir St - done 5 & 6 April 2023, last done 2019")
    assert said == {"address": "OSIER HOUSE, Weir St", "surveyed_on": "5 & 6 April 2023"}
    assert sheet.names("TANSY CLOSE bungalows, ZZ4 2FH") == {"address": "TANSY CLOSE, ZZ4 2FH"}
    assert sheet.names("Tansy Close contd") == {"address": "Tansy Close"}


@pytest.mark.parametrize(
    "line",
    [
        "SITE 01    4 Elm Road, Alder ZZ4 7AB     Semi-det. house c.1966     Surveyed 13/07/2026     JT",
        "Property no. 3  -  4 Elm Road, Alder  ZZ4 7AB  -  date 14.07.26  -  surveyor K.O.",
    ],
)
def test_a_number_of_the_reports_own_stands_before_an_address(line: str, sheet: Sheet) -> None:
    address = (sheet.names(line) or {})["address"]
    assert " ".join(address.split()).replace(", Alder", "") == "4 Elm Road ZZ4 7AB"


def test_a_home_without_a_label_stands_beside_what_has_one(sheet: Sheet) -> None:
    assert beside_labels(sheet, ["SITE 12", "Flat 3, Elm Court", "A. Person"]) == {"address": "Flat 3, Elm Court"}
    assert beside_labels(sheet, ["SITE 12", "A. Person"]) == {}


@pytest.mark.parametrize("line", ["Next visits due April 2025. Ring us before any drilling.", "COMMUNAL AREAS"])
def test_a_remark_names_no_property(line: str, sheet: Sheet) -> None:
    assert sheet.names(line) is None


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (["14 LARKSPUR RD. (SEMI)", "INSP. 14.5.98  D.W."], "14 LARKSPUR RD.|14.5.98|D.W."),
        (["14 Larkspur Rd", "Inspected June 98"], "14 Larkspur Rd|June 98|"),
        (["14 Larkspur Rd", "INSP. 3O.6.99  P.S.   (SOLD 2/00)"], "14 Larkspur Rd|3O.6.99|P.S."),
        (["16 Larkspur Rd", "INSP. -DO-"], "16 Larkspur Rd|1.4.98|A.B."),
        (["FLAT 11, -DO-  (TOP FLR)", "INSP. 2.4.98"], "FLAT 11 ELM CT.|2.4.98|"),
        (["14 Larkspur Rd", "INSP. LATER"], "||"),
        (["14 Larkspur Rd", "Loft"], "||"),
        (["Loft", "INSP. 14.5.98"], "||"),
        (["14 Larkspur Rd"], "||"),
    ],
)
def test_a_line_names_a_home_and_in_another_cell_the_visit(cells: list[str], said: str, sheet: Sheet) -> None:
    assert home_and_visit(sheet, ["FLAT 3, ELM CT.", "INSP. 1.4.98  A.B."])
    heard = home_and_visit(sheet, cells)
    assert "|".join(heard.get(name, "") for name in ("address", "surveyed_on", "surveyor")) == said


def test_a_table_of_other_columns_that_names_its_homes_is_not_of_the_visit_to_one_above(sheet: Sheet) -> None:
    sheet.begin(["room", "product"], has_property=False)
    sheet.hear({"address": "4 Elm Road", "surveyed_on": "6 May 2014"})
    assert not sheet.begin(["room", "product"], has_property=False)
    assert sheet.begin(["address", "room", "product"], has_property=True)
    assert "surveyed_on" not in sheet.said


def test_a_day_and_a_person_name_no_property(sheet: Sheet) -> None:
    assert sheet.names("30 April 2025, A. Person") is None
    assert sheet.names("4 Elm Road 30/4/25") and sheet.names("30 March Road") and sheet.names("1 May Close 2.3.25")


def test_garages_of_a_yard_of_the_stock_list_are_named_together() -> None:
    known = Contents({}, {"street": frozenset({"dene yard"})})
    sheet = Sheet("registers/a.csv", None, Reader("registers", {}, {}, known, 0.8, 0.5, 3))
    assert sheet.names("Garages, Dene Yard ZZ4 1MY      19.3.12") == {"address": "Garages, Dene Yard ZZ4 1MY"}
    assert sheet.names("Garages inspected by others") is None


@pytest.mark.parametrize(
    ("name", "above", "day"),
    [
        ("12.03.24", [], "12.03.24 (name of the sheet)"),
        ("18 Apr 24", [], "18 Apr 24 (name of the sheet)"),
        ("12.03.24", [{"field": "surveyed_on", "value": "13.03.24"}], "13.03.24"),
        ("Block 12", [], None),
        ("2024", [], None),
    ],
)
def test_a_sheets_name_may_be_the_day_of_the_visit(
    name: str, above: list[dict[str, str | None]], day: str | None, sheet: Sheet
) -> None:
    named = Sheet(sheet.path, name, sheet.reader)
    assert begun(named, ["address", "room"], above, True)[NAMES.index("surveyed_on")] == day


@pytest.mark.parametrize(
    ("line", "job"),
    [
        ("JOB 2208 - 50303 Juniper House", "2208"),
        ("Job no. A-17: 50303", "A-17"),
        ("50303 Juniper House", None),
        ("Jobson House 50303", None),
    ],
)
def test_a_line_may_name_the_job_that_a_home_is(line: str, job: str | None, sheet: Sheet) -> None:
    assert sheet.at(line).get("job_ref") == job
    assert "job_ref" not in sheet.at("50303 Juniper House")


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (["14 Elm Rise", "Your ref: H14", "Survey date: 12/03/2024   (AB)"], "H14|14 Elm Rise|12/03/2024"),
        (["14 Elm Rise", "Survey date: 12/03/2024", "Your ref: not on list"], "|14 Elm Rise|12/03/2024"),
        (["14 Elm Rise", "Your ref: ELMH"], "ELMH|14 Elm Rise|"),
        (["14 Elm Rise", "Your ref: H14", "Loft"], "||"),
        (["Loft", "Your ref: H14"], "||"),
    ],
)
def test_a_line_names_a_home_and_behind_labels_its_reference_and_the_visit(cells: list[str], said: str) -> None:
    contents = Contents({}, {"property_ref": frozenset({"elmh"})})
    known = {"your ref": ["property_ref"], "survey date": ["surveyed_on"]}
    heard = home_and_visit(
        Sheet("registers/a.xlsx", None, Reader("registers", known, {}, contents, 0.8, 0.5, 3)), cells
    )
    assert "|".join(heard.get(name, "") for name in ("property_ref", "address", "surveyed_on")) == said


def test_a_mark_behind_a_home_repeats_the_visit_to_the_home_above() -> None:
    contents = Contents({}, {"street": frozenset({"elm rise"})})
    sheet = Sheet("registers/a.xlsx", None, Reader("registers", {}, {}, contents, 0.8, 0.5, 3))
    days = [
        sheet.at(line).get("surveyed_on")
        for line in ("8 Elm Rise - ditto", "14 Elm Rise - surveyed 4th June 2013", "16 Elm Rise - ditto", "18 Elm Rise")
    ]
    assert days == [None, "4th June 2013", "4th June 2013", None]


def test_the_common_parts_of_a_block_are_named_behind_it() -> None:
    stock = {"street": frozenset({"osier house"})}
    sheet = Sheet("registers/a.xlsx", None, Reader("registers", {}, {}, Contents({}, stock), 0.8, 0.5, 3))
    said = sheet.at("OSIER HOUSE COMMON PARTS      4/10/01  KD")
    assert said == {"address": "OSIER HOUSE COMMON PARTS", "surveyed_on": "4/10/01", "surveyor": "KD"}
    assert sheet.names("Some communal parts") is None
