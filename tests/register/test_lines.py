"""What a row is that is no item as it stands."""

from pipelines.register.contents import Contents
from pipelines.register.home_lines import Sheet
from pipelines.register.lines import Thin, _line
from pipelines.register.reader import Reader
from pipelines.register.remarks import is_count


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
        line, _, names, room, _ = _line(sheet, Thin(["", text, ""], fields, above, ()))
        assert (line, names["address"].split(" (")[0], room) == ("layout", home, None)
    assert _line(sheet, Thin(["", "at the back", ""], fields, above, ()))[4] == [(1, "at the back")]


def test_a_figure_beside_what_it_counts_is_a_total_and_no_item() -> None:
    for filled in (["Lines 2025", "10.0"], ["Lines to end of 2023", "34"], ["Properties", "6"], ["Items on list", "4"]):
        assert is_count(filled)
    for filled in (["Lines of pipes", "10"], ["Properties", "Hall"], ["Garages", "AC roof"], ["Hall", "2"], ["Items"]):
        assert not is_count(filled)
