"""Workbooks of the old kind (.xls), read in a process of its own.

Their parts carry no checksums, so that damage reaches the reader, which may then fail or never end: neither must take
the build along. Run as a script, this module writes what one file holds to its output; it imports nothing but the
reader, so that a start takes hundredths of a second.
"""

import pickle
import subprocess
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from python_calamine import (
    CalamineError,
    CalamineSheet,
    CalamineWorkbook,
    PasswordError,
    SheetTypeEnum,
    SheetVisibleEnum,
)

MEMORY_BYTES = 2_000_000_000

Raw = tuple[str, bool, Iterable[list[Any]], frozenset[tuple[int, int]]]
"""Name, whether hidden, rows, and the cells over which one above is merged, each by its row and column from 1."""


def read(file: Path, seconds: int) -> list[Raw] | tuple[str, str]:
    """What each sheet holds, or the reason code and its value where it cannot be read."""
    command = [sys.executable, "-P", __file__, str(file)]
    try:
        done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, timeout=seconds, check=True)
    except subprocess.TimeoutExpired:
        return "unreadable", f"reading it did not end within {seconds} seconds"
    except subprocess.CalledProcessError:
        return "unreadable", "its parts do not fit together"
    found: list[Raw] | tuple[str, str] = pickle.loads(done.stdout)
    return found


def each_sheet(workbook: CalamineWorkbook) -> Iterator[Raw]:
    """The sheets of cells of a workbook, charts left out; rows begin with the first column."""
    for about in workbook.sheets_metadata:
        if about.typ == SheetTypeEnum.WorkSheet:
            sheet = workbook.get_sheet_by_name(about.name)
            before = [""] * sheet.start[1] if sheet.start else []
            rows = (before + row for row in sheet.iter_rows())
            yield about.name, about.visible != SheetVisibleEnum.Visible, rows, _merged(sheet)


def _merged(sheet: CalamineSheet) -> frozenset[tuple[int, int]]:
    """The cells, within the rows that say something, that are blank as the one above reaches over them."""
    last = sheet.end[0] if sheet.end else 0
    return frozenset(
        (row + 1, column + 1)
        for (first, column), (end, _) in sheet.merged_cell_ranges or ()
        for row in range(first + 1, min(end, last) + 1)
    )


def fault_of(error: CalamineError) -> tuple[str, str]:
    """The reason code and its value for what the reader says."""
    return ("encrypted", "") if isinstance(error, PasswordError) else ("unreadable", str(error))


def main() -> None:
    """Write what the file named on the command line holds."""
    if sys.platform != "win32":
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    try:
        with CalamineWorkbook.from_path(sys.argv[1]) as workbook:
            answer: object = [
                (name, is_hidden, list(rows), merged) for name, is_hidden, rows, merged in each_sheet(workbook)
            ]
    except CalamineError as error:
        answer = fault_of(error)
    sys.stdout.buffer.write(pickle.dumps(answer))


if __name__ == "__main__":
    main()
