"""What people decide is written as one line, whatever it says, and a file of theirs stays what it was."""

import csv
import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from dashboard import actions
from pipelines.errors import CorrectionError
from tests import portfolios

ON = date(2026, 11, 20)
WORD, TERM = ("product", "Stuffo"), ("textile",)
HOSTILE = 'x", "y; drop table items; --\r\n<script>alert(1)</script>\t../../etc\u2028z'
TERMS = "corrections/terms.csv"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A portfolio folder in which nobody has decided anything."""
    (tmp_path / "stock").mkdir()
    return tmp_path


def kept(folder: Path, data: bytes) -> Path:
    """The file of words as somebody left it."""
    file = folder / TERMS
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(data)
    return file


def told(folder: Path, word: str = "Stuffo", who: str = "A. Person", why: str = "") -> actions.Written | None:
    return actions.decide(folder, "term", {("product", word): TERM}, who, ON, why)


def test_the_first_answer_makes_the_file_with_its_heading(folder: Path) -> None:
    assert told(folder, why="asked the surveyor")
    assert (folder / TERMS).read_bytes() == (
        b"field,written,term,who,on,why\nproduct,Stuffo,textile,A. Person,2026-11-20,asked the surveyor\n"
    )


@pytest.mark.parametrize("kind", actions.KINDS)
def test_hostile_text_is_one_line_of_the_file_of_its_kind_and_is_read_back(kind: str, folder: Path) -> None:
    form = actions.KINDS[kind]
    asked, answer = (HOSTILE,) * len(form.asked), (HOSTILE,) * len(form.answer)
    actions.decide(folder, kind, {asked: answer}, HOSTILE, ON, HOSTILE)
    file = folder / "corrections" / form.file
    assert {path for path in folder.rglob("*") if path.is_file()} == {file, file.with_name(actions.LOCK)}
    assert len(file.read_text(encoding="utf-8").splitlines()) == 2
    found = actions.answers(folder, kind)[actions.key(kind, asked)]
    assert found.cells == tuple(HOSTILE.replace("\r\n", " ").replace("\t", " ").replace("\u2028", " ") for _ in answer)


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@x", "=cmd|' /C calc'!A0"])
def test_no_text_that_a_build_need_not_have_as_it_is_runs_as_a_formula(text: str, folder: Path) -> None:
    told(folder, word=text, who=text, why=text)
    with (folder / TERMS).open(encoding="utf-8", newline="") as opened:
        row = next(csv.DictReader(opened))
    assert {row["written"], row["who"], row["why"]} == {f"'{text}"}
    assert actions.key("term", ("product", text)) in actions.answers(folder, "term")


@pytest.mark.parametrize(
    ("before", "after"),
    [
        pytest.param(
            b"\xef\xbb\xbffield,written,term,who,on,why\r\n",
            b"\xef\xbb\xbffield,written,term,who,on,why\r\nproduct,Stuffo,textile,A. Person,2026-11-20,\r\n",
            id="a byte order mark and Windows line ends",
        ),
        pytest.param(
            b"who;on;term;field;written;why;Checked\nB;2026-01-01;low;damage;x;;yes\n",
            b"who;on;term;field;written;why;Checked\nB;2026-01-01;low;damage;x;;yes\n"
            b"A. Person;2026-11-20;textile;product;Stuffo;;\n",
            id="semicolons, another order and a column more",
        ),
        pytest.param(
            b"sep=;\nfield;written;term;who;on;why\n",
            b"sep=;\nfield;written;term;who;on;why\nproduct;Stuffo;textile;A. Person;2026-11-20;\n",
            id="a line that names the delimiter",
        ),
        pytest.param(
            b'Field,Written,Term,Who,On,Why\ndamage,"a\nb",low,B,2026-01-01,',
            b'Field,Written,Term,Who,On,Why\ndamage,"a\nb",low,B,2026-01-01,\n'
            b"product,Stuffo,textile,A. Person,2026-11-20,",
            id="no last newline, and a cell of two lines",
        ),
        pytest.param(
            "field,written,term,who,on,why\ndamage,schäbig,low,B,2026-01-01,\n".encode("cp1252"),
            "field,written,term,who,on,why\ndamage,schäbig,low,B,2026-01-01,\n".encode("cp1252")
            + b"product,Stuffo,textile,A. Person,2026-11-20,\n",
            id="an old encoding",
        ),
        pytest.param(
            b"",
            b"field,written,term,who,on,why\nproduct,Stuffo,textile,A. Person,2026-11-20,\n",
            id="an empty file",
        ),
    ],
)
def test_a_file_that_is_there_stays_what_it_is(before: bytes, after: bytes, folder: Path) -> None:
    file = kept(folder, before)
    file.chmod(0o640)
    told(folder)
    assert file.read_bytes() == after
    assert file.stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize(
    ("before", "wrong"),
    [
        (b"word,meaning\nx,y\n", "its columns are not the known ones"),
        (b"field,written,term,who,why\n", "its columns are not the known ones"),
        (b"PK\x03\x04\x00\x81\x8d", "its columns are not the known ones"),
        (b'field,written,term,who,on,why\ndamage,"x,low,B,2026-01-01,\n', "a quotation mark in it is not closed"),
        ("field,written,term,who,on,why\n".encode("utf-16"), "its columns are not the known ones"),
    ],
)
def test_a_file_that_is_not_understood_is_left_alone_with_a_message(before: bytes, wrong: str, folder: Path) -> None:
    file = kept(folder, before)
    with pytest.raises(CorrectionError, match=wrong):
        told(folder)
    assert file.read_bytes() == before


def test_a_letter_that_an_old_encoding_lacks_is_named(folder: Path) -> None:
    file = kept(folder, "field,written,term,who,on,why\ndamage,schäbig,low,B,2026-01-01,\n".encode("cp1252"))
    before = file.read_bytes()
    with pytest.raises(CorrectionError, match="cp1252, which has no 'Ω'"):
        told(folder, word="Ω")
    assert file.read_bytes() == before


def test_the_same_answer_is_written_once_and_another_one_after_it(folder: Path) -> None:
    assert told(folder)
    once = (folder / TERMS).read_bytes()
    assert told(folder) is None
    assert (folder / TERMS).read_bytes() == once
    actions.decide(folder, "term", {WORD: ("floor_tile",)}, "B. Person", ON)
    assert actions.answers(folder, "term")[WORD] == actions.Answer(("floor_tile",), "B. Person", "2026-11-20", "")
    assert told(folder), "to come back to an answer is a new one"


def test_many_writers_at_once_lose_no_line_and_tear_none(folder: Path) -> None:
    code = (
        "import sys; from datetime import date; from pathlib import Path; from dashboard import actions\n"
        "for n in range(25):\n"
        "    told = {('product', f'{sys.argv[2]} {n}'): ('textile',)}\n"
        "    actions.decide(Path(sys.argv[1]), 'term', told, 'A', date.today())"
    )
    env = os.environ | {"PYTHONPATH": str(Path(actions.__file__).parents[1])}
    writers = [subprocess.Popen([sys.executable, "-c", code, str(folder), name], env=env) for name in ("one", "two")]
    assert [writer.wait(60) for writer in writers] == [0, 0]
    assert set(actions.answers(folder, "term")) == {
        ("product", f"{name} {n}") for name in ("one", "two") for n in range(25)
    }
    assert sorted(path.name for path in (folder / "corrections").iterdir()) == [actions.LOCK, "terms.csv"]


def test_a_decision_is_taken_back_only_while_it_is_the_last(folder: Path) -> None:
    first = told(folder)
    second = told(folder, word="More")
    assert first and second
    assert not actions.take_back(first)
    assert actions.take_back(second)
    assert set(actions.answers(folder, "term")) == {WORD}
    assert actions.take_back(first)
    assert not (folder / TERMS).exists()


def test_an_answer_needs_a_name(folder: Path) -> None:
    with pytest.raises(CorrectionError, match="Give your name"):
        told(folder, who=" \t")
    assert not (folder / "corrections").exists()


def test_nothing_is_written_outside_the_folder(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    (folder / "corrections").symlink_to(elsewhere)
    with pytest.raises(CorrectionError, match="leads out of the portfolio folder"):
        told(folder)
    (folder / "corrections").unlink()
    (folder / "corrections").mkdir()
    (folder / TERMS).symlink_to(elsewhere / "terms.csv")
    with pytest.raises(CorrectionError, match="no plain file"):
        told(folder)
    assert list(elsewhere.iterdir()) == []


def test_what_cannot_be_written_to_says_so(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    assert actions.why_not(folder) == f"the folder {folder / 'corrections'} may not be written to"
    with pytest.raises(CorrectionError, match="Append the line by hand"):
        told(folder)
    monkeypatch.undo()
    assert actions.why_not(folder) is None
    (folder / "stock").rmdir()
    assert actions.why_not(folder) == "the files that these figures were made from are not here, only the result"


def test_a_disk_that_fails_is_a_message_and_leaves_the_file(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told(folder)
    before = (folder / TERMS).read_bytes()

    def fails(file: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fails)
    with pytest.raises(CorrectionError, match="No space left on device"):
        told(folder, word="More")
    assert (folder / TERMS).read_bytes() == before
    assert sorted(path.name for path in (folder / "corrections").iterdir()) == [actions.LOCK, "terms.csv"]


@pytest.mark.parametrize("data", ["a\u2028b, c", '6" pipe; "stuff"', "=stuff", " stuff  inside "])
def test_a_build_reads_what_was_written(data: str, tmp_path: Path) -> None:
    folder = portfolios.write(tmp_path, {"register.csv": [portfolios.row(Material=data)]})
    told(folder, word=data)
    result = portfolios.build(folder)
    assert portfolios.ask(result, "select product from entries") == [("textile",)]
    assert portfolios.ask(result, "select count(*) from open_questions where kind = 'term'") == [(0,)]
