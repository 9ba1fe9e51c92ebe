"""What a person may decide on a page: the only place of the dashboard that writes. Nothing here knows Streamlit.

A decision is one line, with who, when and why, in the file of `corrections/` that its kind has; no text of a register
or of a reader ever names a file. A build reads it; until then nothing else changes. An existing file keeps its
encoding, delimiter, line ends and the order of its columns. It is read whole, written anew beside itself and moved into
its place, one writer at a time.

What a spreadsheet program would run as a formula gets a leading quote mark where a build does not mind marks. Paths,
sheets and what names a property are written as they are, or they would name nothing.
"""

import codecs
import csv
import os
import re
import shutil
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from io import StringIO
from pathlib import Path
from typing import IO

from pipelines import exports
from pipelines.errors import CorrectionError

CORRECTIONS = "corrections"
SIGNED = ("who", "on", "why")
MADE_HARMLESS = ("heading", "written", "who", "why")
LOCK = ".lock"
MARKS = ",;\t|"
LINE_ENDS = ("\r\n", "\n", "\r")
CONTROL = re.compile(r"[\x00-\x1f\x7f\x85\u2028\u2029]+")
BY_HAND = "Append the line by hand."


@dataclass(frozen=True)
class Kind:
    """A file of decisions: the columns that say what is asked about, and those that answer."""

    file: str
    asked: tuple[str, ...]
    answer: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        """The heading of the file."""
        return (*self.asked, *self.answer, *SIGNED)


AS_WRITTEN = ("property_ref_as_written", "uprn_as_written", "address_as_written", "postcode_as_written")
ITEM = ("item_path", "item_sheet", "item_row", "item_part")
KINDS = {
    "heading": Kind("headings.csv", ("path", "sheet", "heading"), ("field",)),
    "term": Kind("terms.csv", ("field", "written"), ("term",)),
    "property": Kind("properties.csv", AS_WRITTEN, ("property_ref",)),
    "item link": Kind("links.csv", ("path", "sheet", "row", "part"), ITEM),
    "factor": Kind("factors.csv", ("path", "sheet", "row", "part", "field"), ("value",)),
    "accepted": Kind("accepted.csv", ("path", "sheet", "row", "doubt")),
}


@dataclass(frozen=True)
class Answer:
    """What somebody decided, and who, when and why, as the file has it."""

    cells: tuple[str, ...]
    who: str
    on: str
    why: str


@dataclass(frozen=True)
class Written:
    """A file before and after a decision was written to it; `before` is None where there was none."""

    file: Path
    before: bytes | None
    after: bytes


@dataclass(frozen=True)
class _Text:
    """A file of decisions taken apart: what stands in it, and how."""

    text: str
    encoding: str
    mark: str
    end: str
    names: list[str]
    rows: list[list[str]]


def why_not(folder: Path) -> str | None:
    """Why nothing can be written to a portfolio folder, None where something can."""
    if not (folder / "stock").is_dir():
        return "the files that these figures were made from are not here, only the result"
    corrections = folder / CORRECTIONS
    if not os.access(corrections if corrections.exists() else folder, os.W_OK | os.X_OK):
        return f"the folder {corrections} may not be written to"
    return None


def key(kind: str, asked: Sequence[str]) -> tuple[str, ...]:
    """What is asked about, as its cells stand in the file."""
    return tuple(_cell(name, text) for name, text in zip(KINDS[kind].asked, asked, strict=True))


def answers(folder: Path, kind: str) -> dict[tuple[str, ...], Answer]:
    """The last answer to each thing asked about, by its cells; none where the file cannot be read."""
    file = folder / CORRECTIONS / KINDS[kind].file
    try:
        return _answers(_taken_apart(file, KINDS[kind]), KINDS[kind]) if file.is_file() else {}
    except (CorrectionError, OSError):
        return {}


def decide(
    folder: Path, kind: str, told: Mapping[tuple[str, ...], tuple[str, ...]], who: str, on: date, why: str = ""
) -> Written | None:
    """Append what was told, the answering cells by what is asked about, a line each; None where all of it stands there
    already as the last answer. Raises CorrectionError."""
    form = KINDS[kind]
    if not who.strip():
        raise CorrectionError("The answer", "it does not say who decided", todo="Give your name.")
    if reason := why_not(folder):
        raise CorrectionError(f"{CORRECTIONS}/{form.file}", reason, todo=BY_HAND)
    rows = [
        {
            name: _cell(name, text)
            for name, text in zip(form.columns, (*asked, *answer, who, on.isoformat(), why), strict=True)
        }
        for asked, answer in told.items()
    ]
    try:
        with _alone(folder) as corrections:
            return _append(corrections / form.file, form, rows)
    except OSError as error:
        raise CorrectionError(
            f"{CORRECTIONS}/{form.file}",
            "it cannot be written",
            got=error.strerror or "an error of the disk",
            todo=BY_HAND,
        ) from error


def is_last(written: Written) -> bool:
    """Whether a file is still as it was right after a decision was written."""
    try:
        return written.file.read_bytes() == written.after
    except OSError:
        return False


def take_back(written: Written) -> bool:
    """Make a file as it was before a decision; False where somebody has written to it since."""
    with _alone(written.file.parent.parent):
        if not is_last(written):
            return False
        if written.before is None:
            written.file.unlink()
        else:
            _replace(written.file, written.before)
        return True


def _append(file: Path, kind: Kind, rows: Sequence[Mapping[str, str]]) -> Written | None:
    """Add the rows that do not stand there already."""
    before = _bytes(file)
    found = _new(kind) if before is None else _taken_apart(file, kind)
    stands = _answers(found, kind)
    new = [row for row in rows if not _is_answered(row, kind, stands)]
    if not new:
        return None
    lacking = [name for name in kind.columns if name not in found.names and any(row[name] for row in new)]
    if lacking:
        raise CorrectionError(
            f"{CORRECTIONS}/{file.name}",
            "its columns are not the known ones",
            got=", ".join(found.names),
            expected=", ".join(kind.columns),
            todo=f"Name them so, or move the file away. {BY_HAND}",
        )
    text = found.text + _lines(found, new)
    if len(_rows(_body(text), found.mark)) != 1 + len(found.rows) + len(new):
        raise CorrectionError(
            f"{CORRECTIONS}/{file.name}", "a quotation mark in it is not closed", todo="Mend the file and answer again."
        )
    try:
        after = text.encode(found.encoding)
    except UnicodeEncodeError as error:
        raise CorrectionError(
            f"{CORRECTIONS}/{file.name}",
            f"it is kept in {found.encoding}, which has no {error.object[error.start]!r}",
            todo="Save the file as csv UTF-8 and answer again.",
        ) from error
    _replace(file, after)
    return Written(file, before, after)


def _bytes(file: Path) -> bytes | None:
    """What a file holds, None where there is none. Raises CorrectionError for what is no file to write to."""
    if file.is_symlink() or (file.exists() and not file.is_file()):
        raise CorrectionError(f"{CORRECTIONS}/{file.name}", "it is no plain file", todo=f"Move it away. {BY_HAND}")
    if not file.exists():
        return None
    if not os.access(file, os.W_OK):
        raise CorrectionError(f"{CORRECTIONS}/{file.name}", "it may not be written to", todo=BY_HAND)
    return file.read_bytes()


def _new(kind: Kind) -> _Text:
    return _Text(",".join(kind.columns) + "\n", "utf-8", ",", "\n", list(kind.columns), [])


def _taken_apart(file: Path, kind: Kind) -> _Text:
    """The text of a file, divided by the mark that makes most of the known columns of its heading."""
    data = file.read_bytes()
    encoding = "utf-8-sig" if data.startswith(codecs.BOM_UTF8) else "utf-8"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        encoding = "cp1252"
        text = data.decode(encoding, "replace")
    if not text.strip():
        text = _new(kind).text
    divided = {mark: _rows(_body(text), mark) for mark in MARKS}
    names = {mark: [cell.strip().lower() for cell in rows[0]] if rows else [] for mark, rows in divided.items()}
    mark = max(MARKS, key=lambda one: len(set(kind.columns) & set(names[one])))
    end = next((end for end in LINE_ENDS if end in text), "\n")
    return _Text(text, encoding, mark, end, names[mark], divided[mark][1:])


def _body(text: str) -> str:
    """A text without the line that names its delimiter, which spreadsheet programs take for no row."""
    return re.sub(r"\Asep=.(\r\n|\n|\r)", "", text, flags=re.IGNORECASE)


def _rows(text: str, mark: str) -> list[list[str]]:
    try:
        return [row for row in csv.reader(StringIO(text, newline=""), delimiter=mark) if any(map(str.strip, row))]
    except csv.Error:
        return []


def _answers(found: _Text, kind: Kind) -> dict[tuple[str, ...], Answer]:
    answered: dict[tuple[str, ...], Answer] = {}
    for cells in found.rows:
        row = dict(zip(found.names, map(str.strip, cells), strict=False))
        asked, answer = (tuple(row.get(name, "") for name in names) for names in (kind.asked, kind.answer))
        # A later answer stands, and stands later.
        answered.pop(asked, None)
        answered[asked] = Answer(answer, *(row.get(name, "") for name in SIGNED))
    return answered


def _is_answered(row: Mapping[str, str], kind: Kind, stands: Mapping[tuple[str, ...], Answer]) -> bool:
    last = stands.get(tuple(row[name] for name in kind.asked))
    return last is not None and last.cells == tuple(row[name] for name in kind.answer)


def _lines(found: _Text, rows: Iterable[Mapping[str, str]]) -> str:
    """The rows as lines to add to a text, which goes on ending as it did."""
    written = StringIO(newline="")
    writer = csv.writer(written, delimiter=found.mark, lineterminator=found.end)
    writer.writerows([row.get(name, "") for name in found.names] for row in rows)
    lines = written.getvalue()
    return lines if found.text.endswith(LINE_ENDS) else found.end + lines.removesuffix(found.end)


def _cell(name: str, text: str) -> str:
    """A text as it stands in a column: on one line."""
    line = CONTROL.sub(" ", text).strip()
    return exports.harmless(line) if name in MADE_HARMLESS else line


@contextmanager
def _alone(folder: Path) -> Iterator[Path]:
    """The folder of decisions, made if need be, for as long as nobody else may write to it."""
    corrections = folder / CORRECTIONS
    if not Path(os.path.realpath(corrections)).is_relative_to(os.path.realpath(folder)):
        raise CorrectionError(CORRECTIONS, "it leads out of the portfolio folder", todo=BY_HAND)
    corrections.mkdir(exist_ok=True)
    with (corrections / LOCK).open("a", encoding="utf-8") as lock:
        _hold(lock)
        yield corrections


if sys.platform == "win32":
    import msvcrt

    def _hold(lock: IO[str]) -> None:
        msvcrt.locking(lock.fileno(), msvcrt.LK_LOCK, 1)
else:
    import fcntl

    def _hold(lock: IO[str]) -> None:
        """Wait until this process alone holds a lock; it goes when the file is closed."""
        fcntl.flock(lock, fcntl.LOCK_EX)


def _replace(file: Path, data: bytes) -> None:
    """Make a file hold these bytes in one step, with the rights that it had."""
    unfinished = file.with_name(f".{file.name}.unfinished")
    unfinished.unlink(missing_ok=True)
    try:
        with unfinished.open("xb") as opened:
            opened.write(data)
            opened.flush()
            os.fsync(opened.fileno())
        if file.exists():
            shutil.copymode(file, unfinished)
        unfinished.replace(file)
    finally:
        unfinished.unlink(missing_ok=True)
