"""What a line above items says of them."""

from datetime import date

import pytest

from pipelines.register import layout
from pipelines.register.contents import Contents
from pipelines.register.dates import days
from pipelines.register.lines import Sheet, _beside_labels, _line, _visit, home_and_visit, repeated
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


def test_a_line_that_names_several_days_gives_the_first_and_tells_of_the_others() -> None:
    said = dict(layout.labelled(["Surveyed 15/05/08 (flats 4-6 on 22/05/08)"], lambda _: None))
    assert said["surveyed_on"] == "15/05/08 (also 22/05/08)"
    assert days([said["surveyed_on"]], date(2026, 10, 1)) == [(date(2008, 5, 15), "several")]


def test_of_the_days_of_several_visits_the_last_stands_beside_the_others() -> None:
    row = ["ELM HOUSE", "Date of visit:", "11.3.15", "no visit", "20.3.17"]
    said = dict(layout.labelled(row, lambda text: "surveyed_on" if text == "Date of visit" else None))
    assert said["surveyed_on"] == "20.3.17 (also 11.3.15)"


def test_today_goes_before_the_last_visit_whichever_stands_first() -> None:
    fields = {"Last insp": "surveyed_on", "Today": "surveyed_on", "by": "surveyor"}.get
    for row in (["Last insp", "Nov 2017", "Today", "16/2/23"], ["Today", "16/2/23", "Last insp", "Nov 2017"]):
        assert layout.pairs_said(row, fields) == {"surveyed_on": "16/2/23"}
    assert layout.pairs_said(["Last insp", "Nov 2017"], fields) == {"surveyed_on": "Nov 2017"}
    assert layout.pairs_said(["Last insp", "Today", "by"], fields) == {}


def test_a_day_without_its_year_is_of_the_year_of_the_other_days_of_its_file() -> None:
    as_of = date(2026, 10, 1)
    assert days(["2/3/23", "21/2"], as_of)[1] == (date(2023, 2, 21), "no year")
    assert days(["2/3/23", "2/3/22", "21/2"], as_of)[2] == (None, "impossible")
    assert days(["21/2"], as_of) == [(None, "impossible")]
    assert days(["5 & 6 April 2023"], as_of) == [(date(2023, 4, 6), "several")]


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
    assert _beside_labels(sheet, ["SITE 12", "Flat 3, Elm Court", "A. Person"]) == {"address": "Flat 3, Elm Court"}
    assert _beside_labels(sheet, ["SITE 12", "A. Person"]) == {}


def test_an_address_goes_on_below_its_label() -> None:
    rows = [
        (1, ["Address", "Flat 2", "Date", "2008-03-11"]),
        (2, ["", "Elm House", "Client", "Somebody"]),
        (3, ["", "High Street"]),
    ]
    heading = layout.Block(4, 4, (("Room",), ("What",), ("How much",), ("State",), ("Sample",), ("Result",)))
    fields = {"Address": "address", "Date": "surveyed_on"}
    found = layout.above(rows, heading, 0, fields.get)
    assert found.labelled == {"address": "Flat 2, Elm House, High Street", "surveyed_on": "2008-03-11"}


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


def test_letters_typed_for_figures_of_a_day_are_told() -> None:
    assert days(["3O.6.99", "l2/3/98", "21.9.O4"], date(2026, 10, 1)) == [
        (date(1999, 6, 30), "letters"),
        (date(1998, 3, 12), "letters"),
        (date(2004, 9, 21), "letters"),
    ]


def test_the_next_number_of_a_street_stands_beside_a_ditto() -> None:
    rows = [(1, ["31 Elm Road", "Hall"]), (2, ["", "Loft"]), (3, ["33 -DO-", "33 -DO-"])]
    assert list(repeated(rows, {0})) == [(3, ["33 Elm Road", "33 -DO-"])]


def test_rows_of_rooms_above_a_heading_that_comes_again_stay_with_the_table_before() -> None:
    rows = [(2, ["", "Loft", "No key"]), (3, ["Home", "Room", "What"])]
    heading = layout.Block(3, 3, (("Home",), ("Room",), ("What",)))
    found = [layout.above(rows, heading, 1, lambda _: None, lambda _: True, own).first for own in (True, False)]
    assert found == [3, 2]


def test_a_day_left_blank_beside_a_ditto_is_the_one_above() -> None:
    rows = [(1, ["3 Elm Road", "6.3.06", "Hall"]), (2, ["ditto", "", "Loft"]), (3, ["4 Elm Road", "", "Loft"])]
    assert list(repeated(rows, {0})) == [(2, ["3 Elm Road", "6.3.06", "Loft"])]
    assert list(repeated(rows)) == [(2, ["3 Elm Road", "", "Loft"])]


def test_a_number_before_a_ditto_stands_at_the_street_above_and_same_is_what_stands_above() -> None:
    rows = [
        (1, ["1 Elm Road", "Pipe lagging"]),
        (2, ["6A do.", "Bits of same on floor"]),
        (3, ["Flat 3 Elm Court", "Tiles"]),
        (4, ["Flat 7 do.", "Tiles"]),
    ]
    said = dict(repeated(rows, {0}))
    assert said == {2: ["6A Elm Road", "Bits of Pipe lagging on floor"], 4: ["Flat 7 Elm Court", "Tiles"]}


def test_a_table_of_other_columns_that_names_its_homes_is_not_of_the_visit_to_one_above(sheet: Sheet) -> None:
    sheet.begin(["room", "product"], has_property=False)
    sheet.hear({"address": "4 Elm Road", "surveyed_on": "6 May 2014"})
    assert not sheet.begin(["room", "product"], has_property=False)
    assert sheet.begin(["address", "room", "product"], has_property=True)
    assert "surveyed_on" not in sheet.said


def above(cells: list[list[str]], after: int = 0) -> layout.Above:
    fields = {"Premises": "address", "Date": "surveyed_on", "Surveyed": "surveyed_on", "Surveyor": "surveyor"}
    rows = list(enumerate(cells, start=after + 1))
    heading = layout.Block(after + len(cells) + 1, after + len(cells) + 1, (("Room",), ("What",), ("Result",)))
    return layout.above(rows, heading, after, fields.get)


def test_particulars_in_one_cell_are_lines_of_their_own() -> None:
    found = above(
        [["Premises: Elm House, High Street ZZ1 2AB – stairs\nDate: 8th May 2025        Surveyor: A. Person"]]
    )
    assert found.labelled == {
        "address": "Elm House, High Street ZZ1 2AB – stairs",
        "surveyed_on": "8th May 2025",
        "surveyor": "A. Person",
    }
    assert above([["Flat 2\nElm House\n30 April 2025, A. Person"]]).unlabelled == [
        "30 April 2025, A. Person",
        "Flat 2, Elm House",
    ]


@pytest.mark.parametrize("line", ["VOID: 9 Elm Close, ZZ1 2AB", "Void survey – 9 Elm Close, ZZ1 2AB"])
def test_a_kind_of_survey_may_stand_before_an_address(line: str) -> None:
    assert above([[line]]).unlabelled == ["9 Elm Close, ZZ1 2AB"]


def test_a_day_and_a_person_name_no_property_but_a_visit(sheet: Sheet) -> None:
    assert sheet.names("30 April 2025, A. Person") is None
    assert sheet.names("4 Elm Road 30/4/25") and sheet.names("30 March Road") and sheet.names("1 May Close 2.3.25")
    assert _visit("30 April 2025, A. Person", {}) == {"surveyed_on": "30 April 2025", "surveyor": "A. Person"}
    assert _visit("30 April 2025, kitchens", {}) == {}


def test_a_remark_in_brackets_is_no_part_of_a_day() -> None:
    said = dict(layout.labelled(["Surveyed", "May 2025 (day not noted)"], {"Surveyed": "surveyed_on"}.get))
    assert said == {"surveyed_on": "May 2025"}
    said = dict(layout.labelled(["Surveyed", "3 May 2025 (and 5 May)"], {"Surveyed": "surveyed_on"}.get))
    assert said == {"surveyed_on": "3 May 2025 (and 5 May)"}


def test_a_sentence_of_a_room_that_nobody_saw_belongs_to_the_table_above() -> None:
    places = {"place": {"loft": "loft"}, "identification": {"could not be entered": "no_access"}}
    reader = Reader("registers", {}, {}, Contents(places), 0.8, 0.5, 3)
    assert reader.is_of_rooms(["The loft could not be entered: the hatch was painted in."])
    assert not reader.is_of_rooms(["The loft was boarded out and in good order."])
    assert not reader.is_of_rooms(["Loft could not be entered"])


def test_garages_of_a_yard_of_the_stock_list_are_named_together() -> None:
    known = Contents({}, {"street": frozenset({"dene yard"})})
    sheet = Sheet("registers/a.csv", None, Reader("registers", {}, {}, known, 0.8, 0.5, 3))
    assert sheet.names("Garages, Dene Yard ZZ4 1MY      19.3.12") == {"address": "Garages, Dene Yard ZZ4 1MY"}
    assert sheet.names("Garages inspected by others") is None


def test_a_heading_that_comes_again_takes_no_row_above_it() -> None:
    known = {"Room": "room", "What": "product", "Result": "identification"}
    heading = ["Room", "What", "Result", "Place"]
    rows = [
        (1, ["", "", "", "PRIORITY"]),
        (2, heading),
        (3, ["Hall", "Tiles", "White", "1"]),
        (4, ["Whole house", "Could not get in", "", "card left"]),
        (5, heading),
    ]
    first, again = layout.blocks(rows, known.get, 3)
    assert (again.first, again.last, again.labels) == (5, 5, first.labels)


@pytest.mark.parametrize(
    ("written", "read"),
    [
        (["2 April 2012", "18th April"], (date(2012, 4, 18), "no year")),
        (["2 April 2012", "5 May 2013", "18th April"], (None, "impossible")),
        (["18th April"], (None, "impossible")),
        (["2 April 2012", "31st April"], (None, "no year")),
    ],
)
def test_a_day_without_a_year_is_of_that_of_all_others(written: list[str], read: tuple[date | None, str]) -> None:
    assert days(written, date(2026, 10, 1))[-1] == read


@pytest.mark.parametrize(
    ("line", "day"),
    [
        ("Looked at: Tues 8th Sept 2026 (DT)     last year: 10.9.25", "8th Sept 2026"),
        ("18.09.26  MO   (last year 19.09.25)", "18.09.26"),
        ("24/9/26  MO", "24/9/26"),
    ],
)
def test_a_line_that_says_when_it_was_looked_at_says_the_day_of_this_visit(line: str, day: str) -> None:
    assert dict(layout.labelled([line], lambda _: None))["surveyed_on"] == day


def test_a_day_before_other_words_is_no_line_of_a_visit() -> None:
    assert dict(layout.labelled(["24/9/26 sample taken"], lambda _: None)) == {}


def test_a_home_of_a_known_street_below_an_item_is_no_end_of_its_text() -> None:
    stock = {"street": frozenset({"elm row"})}
    known = Contents({"place": {"hall": "hall_landing"}}, stock)
    sheet = Sheet("registers/a.csv", None, Reader("registers", {}, {}, known, 0.8, 0.5, 3))
    fields, above = ["item_ref", "room", "product"], ["3", "Outhouse", "Cement roof"]
    for text, home in (
        ("11 Elm Row - seen 22/9/26 DT", "11 Elm Row"),
        ("12 Elm Row (not 12A) - tenant in, seen 22/9/26 DT", "12 Elm Row"),
        ("17 Elm Row - called 22/9/26 and 24/9/26", "17 Elm Row"),
    ):
        line, _, names, room, _ = _line(sheet, ["", text, ""], fields, above, ())
        assert (line, names["address"].split(" (")[0], room) == ("layout", home, None)
    assert _line(sheet, ["", "at the back", ""], fields, above, ())[4] == [(1, "at the back")]
