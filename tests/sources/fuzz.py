"""Damaged files read and damaged portfolios built for some minutes: nothing but a result or a reason may come of it.

    python tests/sources/fuzz.py [--minutes 10] [--seed 1] [--only TURN]

Each turn reads many damaged files by themselves, then builds one portfolio of damaged files of every kind. It tells
whatever else was raised, and rows that a result lost, with the number of the turn, by which it can be repeated.
Minutes are of the processor. Sound files come from the sample and from `tests/cases`.
"""

import argparse
import itertools
import json
import os
import random
import sys
import traceback
import zipfile
from collections import Counter
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

import pyarrow as pa
from pyarrow import parquet

from pipelines import run, sources
from pipelines.errors import PortfolioError
from pipelines.sources import UnreadableError
from pipelines.sources.contents import ENDINGS
from pipelines.sources.kept import Kept
from tests import portfolios
from tests.sources.reading import LIMITS
from tests.sources.test_workbooks import ods, ods_row, workbook, zipped

ROOT = Path(__file__).parents[2]
SAMPLE = ROOT / "sample_data" / "portfolio"
CASES = ROOT / "tests" / "cases"
READS = 150
LINES = 50
SOUND = 0.2
SLOW_SECONDS = 60
LOST = (
    "select path, rows_read, rows_used, rows_set_aside from source_files "
    "where rows_read <> rows_used + rows_set_aside order by all"
)
CORRECTIONS = {
    "headings": "path,sheet,heading,field,who,on,why\nregisters/0.csv,,Notes,none,A,2026-01-01,as told\n",
    "terms": "field,written,term,who,on,why\nproduct,Mystery,insulating_board,A,2026-01-01,as told\n",
    "properties": "property_ref_as_written,uprn_as_written,address_as_written,postcode_as_written,property_ref,who,on,"
    "why\nX9,,,,H1,A,2026-01-01,as told\n",
    "links": "path,sheet,row,part,item_path,item_sheet,item_row,item_part,who,on,why\n"
    "registers/0.csv,,3,1,registers/0.csv,,4,1,A,2026-01-01,as told\n",
    "factors": "path,sheet,row,part,field,value,who,on,why\nregisters/0.csv,,3,1,damage_score,2,A,2026-01-01,seen\n",
    "accepted": "path,sheet,row,doubt,who,on,why\nregisters/0.csv,,3,place_missing,A,2026-01-01,seen\n",
}
PARAMETERS = (
    "name,work_type,dwelling,area,contact_code,product,task,control,point,low,high\n"
    "rate,redecorate,house,,,,,,0.2,0.1,0.4\nmeasurement,,,,,insulating_board,drill,none,0.05,,\n"
)
SETTINGS = 'name = "Homes"\nas_of = 2026-10-01\ndraws = 50\nseed = 1\n'

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
    b"1e999",
    b"NaN",
    b"-0",
    b"9" * 30,
    b"31/02/2024",
    b"1.2.3",
    b"'; drop",
    b"\\",
    b"=1+1",
    "\u202e\u0301\U0001f600".encode(),
]

Sound = list[tuple[str, bytes]]
"""Ending and content of each sound file of a kind."""


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


def sound_files() -> dict[str, Sound]:
    """Short files of every kind that a portfolio may hold."""
    found = {
        kind: [
            (file.suffix, _short(file))
            for file in sorted((*SAMPLE.glob(f"{kind}/*"), *CASES.glob(f"*/input/{kind}/*")))
        ]
        for kind in ("stock", "registers", "samples", "works", "places")
    }
    own = {"corrections": list(CORRECTIONS.values()), "parameters": [PARAMETERS]}
    return found | {kind: [(".csv", text.encode()) for text in texts] for kind, texts in own.items()}


def _short(file: Path) -> bytes:
    """The first lines of a text, the first features of a map; a workbook or a JSON file whole."""
    content = file.read_bytes()
    match file.suffix:
        case ".geojson":
            held = json.loads(content)
            return json.dumps(held | {"features": held["features"][:20]}).encode()
        case ".csv" | ".txt" if not content.startswith(b"PK"):
            return b"\n".join(content.split(b"\n")[:LINES])
        case _:
            return content


def harmed(content: bytes, chance: random.Random) -> bytes:
    """A file damaged anywhere, or not at all; of a packed one mostly a part within, as its sums find damage outside."""
    if chance.random() < SOUND:
        return content
    if not content.startswith(b"PK") or chance.random() < 0.2:
        return damaged(content, chance)
    with zipfile.ZipFile(BytesIO(content)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    name = chance.choice(sorted(parts))
    return zipped(parts | {name: damaged(parts[name], chance)})


def portfolio(folder: Path, sound: dict[str, Sound], chance: random.Random) -> Path:
    """A portfolio of damaged files beside one sound list of homes."""
    ending, homes = chance.choice(sound["stock"])
    files = {f"stock/sound{ending}": homes, "portfolio.toml": SETTINGS.encode()}
    for kind, few in sound.items():
        for number in range(3 if kind == "registers" else 1):
            ending, content = chance.choice(few)
            files[f"{kind}/{number}{ending}"] = harmed(content, chance)
    for name, text in CORRECTIONS.items():
        files[f"corrections/{name}.csv"] = harmed(text.encode(), chance)
    if chance.random() < 0.1:
        files["portfolio.toml"] = damaged(SETTINGS.encode(), chance)
    for path, content in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(content)
    return folder


def outcome(folder: Path) -> str:
    """What became of a build; AssertionError for lost rows, and whatever else is raised."""
    try:
        database = run.build(folder, portfolios.AS_OF).database
    except PortfolioError:
        return "builds that said what to mend"
    lost = portfolios.ask(database, LOST)
    assert not lost, lost
    return "builds"


def turn(seed: str, sound: dict[str, Sound], told: Counter[str]) -> None:
    """Some damaged files, then a portfolio of them."""
    chance = random.Random(seed)
    with TemporaryDirectory() as kept:
        folder = Path(kept)
        contents = [*good(folder), *(content for few in sound.values() for _, content in few)]
        for _ in range(READS):
            content = harmed(chance.choice(contents), chance)
            told["files read" if is_read(content, chance.choice(sorted(ENDINGS)), folder) else "files refused"] += 1
        before = spent()
        told[outcome(portfolio(folder / "homes", sound, chance))] += 1
        if spent() - before > SLOW_SECONDS:
            told["slow builds"] += 1
            print(f"turn {seed}: {spent() - before:.0f} s", file=sys.stderr)


def spent() -> float:
    """Seconds of the processor that this process and those that it started have taken."""
    return sum(os.times()[:4])


def main() -> int:
    """Reads the command line; 1 where anything was raised that should not be."""
    parser = argparse.ArgumentParser(description="Read and build damaged files for some minutes.")
    parser.add_argument("--minutes", type=float, default=10)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", type=int, help="one turn alone")
    given = parser.parse_args()
    sound, told = sound_files(), Counter[str]()
    until_over = itertools.takewhile(lambda _: spent() < 60 * given.minutes, itertools.count())
    for number in until_over if given.only is None else [given.only]:
        try:
            turn(f"{given.seed} {number}", sound, told)
        except Exception:  # noqa: BLE001 - whatever it is, it is what this looks for
            told["faults"] += 1
            print(f"turn {number}:\n{traceback.format_exc()}", file=sys.stderr, flush=True)
    print(f"{spent() / 60:.1f} minutes: " + ", ".join(f"{count:,} {what}" for what, count in sorted(told.items())))
    return 1 if told["faults"] else 0


if __name__ == "__main__":
    sys.exit(main())
