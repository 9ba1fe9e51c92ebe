"""What workbooks held, kept beside the portfolio under the hash of their bytes, so that each is read once.

Everything here can be deleted. A kept file that is damaged is not believed: its pages carry checksums.
"""

import json
from dataclasses import dataclass, field
from pathlib import Path

import pyarrow as pa
from pyarrow import parquet

from pipelines.sources.rows import NUMBERED, Sheet

READER = "4"
"""To be counted up whenever the same workbook would be read otherwise than before."""
KEPT = pa.schema([("at", pa.int32()), *NUMBERED])
SHEETS = b"undisturbed sheets"


@dataclass(frozen=True)
class Kept:
    """The folder of what is kept, or nothing where none is to be kept; `used` names what this build asked for."""

    folder: Path | None
    used: set[str] = field(default_factory=set)

    def get(self, sha256: str) -> list[Sheet] | None:
        """The sheets of a workbook with these bytes, None where they are not kept or not whole."""
        file = self._file(sha256)
        if file is None:
            return None
        try:
            found = parquet.read_table(file, page_checksum_verification=True)
            named = json.loads(found.schema.metadata[SHEETS])
            if found.schema.remove_metadata() != KEPT:
                return None
            return [
                Sheet(name, hidden, _tables(found, at), frozenset(struck), frozenset(map(tuple, merged)))
                for at, (name, hidden, struck, merged) in enumerate(named)
            ]
        except (pa.ArrowException, OSError, ValueError, KeyError, TypeError):
            return None  # not there, or damaged: the workbook is read anew

    def put(self, sha256: str, sheets: list[Sheet]) -> None:
        """Keep what a workbook held, where the folder can be written."""
        file = self._file(sha256)
        if file is None:
            return
        numbered = [sheet.rows.add_column(0, KEPT.field("at"), _same(at, sheet)) for at, sheet in enumerate(sheets)]
        named = json.dumps([(one.name, one.is_hidden, sorted(one.struck), sorted(one.merged)) for one in sheets])
        whole = pa.concat_tables([KEPT.empty_table(), *numbered]).replace_schema_metadata({SHEETS: named})
        unfinished = file.with_suffix(".unfinished")
        try:
            file.parent.mkdir(exist_ok=True)
            parquet.write_table(whole, unfinished, compression="zstd", write_page_checksum=True)
            unfinished.replace(file)
        except OSError:
            return  # a folder that cannot be written keeps nothing, and the build goes on

    def clear(self) -> None:
        """Remove what this build did not ask for, so that no more is kept than the portfolio holds."""
        if self.folder is None:
            return
        for file in self.folder.glob("*.*"):
            if file.name not in self.used and file.suffix in (".parquet", ".unfinished"):
                file.unlink(missing_ok=True)

    def _file(self, sha256: str) -> Path | None:
        name = f"{sha256}-{READER}.parquet"
        self.used.add(name)
        return self.folder / name if self.folder else None


def _same(at: int, sheet: Sheet) -> pa.Array:
    return pa.repeat(pa.scalar(at, pa.int32()), len(sheet.rows))


def _tables(found: pa.Table, at: int) -> list[pa.Table]:
    return [found.filter(pa.compute.equal(found["at"], at)).drop_columns("at")]
