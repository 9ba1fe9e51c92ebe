"""Results that stand on the sheets of the items themselves: a small table of samples below a register, or a line such
as `S12 riser panel - no asbestos detected`.

Their rows are no items. They are left out of the register's rows and read as a laboratory's, of the samples of that
sheet.
"""

import re
from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

import duckdb
import pyarrow as pa

from pipelines import queries
from pipelines.register import layout
from pipelines.register.layout import Numbered
from pipelines.register.reader import Reader
from pipelines.register.results import Result, known_words, read
from pipelines.register.words import plain

ITEMS = {"room", "product"}
OF_ITEMS = {"extent", "damage", "damage_score", "surface", "surface_treatment_score", "accessibility", "material_score"}
"""What no table of results has."""
ANSWERS = {"analysis_result", "asbestos_types"}
THIN = 2
WIDEST = 6
LONGEST_TITLE = 80
ONE = r"(?:(?i:samples?\s*(?:(?:no|nr)\.?)?\s*)[A-Z]{0,5}[-/. ]?|[A-Za-z]{1,5}[-/.]?)\d{1,6}[A-Za-z]?(?:[-/.]\d{1,6})*"
AND = r"\s*(?:,|&|\+|/|-|–|\band\b|\bto\b)\s*(?:both\s+)?"
SAMPLES = re.compile(rf"{ONE}(?:{AND}{ONE})*")
WITHIN = re.compile(rf"(?<![\w/-]){ONE}(?![\w/-])")
AS_ELSEWHERE = re.compile(
    r"\b(?:as(?: per)?|see|ref(?:er(?:red)? to)?|same as|similar to|like|x[- ]?ref)[.:]*\s*$", re.I
)
MARKS = re.compile(r"^(?:samples?\s*(?:(?:no|nr)\.?)?\s*)?|[^A-Z0-9]|(?<![0-9])0+(?=[0-9])", re.I)
SPEAKS = re.compile(r"\b(?:samples?|laborator(?:y|ies)|labs?|analys(?:is|ed|es)|results?)\b", re.I)
TITLE = re.compile(r"\b(?:samples?|(?:lab\w*|analys\w+|sampl\w+) results?|results? of)\b", re.I)
A_YEAR = re.compile(r"\b(?:19|20)\d\d\b")
BRACKETS = re.compile(r"\([^()]*\)")
ENDS = re.compile(r"[.;](?:\s|$)")
BETWEEN = re.compile(
    r"(?:^|\s+)[-–—]+\s+|\s*[:=]\s*|(?:^|,?\s+)(?:is|are|was|were|came back(?: as)?|contain(?:s|ed)"
    r"|found to (?:be|contain)|tested|proved)\s+",
    re.I,
)
COLOURS = re.compile(r"\b(?:white|brown|blue|gr[ea]y)\b", re.I)
YES_OR_NO = frozenset(("y", "yes", "true", "n", "no", "false", "none"))
CERTIFICATE = re.compile(r"\bcert(?:ificate)?\.?\s*(?:(?:no|nr)\.?)?\s*([A-Z0-9][\w/-]*\d[\w/-]*)", re.I)
PLACE = (("path", pa.string()), ("sheet", pa.string()), ("row_number", pa.int32()))
FOOT_ROWS = pa.schema([*PLACE, ("kind", pa.string())])
SAID = ("part", "sample_ref", "what", "result", "certificate_ref")
FOOT_SAMPLES = pa.schema([*PLACE, ("part", pa.int32()), *((name, pa.string()) for name in SAID[1:])])
RESULTS, AROUND = "results", "results layout"

Reads = Callable[[str], Result]


class Sample(NamedTuple):
    """What a row or a part of a line says was found in a sample, or in several that are alike."""

    number: int
    part: int
    sample_ref: str
    what: str | None
    result: str | None
    certificate_ref: str | None


class Foot(NamedTuple):
    """What stands on a sheet of results: the samples, and the rows of titles and headings around them."""

    samples: list[Sample]
    around: list[int]


def read_foots(con: duckdb.DuckDBPyConnection, registers: Reader, samples: Reader) -> None:
    """Make `foot_rows` (one row a row of a register's sheet that is of results, by its line) and `foot_samples` (one
    row a sample in them, by the row of the file)."""
    outcomes, types = known_words(con)
    rows_here: list[tuple[object, ...]] = []
    found: list[tuple[object, ...]] = []
    sheets = groupby(queries.tuples(con, "register", "rows_with_results"), key=lambda row: row[:2])
    for (path, sheet), lines in sheets:
        rows = [line[2:] for line in lines]
        sources = {number: source for number, source, _ in rows}
        foot = find(
            [(number, cells) for number, _, cells in rows],
            registers,
            samples,
            lambda text: read(text, outcomes, types),
        )
        kinds = {one.number: RESULTS for one in foot.samples} | dict.fromkeys(foot.around, AROUND)
        rows_here += [(path, sheet, number, kind) for number, kind in kinds.items()]
        found += [(path, sheet, sources[one.number], *one[1:]) for one in foot.samples]
    queries.insert(con, "foot_rows", _table(rows_here, FOOT_ROWS), is_step=True)
    queries.insert(con, "foot_samples", _table(found, FOOT_SAMPLES), is_step=True)


def _table(rows: Sequence[Sequence[object]], schema: pa.Schema) -> pa.Table:
    return pa.Table.from_pylist([dict(zip(schema.names, row, strict=True)) for row in rows], schema=schema)


def find(rows: Sequence[Numbered], registers: Reader, samples: Reader, reads: Reads) -> Foot:
    """The results below the items of a sheet.

    A table of them is opened by a title (`Samples taken this year`) or a heading of its own; its rows begin with a
    sample, most of which rows of items name as theirs, and say what was found in some. A line counts whose samples rows
    of items name, and which says what was found.
    """
    start = next((nth for nth, (_, cells) in enumerate(rows) if _is_of_items(cells, registers)), None)
    foot = Foot([], [])
    if start is None:
        return foot
    tables = list(_tables(rows[start + 1 :], registers, samples))
    inside = {number for table in tables for number, _ in table.rows}
    names = [_own(cells) for number, cells in rows[start + 1 :] if number not in inside]
    named: set[str] = set().union(*names)
    for table in tables:
        if said := table.samples(named, reads):
            foot.samples.extend(said)
            foot.around.extend(table.around)
    for number, cells in rows[start + 1 :]:
        filled = _filled(cells)
        if number not in inside and 0 < len(filled) <= THIN:
            said = list(of_line(number, " ".join(filled), named, reads))
            foot.samples.extend(said)
            if said and number in foot.around:
                foot.around.remove(number)
    return foot


class Table(NamedTuple):
    """Rows that begin with a sample, below a title or a heading."""

    around: list[int]
    rows: list[tuple[int, Sequence[str]]]
    answers_at: int | None

    def samples(self, named: Collection[str], reads: Reads) -> list[Sample]:
        """What the rows say, if most of their samples are those of items, and something was found in any of them."""
        said = [_of_row(number, cells, self.answers_at, reads) for number, cells in self.rows]
        n_named = sum(not keys(one.sample_ref).isdisjoint(named) for one in said)
        is_answered = any(one.result and reads(one.result).outcome for one in said)
        return said if is_answered and 2 * n_named >= len(said) else []


def _tables(rows: Sequence[Numbered], registers: Reader, samples: Reader) -> Iterator[Table]:
    """The runs of rows that begin with a sample, each with the title and heading above it."""
    table: Table | None = None
    above: Sequence[str] = []
    for number, cells in rows:
        filled = _filled(cells)
        is_heading = _is_heading(cells, samples, registers)
        is_empty = table is not None and not table.rows
        if (is_heading and not is_empty) or _is_title(filled):
            yield from _closed(table)
            table = Table([number], [], _answers_at(cells, samples) if is_heading else None)
        elif table and is_empty and (is_heading or _is_words(filled)):
            table = Table([*table.around, number], [], _answers_at(cells, samples))
        elif table and THIN <= len(filled) <= WIDEST and SAMPLES.fullmatch(filled[0]):
            above = _repeated(cells, above)
            table.rows.append((number, above))
        elif len(filled) > THIN:
            yield from _closed(table)
            table = None
    yield from _closed(table)


def _closed(table: Table | None) -> Iterator[Table]:
    if table and table.rows:
        yield table


def _repeated(cells: Sequence[str], above: Sequence[str]) -> list[str]:
    """Cells with what a mark repeats."""
    return [above[at] if layout.is_ditto(cell) and at < len(above) else cell.strip() for at, cell in enumerate(cells)]


def _filled(cells: Sequence[str]) -> list[str]:
    return [cell.strip() for cell in cells if cell.strip()]


def _is_of_items(cells: Sequence[str], registers: Reader) -> bool:
    """Whether a row is the heading of a table of items."""
    return layout.is_heading(cells, registers.field_of, registers.least_fields) and not ITEMS.isdisjoint(
        registers.field_of(cell) for cell in cells if cell.strip()
    )


def _is_title(filled: Sequence[str]) -> bool:
    text = A_YEAR.sub("", " ".join(filled))
    return (
        len(filled) <= THIN
        and len(text) <= LONGEST_TITLE
        and TITLE.search(text) is not None
        and not SAMPLES.match(text)
    )


def _is_heading(cells: Sequence[str], samples: Reader, registers: Reader) -> bool:
    """Whether a row heads a table of samples and what was found, and not one of items with their condition."""
    filled = _filled(cells)
    fields = {name for cell in filled for name in samples.fields_of(cell)}
    return (
        THIN <= len(filled) <= WIDEST
        and "sample_ref" in fields
        and not ANSWERS.isdisjoint(fields)
        and OF_ITEMS.isdisjoint(registers.field_of(cell) for cell in filled)
    )


def _is_words(filled: Sequence[str]) -> bool:
    """Whether a row may be a heading: several short words without figures."""
    return len(filled) > 1 and all(len(text) <= layout.LONGEST_LABEL and not re.search(r"\d", text) for text in filled)


def _answers_at(cells: Sequence[str], samples: Reader) -> int | None:
    """The column that a heading says is of what was found."""
    return next((at for at, cell in enumerate(cells) if not ANSWERS.isdisjoint(samples.fields_of(cell))), None)


def keys(text: str) -> set[str]:
    """The samples that a text names, boiled down: `S-001` is `S1`."""
    return {MARKS.sub("", one[0]).upper() for one in WITHIN.finditer(text)}


def _own(cells: Sequence[str]) -> set[str]:
    """The samples that a row of an item names as its own, not `as S12`."""
    if len(_filled(cells)) <= THIN:
        return set()
    return {
        MARKS.sub("", one[0]).upper()
        for cell in cells
        for one in WITHIN.finditer(cell)
        if not AS_ELSEWHERE.search(cell[: one.start()])
    }


def _of_row(number: int, cells: Sequence[str], answers_at: int | None, reads: Reads) -> Sample:
    """What a row of a table says: by the column of results, else by the cells that can be results."""
    ref, *others = _filled(cells)
    answer = layout.at_or_blank(cells, answers_at) if answers_at is not None else ""
    first = None if len(others) < 2 or others[0] == answer else others[0]
    if not answer:
        read_as = [text for text in others if plain(text) not in YES_OR_NO or len(others) == 1]
        said = [text for text in read_as if text != first and reads(text).outcome]
        if not said and first and reads(first).how == "known":
            said, first = [first], None
        answer = ", ".join(said) or others[-1]
    certificate = CERTIFICATE.search(" ".join(others))
    return Sample(number, 1, ref, first, answer, certificate[1] if certificate else None)


def of_line(number: int, text: str, named: Collection[str], reads: Reads) -> Iterator[Sample]:
    """What a line says of samples that items name: `Samples: S1 lining - amosite. S2 and S3 both clear.`"""
    certificate = CERTIFICATE.search(text)
    bare = BRACKETS.sub(" ", text)
    marks = [one for one in SAMPLES.finditer(bare) if _is_apart(bare, one) and not keys(one[0]).isdisjoint(named)]
    if not marks or not (SPEAKS.search(text) or not bare[: marks[0].start()].strip(" *•-–")):
        return
    part = 0
    ends = [*(one.start() for one in marks[1:]), len(bare)]
    for one, end in zip(marks, ends, strict=True):
        piece = ENDS.split(bare[one.end() : end])[0].strip(" ,")
        what, answer = _answer(piece, reads)
        if answer and not AS_ELSEWHERE.search(bare[: one.start()]):
            part += 1
            yield Sample(number, part, one[0], what, answer, certificate[1] if certificate else None)


def _is_apart(text: str, found: re.Match[str]) -> bool:
    return WITHIN.match(text, found.start()) is not None


def _answer(piece: str, reads: Reads) -> tuple[str | None, str | None]:
    """What a sample was taken of and what was found, of the words behind it; a colour alone may be the material's."""
    ends = list(BETWEEN.finditer(piece))
    for end in reversed(ends):
        if _tells(answer := piece[end.end() :].strip(), reads):
            return piece[: end.start()].strip() or None, answer
    return None, piece if not ends and _tells(piece, reads) else None


def _tells(answer: str, reads: Reads) -> bool:
    result = reads(answer)
    is_of_material = COLOURS.search(answer) is not None and "asbestos" not in answer.lower()
    return result.outcome is not None and (result.how == "known" or not is_of_material)
