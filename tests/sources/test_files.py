"""Which files a portfolio holds, what each is by its bytes, and that one odd file stops no build."""

import os
import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from pipelines import queries, sources
from pipelines.errors import FolderError
from pipelines.sources import UnreadableError
from tests import portfolios
from tests.sources.reading import of

HTML = "<html><body><table><tr><td>Ref</td></tr></table></body></html>"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return portfolios.write(tmp_path / "homes", {"register.csv": [portfolios.row()]})


@pytest.mark.parametrize(
    ("content", "name", "code", "value"),
    [
        (b"", "register.csv", "empty_file", ""),
        (b"\xef\xbb\xbf \r\n", "register.csv", "empty_file", ""),
        (b"", "register.xlsx", "empty_file", ""),
        (HTML.encode(), "register.xls", "another_kind", "a web page or an XML document"),
        (HTML.encode("utf-16"), "register.xls", "another_kind", "a web page or an XML document"),
        (b'\n<?xml version="1.0"?><Workbook/>', "register.xls", "another_kind", "a web page or an XML document"),
        (b"%PDF-1.7 ...", "register.csv", "another_kind", "a PDF document"),
        (b"\x1f\x8b...", "register.csv", "another_kind", "a gzip archive"),
        (b"SQLite format 3\0", "register.csv", "another_kind", "a database"),
        (random.Random(1).randbytes(5_000), "register.csv", "another_kind", "no text and no table"),
        (b"Ref,Room\n", "register.docx", "format_not_read", ".docx"),
        (b"Ref,Room\n", "register", "format_not_read", "no ending"),
    ],
)
def test_what_is_no_table_is_named_by_what_it_seems_to_be(
    content: bytes, name: str, code: str, value: str, tmp_path: Path
) -> None:
    with pytest.raises(UnreadableError) as fault:
        of(content, name, tmp_path)
    assert fault.value.args == (code, value)


@pytest.mark.parametrize("name", ["register.xls", "register.xlsx", "register.ods", "register.parquet", "register.tsv"])
def test_a_text_is_read_under_any_name(name: str, tmp_path: Path) -> None:
    assert of("Ref,Room\nH1,Hall\n", name, tmp_path) == [(1, ["Ref", "Room"]), (2, ["H1", "Hall"])]


def found(folder: Path) -> dict[str, str | None]:
    """The reason why each file was not looked at, by path."""
    return {source.path: source.refused and source.refused[0] for source in sources.find(folder)}


def test_files_are_found_by_kind_and_path_and_hidden_ones_left_out(folder: Path) -> None:
    for path in ("registers/b/two.csv", "registers/.hidden.csv", "registers/.b/x.csv", "registers/~$lock.xlsx"):
        (folder / path).parent.mkdir(exist_ok=True)
        (folder / path).write_text("Ref", "utf-8")
    (folder / "registers" / "empty.csv").mkdir()
    assert list(found(folder)) == ["stock/homes.csv", "registers/b/two.csv", "registers/register.csv"]


def test_links_that_lead_out_are_named_and_not_followed(folder: Path, tmp_path: Path) -> None:
    secret = tmp_path / "secret.csv"
    secret.write_text("Ref\nsecret", "utf-8")
    (tmp_path / "more").mkdir()
    (tmp_path / "more" / "job.csv").write_text("Ref\nsecret", "utf-8")
    (folder / "registers" / "out.csv").symlink_to(secret)
    (folder / "registers" / "nowhere.csv").symlink_to(tmp_path / "nothing.csv")
    (folder / "registers" / "loop.csv").symlink_to(folder / "registers" / "loop.csv")
    (folder / "registers" / "self").symlink_to(folder / "registers")
    (folder / "registers" / "same.csv").symlink_to(folder / "stock" / "homes.csv")
    (folder / "works").symlink_to(tmp_path / "more")
    assert found(folder) == {
        "stock/homes.csv": None,
        "registers/loop.csv": "link_not_followed",
        "registers/nowhere.csv": "link_not_followed",
        "registers/out.csv": "link_not_followed",
        "registers/register.csv": None,
        "registers/same.csv": None,
        "registers/self": "link_not_followed",
        "works/job.csv": "link_not_followed",
    }


def test_what_may_not_be_opened_is_named(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    os.mkfifo(folder / "registers" / "pipe.csv")
    (folder / "registers" / "closed").mkdir()
    (folder / "registers" / "locked.csv").write_text("Ref", "utf-8")
    scandir, opening = os.scandir, Path.open

    def scanned(path: str) -> object:
        if str(path).endswith("closed"):
            raise PermissionError(13, "Permission denied", str(path))
        return scandir(path)

    def opened(path: Path, *arguments: object, **named: object) -> object:
        if path.name == "locked.csv":
            raise PermissionError(13, "Permission denied", str(path))
        return opening(path, *arguments, **named)  # type: ignore[call-overload]  # as it was called

    monkeypatch.setattr(os, "scandir", scanned)
    monkeypatch.setattr(Path, "open", opened)
    assert {path: code for path, code in found(folder).items() if code} == dict.fromkeys(
        ("registers/closed", "registers/locked.csv", "registers/pipe.csv"), "no_access"
    )


def test_a_portfolio_without_stock_is_told(tmp_path: Path) -> None:
    (tmp_path / "stock").write_text("not a folder", "utf-8")
    with pytest.raises(FolderError, match="there is no property list"):
        sources.find(tmp_path)


@pytest.fixture
def odd(folder: Path) -> Iterator[Path]:
    """A portfolio with one good register among odd files."""
    registers, samples = folder / "registers", folder / "samples"
    samples.mkdir()
    (samples / "may.csv").write_text("Sample,Result\nS1,Amosite\n", "utf-8")
    (samples / "june.jsonl").write_text('{"Sample": "S2"}\n', "utf-8")
    (folder / "corrections").mkdir()
    (folder / "corrections" / "links.csv").write_text("word,term\n", "utf-8")
    (registers / "empty.csv").write_bytes(b"")
    (registers / "a \n\u202e'; drop table.csv").write_text("no table", "utf-8")
    Path(os.fsdecode(os.fsencode(registers) + b"/\xff.csv")).write_text("no table", "utf-8")
    (registers / "out.csv").symlink_to("/etc/hostname")
    yield folder


def test_odd_files_are_set_aside_with_a_reason_and_the_rest_builds(odd: Path) -> None:
    database = portfolios.read(odd)
    told = portfolios.ask(database, "select path, reason_code, reason from set_aside_rows")
    assert {path: code for path, code, _ in told} == {
        "corrections/links.csv": "not_used_yet",
        "registers/\\xff.csv": "no_table",
        "registers/a \n\u202e'; drop table.csv": "no_table",
        "registers/empty.csv": "empty_file",
        "registers/out.csv": "link_not_followed",
        "samples/june.jsonl": "no_table",
    }
    assert [reason for _, _, reason in told if "{" in reason] == []
    counts = "rows_read = rows_used + rows_set_aside"
    assert portfolios.ask(database, f"select count(*) from source_files where not ({counts})") == [(0,)]
    assert portfolios.ask(
        database, "select path, rows_read from source_files where kind = 'samples' order by path"
    ) == [
        ("samples/june.jsonl", 2),
        ("samples/may.csv", 1),
    ]


def test_every_fault_of_a_file_is_told_in_words() -> None:
    with (queries.REFERENCE / "set_aside_reasons.csv").open(encoding="utf-8") as opened:
        codes = {line.partition(",")[0] for line in opened}
    package = Path(sources.__file__).parent
    spoken = [part for file in package.glob("*.py") for part in file.read_text("utf-8").split("UnreadableError(")[1:]]
    raised = {part.split('"')[1] for part in spoken if part.lstrip().startswith('"')}
    assert len(raised) > 10
    assert raised - codes == set()
