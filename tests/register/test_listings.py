"""Plain text without columns: homes as headings, indented findings, results at the end of each home."""

from pathlib import Path

from pipelines.register import listings
from pipelines.register.reader import Reader
from pipelines.sources import delimited
from pipelines.sources.careful import Dialect
from pipelines.sources.delimited import NO_MARK

LIMITS = {
    "row_characters_most": 1000,
    "columns_most": 100,
    "cell_characters_most": 1000,
    "quoted_lines_most": 10,
}
TEXT = """
Walks of A. Person, with his own words:
   WORN   scratched - low damage
   "Surely" means no sample was taken (strongly presumed).  green = crocidolite, clear = none detected.

Page of notes, first
3 Elm Road, Anytown                    seen 3rd March 2019
    Kitchen - floor tiles under the
       vinyl, abt 9½ m2, worn at the door [1] on black adhesive, sound [2]
    Loft - hatch painted shut, could not get in
       Lab: [1] clear; [2] green.  TOLD THE OFFICE.  [9] green

5 ditto, same day
    Hall - piece as [3], painted, 2.4 x 5 m
    Shed - asb. cement roof, 8 m2. Surely.
       (Office: is it ours?)
- - - - - - - page 1
5 Elm Road (contd.)
    Porch - insulating board soffit, bare, 2 m2, worn [3]
       Lab: [3] green

Totals: 2 homes
"""


def rows_of(text: str) -> list[tuple[int, list[str]]]:
    return [(number, [line]) for number, line in enumerate(text.splitlines()) if line.strip()]


def test_notes_below_each_home_become_lines_by_the_writers_own_words(reader: Reader) -> None:
    rows = rows_of(TEXT)
    assert listings.may_be(rows)
    told = listings.read(rows, reader, longest=100)
    assert sorted({source for (_, source), _ in told}) == [number for number, _ in rows]
    assert len({line for (line, _), _ in told}) == len(told)
    heading, *found = [cells for _, cells in told if cells]
    assert heading == listings.COLUMNS
    home, next_home = ["3 Elm Road, Anytown", "3rd March 2019"], ["5 Elm Road, Anytown", "3rd March 2019"]
    vinyl, door = "floor tiles under the vinyl", "at the door"
    board = "insulating board soffit"
    assert found == [
        [*home, "Kitchen", vinyl, "none detected", "abt 9.5 m2", "low damage", "", "1", door],
        [*home, "Kitchen", "black adhesive", "crocidolite", "abt 9.5 m2", "sound", "", "2", "TOLD THE OFFICE"],
        [*home, "Loft", "", "hatch painted shut, could not get in", "", "", "", "", ""],
        ["[1] clear; [2] green.  TOLD THE OFFICE.  [9] green"],
        [*next_home, "Hall", f"piece: {board}", "as 3", "2.4 x 5 m", "", "painted", "as 3", ""],
        [*next_home, "Shed", "asb. cement roof", "strongly presumed", "8 m2", "", "", "", ""],
        ["(Office: is it ours?)"],
        [*next_home, "Porch", board, "crocidolite", "2 m2", "low damage", "bare", "3", ""],
        ["Totals: 2 homes"],
    ]


def test_what_is_no_such_text_or_too_long_for_one_is_left_alone(reader: Reader) -> None:
    assert not listings.read(rows_of(TEXT), reader, longest=20)
    letter = (
        "Dear Sir\n    thank you - for the list\n3 Elm Road\n    is - sold\n    and - gone\n5 Elm Road\n    too - gone"
    )
    assert not listings.read(rows_of(letter), reader, longest=100)
    assert not listings.may_be([(1, ["Ref", "Room"]), (2, [" P1", "Hall"])])


def test_a_running_text_has_no_cells_and_keeps_its_indents(tmp_path: Path) -> None:
    assert delimited.dialect_of(TEXT, LIMITS) == Dialect(NO_MARK, 1)
    assert delimited.dialect_of("Ref,Room\nP1,Hall\n  P2,Loft\n  P3,Bath\n", LIMITS).mark == ","
    file = tmp_path / "notes.txt"
    file.write_text(TEXT.replace("ditto", '"ditto"'), encoding="utf-8")
    rows = [cells for table in delimited.read(file, LIMITS) for cells in table["cells"].to_pylist()]
    assert ["    Hall - piece as [3], painted, 2.4 x 5 m"] in rows and ['5 "ditto", same day'] in rows
    assert {len(cells) for cells in rows} == {1}
