"""Damaged files and random bytes under any name are read or refused, and nothing else happens."""

import json
import random
from pathlib import Path

import pyarrow as pa
import pytest
from pyarrow import parquet

from pipelines import sources
from pipelines.sources import UnreadableError
from pipelines.sources.contents import ENDINGS
from pipelines.sources.kept import Kept
from tests.sources.reading import LIMITS
from tests.sources.test_workbooks import ods, ods_row, workbook

SMALL = LIMITS | {"sheet_cells_most": 200_000, "cell_characters_most": 10_000, "records_most": 100_000}
TABLE = [["Ref", "Room", "Material"], ["H1", "Hall, rear", '6" pipe'], ["H2", "Café\nloft", "Board"], ["", "", "x"]]
PIECES = [
    b'"',
    b"\0",
    b"\r",
    b"\n",
    b",",
    b";",
    b"\xff",
    b"\xef\xbb\xbf",
    b"{",
    b"[",
    b'""',
    b"PK\x03\x04",
    b"\xd8\x00",
]


def good(folder: Path) -> list[bytes]:
    """A sound file of each kind."""
    records = [dict(zip(TABLE[0], cells, strict=True)) for cells in TABLE[1:]]
    parquet.write_table(pa.Table.from_pylist(records), folder / "good.parquet")
    text = "\r\n".join(",".join(f'"{cell.replace(chr(34), chr(34) * 2)}"' for cell in cells) for cells in TABLE)
    return [
        text.encode(),
        text.replace('"', "").encode("utf-16"),
        text.encode("cp1252"),
        json.dumps(records).encode(),
        "\n".join(map(json.dumps, records)).encode(),
        workbook(folder / "good.xlsx", items=TABLE, more=TABLE).read_bytes(),
        ods(*(ods_row(*("H1", "Hall")) for _ in range(3))),
        (folder / "good.parquet").read_bytes(),
    ]


def damaged(content: bytes, chance: random.Random) -> bytes:
    """A file with a few bytes changed, cut out, doubled, or put in, or with its end missing; or random bytes."""
    if chance.random() < 0.05:
        return chance.randbytes(chance.randrange(3_000))
    found = bytearray(content)
    for _ in range(chance.choice((1, 1, 2, 5, 30))):
        at = chance.randrange(len(found) + 1)
        end = min(len(found), at + chance.choice((1, 2, 8, 100)))
        match chance.randrange(6):
            case 0:
                found[at:end] = chance.randbytes(end - at)
            case 1:
                del found[at:end]
            case 2:
                found[at:at] = found[at:end]
            case 3:
                found[at:at] = chance.choice(PIECES)
            case 4:
                found[at:end] = bytes(byte ^ (1 << chance.randrange(8)) for byte in found[at:end])
            case _:
                del found[at if chance.random() < 0.2 else len(found) :]
    return bytes(found)


def is_read(content: bytes, ending: str, folder: Path) -> bool:
    """Whether a file with this content is read rather than refused; whatever else happens is raised."""
    file = folder / f"register{ending}"
    file.write_bytes(content)
    try:
        found = sources.read(sources.SourceFile(file, file.name, "registers", ""), SMALL, Kept(None))
    except UnreadableError as fault:
        assert all(isinstance(said, str) for said in fault.args) and len(fault.args) == 2
        return False
    for sheet in found:
        sheet.rows.validate(full=True)
    return True


@pytest.mark.parametrize("seed", range(20))
def test_damaged_files_are_read_or_refused(seed: int, tmp_path: Path) -> None:
    chance = random.Random(seed)
    contents = good(tmp_path)
    outcomes = [
        is_read(damaged(chance.choice(contents), chance), chance.choice(sorted(ENDINGS)), tmp_path) for _ in range(60)
    ]
    assert set(outcomes) == {True, False}


def test_sound_files_are_read_under_any_name(tmp_path: Path) -> None:
    for content in good(tmp_path):
        assert all(is_read(content, ending, tmp_path) for ending in ENDINGS)
