"""Delimited text comes back cell for cell, whatever its dialect, and a stray quote swallows no row.

The form in order is that of RFC 4180 (a quoted cell holds delimiters, line breaks and doubled quotes); what becomes of
files out of order is a rule of this reader, stated in pipelines/sources/careful.py.
"""

import re
from itertools import pairwise, product
from pathlib import Path
from tempfile import TemporaryDirectory

import pyarrow as pa
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pipelines.sources import UnreadableError, blocks, careful, delimited
from pipelines.sources.careful import Dialect
from pipelines.sources.delimited import MARKS
from pipelines.sources.rows import NUMBERED, numbered, table
from tests.sources import reading
from tests.sources.reading import LIMITS, of, plain_words, told, words

EACH = settings(max_examples=150, deadline=None, derandomize=True, database=None)
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "latin-1")
REGISTER = [
    ["Ref", "Room", "Material", "Extent"],
    ["H1", "Hall", "Board", "2,5"],
    ["H2", "Kitchen, rear", 'Pipe 6" wide', "3"],
    ["", "", "", ""],
    ["H3", "Loft", "Lagging\nin bad order", "1"],
]


def quoted(cell: str, mark: str, always: bool) -> str:
    needed = always or any(special in cell for special in (mark, '"', "\n", "\r"))
    return '"' + cell.replace('"', '""') + '"' if needed else cell


def written(rows: list[list[str]], mark: str, end: str = "\r\n", always: bool = False) -> str:
    return "".join(mark.join(quoted(cell, mark, always) for cell in row) + end for row in rows)


def is_ambiguous(row: list[str], mark: str) -> bool:
    """Whether each line of a row is as wide as the row itself, so that it reads like rows with stray quotes, or one is
    so with a cell that is one mark, so that it reads like one that repeats the cell above."""
    lines = re.split(r"\r\n|\r|\n", written([row], mark, "", always=True))
    if any('"' in line.split(mark)[:-1] and line.count(mark) + 1 == len(row) for line in lines):
        return True
    return len(lines) > 1 and all(line.count(mark) + 1 == len(row) for line in lines)


@pytest.mark.parametrize(
    ("mark", "encoding", "end"),
    list(product(",;\t|^~", ENCODINGS, ("\r\n", "\n", "\r"))),
)
def test_a_register_comes_back_in_every_dialect(mark: str, encoding: str, end: str, tmp_path: Path) -> None:
    register = [*REGISTER, ["H4", "Café £", "Board", ""]]
    content = written(register, mark, end).encode(encoding)
    assert of(content, "register.csv", tmp_path) == told(register)


@EACH
@given(
    st.sampled_from(",;\t|"),
    st.sampled_from(ENCODINGS),
    st.sampled_from(["\r\n", "\n", "\r"]),
    st.booleans(),
    st.data(),
)
def test_any_table_comes_back(mark: str, encoding: str, end: str, always: bool, data: st.DataObject) -> None:
    """Other rows tell how wide the table is; and no cell holds what might be the delimiter of another file, as of a
    few rows it could be that of this one."""
    heading = data.draw(reading.headings)
    others = set(MARKS) - {mark}
    letters = words.filter(lambda cell: is_in(cell, encoding) and not others & set(cell))
    cells = st.one_of(letters, plain_words, st.text(sorted(set('a,;\t|"\n\r') - others), max_size=5))
    rows = st.lists(cells, min_size=len(heading), max_size=len(heading))
    register = [heading, *[["a"] * len(heading)] * 12, *data.draw(st.lists(rows, max_size=8))]
    assume(not any(is_ambiguous(row, mark) for row in register))
    content = written(register, mark, end, always).encode(encoding)
    assume(content.isascii() or not encoding.startswith(("cp", "latin")) or not is_in(content, "utf-8"))
    with TemporaryDirectory() as folder:
        assert of(content, "register.txt", Path(folder)) == told(register)


def is_in(text: str | bytes, encoding: str) -> bool:
    """Whether a text can be written, or bytes be read, in an encoding."""
    try:
        text.encode(encoding) if isinstance(text, str) else text.decode(encoding)
    except UnicodeError:
        return False
    return True


@EACH
@given(st.text('ab1,"\n\r', max_size=60), st.integers(1, 7), st.integers(0, 5))
def test_blocks_read_what_careful_lines_read(text: str, size: int, usual: int) -> None:
    dialect = Dialect(",", usual)
    pieces = [text[at : at + size].encode() for at in range(0, len(text), size)]
    found = blocks.blocks(pieces, dialect, LIMITS)
    lines = re.findall(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+", text)
    expected = table(numbered(careful.careful(lines, dialect, LIMITS)), LIMITS)
    if found is not None:
        assert whole(found) == whole(expected)


@EACH
@given(st.lists(st.lists(st.text("ab é\u2028\u00a0\x0b\x1c", max_size=4), min_size=1, max_size=5), max_size=8))
def test_texts_without_quotes_are_read_by_blocks(rows: list[list[str]]) -> None:
    found = blocks.blocks([written(rows, ";", "\n").encode()], Dialect(";", 3), LIMITS)
    assert found is not None
    assert [(row["row_number"], row["cells"]) for row in whole(found)] == [
        (number, cells) for number, cells in enumerate(rows, 1) if "".join(cells) and not "".join(cells).isspace()
    ]


def whole(tables: list[pa.Table]) -> list[dict[str, object]]:
    found: list[dict[str, object]] = pa.concat_tables([NUMBERED.empty_table(), *tables]).to_pylist()
    return found


@EACH
@given(st.lists(st.lists(st.text('ab"', max_size=4), min_size=4, max_size=4), max_size=12))
def test_no_stray_quote_swallows_a_row(rows: list[list[str]]) -> None:
    """Five cells without delimiter or line break, quotes thrown in anywhere and never meant: each line is a row, where
    other rows tell how wide the table is."""
    lines = ["one,two,three,four,five", *["H,a,b,c,d"] * 12, *(",".join(["H", *cells]) for cells in rows)]
    with TemporaryDirectory() as folder:
        found = of("\n".join(lines), "register.csv", Path(folder))
    assert [number for number, _ in found] == list(range(1, len(lines) + 1))


@pytest.mark.parametrize(
    ("line", "cells"),
    [
        ('H1,6" pipe,Hall,1', ["H1", '6" pipe', "Hall", "1"]),
        ('H1,"pipe,Hall,1', ["H1", '"pipe', "Hall", "1"]),
        ('H1,pipe",Hall,1', ["H1", 'pipe"', "Hall", "1"]),
        ('H1,"6" pipe, steel",Hall,1', ["H1", '6" pipe, steel', "Hall", "1"]),
        ('"1 Elm Road, Alder","6" pipe",Hall,1', ["1 Elm Road, Alder", '"6" pipe"', "Hall", "1"]),
        ('"1 Elm Road, Alder","6 pipe,Hall,1', ["1 Elm Road, Alder", '"6 pipe', "Hall", "1"]),
        ('H1,"",Hall,1', ["H1", "", "Hall", "1"]),
        ('H1,"""",Hall,1', ["H1", '"', "Hall", "1"]),
        ('H1,"a"b"c",Hall,1', ["H1", '"a"b"c"', "Hall", "1"]),
        ("H1,Hall", ["H1", "Hall"]),
        ("H1,Hall,Board,1,more,and more", ["H1", "Hall", "Board", "1", "more", "and more"]),
    ],
)
def test_a_line_with_quotes_out_of_order_is_one_row(line: str, cells: list[str], tmp_path: Path) -> None:
    content = f"Ref,Room,Material,Extent\n{line}\nH2,Kitchen,Board,2\nH3,Loft,Board,2\n"
    assert of(content, "register.csv", tmp_path) == [
        (1, ["Ref", "Room", "Material", "Extent"]),
        (2, cells),
        (3, ["H2", "Kitchen", "Board", "2"]),
        (4, ["H3", "Loft", "Board", "2"]),
    ]


def test_two_stray_quotes_that_face_each_other_join_no_lines(tmp_path: Path) -> None:
    content = 'Ref,Room,Material,Extent\nH1,"Hall,Board,1\nH2,Loft 6",Board,1\n'
    assert [number for number, _ in of(content, "register.csv", tmp_path)] == [1, 2, 3]


def test_a_quoted_cell_of_too_many_lines_is_taken_apart(tmp_path: Path) -> None:
    content = 'a,b,c,d\n1,"' + "x\n" * 12 + '",3,4\n'
    assert len(of(content, "register.csv", tmp_path, quoted_lines_most=20)) == 2
    assert len(of(content, "register.csv", tmp_path, quoted_lines_most=10)) == 14


def test_line_breaks_and_blank_rows_count_as_a_spreadsheet_program_shows_them(tmp_path: Path) -> None:
    content = 'Register of May,,\n\n,,\nRef,Room,Notes\nH1,Hall,"one\n\ntwo"\n\nH2,Loft,\n'
    assert [number for number, _ in of(content, "register.csv", tmp_path)] == [1, 4, 5, 7]


def test_the_line_that_names_the_delimiter_is_no_row(tmp_path: Path) -> None:
    content = "sep=;\r\nRef;Extent, m2;Room, floor\r\nH1;2,5;Hall, 1\r\n"
    assert of(content, "register.csv", tmp_path) == [
        (1, ["Ref", "Extent, m2", "Room, floor"]),
        (2, ["H1", "2,5", "Hall, 1"]),
    ]
    assert of(content.replace("\n", "").replace("\r", "\r"), "mac.csv", tmp_path)[0][0] == 1


def test_a_delimiter_is_told_from_commas_in_the_text(tmp_path: Path) -> None:
    content = "Ref;Address;Extent;Note\nH1;1 Elm Road, Alder;2,5\nH2;2 Elm Road, Alder;1,0;old\nH3;3 Ash Lane, Birch\n"
    assert [len(cells) for _, cells in of(content, "register.csv", tmp_path)] == [4, 3, 4, 2]


@pytest.mark.parametrize(
    ("content", "cells"),
    [
        (b"Ref,Room\nH1,Hall\0\nH2,Kitchen\n", [["Ref", "Room"], ["H1", "Hall\ufffd"], ["H2", "Kitchen"]]),
        (b"a,b\rc,d\ne,f\r\ng,h", [["a", "b"], ["c", "d"], ["e", "f"], ["g", "h"]]),
        (b"a,\x93b\x94\nc,\x80d\n", [["a", "“b”"], ["c", "€d"]]),
        (b"a,\x81\nc,\xe9\n", [["a", "\x81"], ["c", "é"]]),
        ("a,b\u2028c\x0bd\x85e\n".encode(), [["a", "b\u2028c\x0bd\x85e"]]),
        (b"a,b,\n\n ,\t,\nc", [["a", "b", ""], ["c"]]),
    ],
)
def test_odd_bytes_are_read(content: bytes, cells: list[list[str]], tmp_path: Path) -> None:
    assert [row for _, row in of(content, "register.csv", tmp_path)] == cells


def test_a_letter_cut_in_half_by_a_block_is_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    register = [["Ref", "Räume", "Stoff", "Maß"], *([f"H{n}", "Küche ü€", "Platte", "½"] for n in range(50))]
    for size in range(7, 12):
        monkeypatch.setattr(delimited, "BLOCK_BYTES", size)
        for encoding in ("utf-8", "utf-16", "cp1252"):
            assert of(written(register, ",").encode(encoding), "register.csv", tmp_path) == told(register)


@pytest.mark.parametrize(
    ("content", "limits", "reason"),
    [
        ("a,b\n1," + "x" * 60, {"cell_characters_most": 50}, ("cells_too_large", "50")),
        ('a,b\n1,"' + "x" * 60, {"cell_characters_most": 50}, ("cells_too_large", "50")),
        ("a,b\n1," + "x" * 60, {"row_characters_most": 50}, ("row_too_large", "50")),
        ('a,b\n1,"' + "x" * 60, {"row_characters_most": 50}, ("row_too_large", "50")),
        ("a,b\n" + "," * 60 + "x", {"columns_most": 50}, ("too_many_columns", "50")),
        ('a,b\n"' + "," * 60 + "x", {"columns_most": 50}, ("too_many_columns", "50")),
        ("a,b\n1,2\n".encode("utf-16")[:-1], {}, ("cut_off", "a text in utf-16-le: truncated data")),
    ],
)
def test_each_fault_has_its_own_reason(
    content: str | bytes, limits: dict[str, int], reason: tuple[str, str], tmp_path: Path
) -> None:
    with pytest.raises(UnreadableError) as fault:
        of(content, "register.csv", tmp_path, **limits)
    assert fault.value.args == reason


def test_a_cell_as_long_as_the_limit_is_read(tmp_path: Path) -> None:
    assert of("a,b\n1," + "é" * 50, "register.csv", tmp_path, cell_characters_most=50)[1] == (2, ["1", "é" * 50])


@pytest.mark.parametrize("lines", [3, 400])
def test_physical_lines_and_rows_agree(lines: int, tmp_path: Path) -> None:
    content = written([[f"H{n}", "two\nlines", 'six" pipe', ""] for n in range(lines)], ",", "\n")
    found = of(content, "register.csv", tmp_path)
    assert content.count("\n") == sum(1 + "".join(cells).count("\n") for _, cells in found) == 2 * lines
    assert all(later - earlier == 1 for (earlier, _), (later, _) in pairwise(found))


@pytest.mark.parametrize("mark", ["\t", ",", ";"])
def test_a_cell_that_is_one_mark_repeats_the_cell_above(tmp_path: Path, mark: str) -> None:
    rows = [
        ["1", "Flat 5", "KTN", "SINK PAD"],
        ["2", '"', '"', "FLOOR TILES"],
        ["3", '"', "HALL", '"'],
        ["4", "Flat 6", "WC", "CISTERN"],
        ["5", "Flat 7", '"', "PIPE 6"],
    ]
    content = "".join(mark.join(row) + "\n" for row in rows).encode()
    assert of(content, "typed.txt", tmp_path) == told(rows)
