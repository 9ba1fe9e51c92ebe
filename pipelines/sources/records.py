"""Records with named fields: JSON (an object a line, one array of objects, or an object around one) and Parquet.

The names are a row like any heading, with the number 0, and the records follow as 1, 2, 3 and so on.
"""

import json
import re
from collections.abc import Iterable, Iterator
from functools import partial
from itertools import chain
from pathlib import Path
from typing import Any, TextIO

import pyarrow as pa
from pyarrow import parquet

from pipelines.sources.contents import HEAD_BYTES, encodings
from pipelines.sources.rows import Limits, Row, UnreadableError, table, text

Record = dict[str, Any]
DEEPEST = 3
"""Records within records that are taken apart; what lies deeper stays JSON."""
ABOUT_THE_FILE = re.compile(
    r"(?:[$@_]|meta|export|generat|creat|version|schema|format|count|total|page|status|limit$|offset|next|prev|links?$)",
    re.I,
)
"""Names of what an object around a whole file says of that file alone."""
LONE_HALF = re.compile("[\ud800-\udfff]")


def read_json(file: Path, limits: Limits) -> list[pa.Table]:
    """The records of a JSON file. Raises UnreadableError."""
    with file.open("rb") as opened:
        head = opened.read(HEAD_BYTES)
    for encoding in encodings(head):
        try:
            names: dict[str, None] = {}
            tables = table(enumerate(_rows(_records(file, encoding, limits), names, limits), start=1), limits)
            return [*table([_heading(names)], limits), *tables]
        except UnicodeDecodeError as error:
            fault = error
    raise UnreadableError("cut_off", f"a text in {fault.encoding}: {fault.reason}") from fault


def _heading(names: Iterable[str]) -> Row:
    return 0, [written(name) for name in names]


def _rows(records: Iterable[Record], names: dict[str, None], limits: Limits) -> Iterator[list[str]]:
    """The fields of each record in the order of `names`, which grows by every name that is new."""
    repeated = 0
    for record in records:
        for flat, beside in _taken_apart(record):
            repeated += sum(len(value) for value in beside.values() if isinstance(value, str))
            if repeated > limits["unpacked_bytes_most"]:
                raise UnreadableError("unpacks_too_large", f"{repeated:,} bytes")
            fields = flat | beside
            names.update(dict.fromkeys(fields))
            yield [written(fields.get(name)) for name in names]


def _taken_apart(record: Record, depth: int = 1) -> Iterator[tuple[Record, Record]]:
    """The fields of a record; or those of each of the records that it holds, and beside them what it says for all.

    What both name alike is by both names in the record that is held: `item.ref`.
    """
    flat = dict(_flat(record))
    holder = _holder(record, flat) if depth <= DEEPEST else None
    if holder is None:
        yield flat, {}
        return
    outer = {name: value for name, value in flat.items() if name != holder}
    for number, held in enumerate(flat[holder], start=1):
        for inner, beside in _taken_apart(_object(held, f"{holder} {number}"), depth + 1):
            named = {f"{holder.removesuffix('s')}.{name}" if name in outer else name: inner[name] for name in inner}
            yield named, outer | {name: value for name, value in beside.items() if name not in outer}


def _holder(record: Record, flat: Record) -> str | None:
    """The name of the list of records that a record is there for: the one with the most to say, if that is no less than
    what the record says by itself."""
    held = {
        name: len(set().union(*(one for one in value if isinstance(one, dict))))
        for name, value in flat.items()
        if isinstance(value, list) and value and isinstance(value[0], dict)
    }
    most = max(held.values(), default=0)
    n_beside = sum(not isinstance(value, dict | list) for value in record.values())
    is_one = list(held.values()).count(most) == 1
    return max(held, key=lambda name: held[name]) if is_one and most >= n_beside else None


def _flat(record: Record, within: str = "", depth: int = 1) -> Iterator[tuple[str, Any]]:
    """The fields of a record, those of a record within it by both names: `quantity.unit`; a list of texts as one.

    A field that says null or holds nothing is no column by itself, as it may be a record or some in other lines.
    """
    for name, value in record.items():
        if value is None or value == []:
            continue
        if isinstance(value, dict) and value and depth < DEEPEST:
            yield from _flat(value, f"{within}{name}.", depth + 1)
        elif isinstance(value, list) and all(isinstance(one, str) for one in value):
            yield within + name, ", ".join(value)
        else:
            yield within + name, value


def _records(file: Path, encoding: str, limits: Limits) -> Iterator[Record]:
    """Each object of a file."""
    with file.open(encoding=encoding) as opened:
        start = opened.read(HEAD_BYTES).lstrip("\ufeff \t\r\n")
        opened.seek(0)
        if start.startswith("["):
            yield from _of_array(opened.read(limits["json_characters_most"] + 1), limits)
            return
        if (enclosed := _enclosed(opened, limits)) is not None:
            yield enclosed
            return
        opened.seek(0)
        longest = limits["row_characters_most"]
        for number, line in enumerate(iter(partial(opened.readline, longest + 1), ""), start=1):
            if len(line) > longest:
                raise UnreadableError("row_too_large", str(longest))
            if line.strip("\ufeff \t\r\n"):
                yield _object(_parsed(line.lstrip("\ufeff"), f"line {number}"), f"line {number}")


def _enclosed(opened: TextIO, limits: Limits) -> Record | None:
    """The object of a file that is one around an array of records, as exports are, without what it says of the file
    alone; None if the file is of another kind."""
    whole = opened.read(limits["json_characters_most"] + 1)
    first, _, more = whole.lstrip("\ufeff \t\r\n").partition("\n")
    try:
        json.loads(first)
        if more.strip():
            return None
    except (ValueError, RecursionError):
        pass  # no record by itself: all may be one object over several lines
    if len(whole) > limits["json_characters_most"]:
        return None
    try:
        held = json.loads(whole.lstrip("\ufeff"))
    except (ValueError, RecursionError):
        return None
    if not isinstance(held, dict):
        return None
    said = {name: value for name, value in held.items() if isinstance(value, list) or not ABOUT_THE_FILE.match(name)}
    return said if _holder(said, dict(_flat(said))) else None


def _of_array(whole: str, limits: Limits) -> Iterator[Record]:
    if len(whole) > limits["json_characters_most"]:
        raise UnreadableError("json_too_large", str(limits["json_characters_most"]))
    for number, value in enumerate(_parsed(whole.lstrip("\ufeff"), "the array"), start=1):
        yield _object(value, f"element {number}")


def _parsed(line: str, where: str) -> Any:
    try:
        return json.loads(line)
    except (ValueError, RecursionError) as error:
        raise UnreadableError("not_json", f"{where}: {error}") from error


def _object(value: Any, where: str) -> Record:
    if not isinstance(value, dict):
        raise UnreadableError("not_json", f"{where}: no object")
    return value


def written(value: Any) -> str:
    """A field as text: what holds other fields as JSON; half a letter, which no text holds, is replaced."""
    if isinstance(value, dict | list):
        value = json.dumps(value, ensure_ascii=False, default=text)
    cell = text(value)
    return cell if cell.isascii() else LONE_HALF.sub("\ufffd", cell)


def read_parquet(file: Path, limits: Limits) -> list[pa.Table]:
    """The records of a Parquet file. Raises UnreadableError."""
    try:
        with parquet.ParquetFile(file) as opened:
            _check_sizes(opened, limits)
            rows = enumerate(_of_batches(opened), start=1)
            return table(chain([_heading(opened.schema_arrow.names)], rows), limits)
    except (pa.ArrowException, OSError, ValueError, OverflowError) as error:
        raise UnreadableError("unreadable", str(error)) from error


def _check_sizes(opened: parquet.ParquetFile, limits: Limits) -> None:
    rows, groups = opened.metadata.num_rows, range(opened.metadata.num_row_groups)
    unpacked = sum(opened.metadata.row_group(group).total_byte_size for group in groups)
    if unpacked > limits["unpacked_bytes_most"] or rows > limits["records_most"]:
        raise UnreadableError("unpacks_too_large", f"{unpacked:,} bytes in {rows:,} rows")
    if len(opened.schema_arrow.names) > limits["columns_most"]:
        raise UnreadableError("too_many_columns", str(limits["columns_most"]))


def _of_batches(opened: parquet.ParquetFile) -> Iterator[list[str]]:
    for batch in opened.iter_batches(batch_size=5_000):
        columns = [_texts(column) for column in batch.columns]
        yield from map(list, zip(*columns, strict=True)) if columns else ([] for _ in range(len(batch)))


def _texts(column: pa.Array) -> list[str]:
    if pa.types.is_string(column.type) or pa.types.is_integer(column.type):
        return column.cast(pa.string()).fill_null("").to_pylist()  # type: ignore[no-any-return]  # pyarrow has no types
    return [written(value) for value in column.to_pylist()]
