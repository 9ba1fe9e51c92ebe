"""How long it takes to find out which home each address means, and how often that is right, wrong or asked.

    python tests/benchmarks/bench_addresses.py [--homes 150000] [--seed 1]

Invents a stock list and a register that names each home once, by a dirty address alone, and nearly a tenth more that
the landlord does not own: other numbers, streets with almost the same name, the same street in another town. Then times
the matching (not the reading of the files, nor of the stock list's addresses, which is done beside it) and counts. What
kind of dirt each address got is told beside the counts.
"""

import argparse
import csv
import random
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from pipelines import queries, register, sources

THREADS = 2
WORDS = {
    "start": "ald bir cor elm fen gor hask ing kest lor mar nor oak pell quil ros sker tan ulv wen yar zin thor",
    "middle": "a e i o u er an on el ar in ow",
    "end": "by dale field ford ham ley mere ness stow thorpe ton wick wood worth combe hurst bourne gate",
    "street": "Road Street Avenue Close Crescent Drive Gardens Grove Lane Place Square Terrace Walk Way Hill Rise",
    "block": "Court House Lodge Tower Point Heights Mansions",
}
SHORT = {
    "Road": "Rd", "Street": "St", "Avenue": "Ave", "Close": "Cl", "Crescent": "Cres", "Drive": "Dr", "Gardens": "Gdns",
    "Grove": "Gro", "Lane": "La", "Place": "Pl", "Square": "Sq", "Terrace": "Terr", "Court": "Ct", "House": "Hse",
    "Tower": "Twr", "Flat": "Apt",
}  # fmt: skip
USUAL = (
    "High Street",
    "Church Lane",
    "Station Road",
    "Mill Lane",
    "The Green",
    "Park Road",
    "Victoria Road",
    "Broadway",
)
NOT_OWNED = 0.1


@dataclass(frozen=True)
class Home:
    """A home of the invented stock, or one beside it that is none of the landlord's (`ref` is empty)."""

    ref: str
    street: str
    town: str
    postcode: str
    number: str = ""
    flat: str = ""
    block: str = ""

    def line(self) -> str:
        at = f"{self.number} {self.street}".strip()
        return ", ".join(part for part in (self.flat and f"Flat {self.flat}", self.block, at, self.town) if part)


def name(draw: random.Random) -> str:
    return "".join(word(part, draw) for part in ("start", "middle", "end")).capitalize()


def word(kind: str, draw: random.Random) -> str:
    return draw.choice(WORDS[kind].split())


def homes(count: int, draw: random.Random) -> list[Home]:
    """Streets in towns until there are enough homes; the same street names stand in several towns."""
    towns = [f"{name(draw)} {draw.choice(('', 'Green', 'Bay'))}".strip() for _ in range(max(3, count // 3000))]
    found: list[Home] = []
    street = 0
    while len(found) < count:
        street += 1
        found += list(_street(street, draw.choice(towns), draw, len(found)))
    return found[:count]


def _street(nth: int, town: str, draw: random.Random, start: int) -> Iterator[Home]:
    called = draw.choice(USUAL) if draw.random() < 0.1 else f"{name(draw)} {word('street', draw)}"
    code = f"ZZ{nth // 400 % 90 + 1} {nth % 10}{'ABDEFGHJLN'[nth // 10 % 10]}{'PQRSTUWXYZ'[nth // 100 % 10]}"
    at = Home("", called, town, code)
    kind = draw.random()
    refs = (f"M{n:07d}" for n in range(start, start + 10_000))
    if kind < 0.55:
        for n in range(1, draw.randint(8, 70)):
            number = f"{n}{draw.choice('AB')}" if draw.random() < 0.02 else str(n)
            yield replace(at, ref=next(refs), number=number)
    elif kind < 0.85:
        for block in sorted({f"{name(draw)} {word('block', draw)}" for _ in range(draw.randint(1, 3))}):
            number = str(draw.randint(1, 90)) if draw.random() < 0.3 else ""
            for flat in range(1, draw.randint(6, 40)):
                yield replace(at, ref=next(refs), block=block, flat=str(flat), number=number)
    else:
        for house in range(1, draw.randint(6, 30), 2):
            number = f"{house}-{house + 2}" if draw.random() < 0.1 else str(house)
            for part in draw.choice((("1", "2", "3"), ("A", "B"), ("Ground Floor", "First Floor"))):
                yield replace(at, ref=next(refs), number=number, flat=part)


def beside(owned: list[Home], draw: random.Random) -> Iterator[Home]:
    """Homes that the landlord does not own, as near to owned ones as can be."""
    lines = {(home.flat, home.block, home.number, home.street, home.town) for home in owned}
    for home in draw.sample(owned, int(len(owned) * NOT_OWNED)):
        other = replace(home, ref="")
        match draw.randrange(4):
            case 0 if home.number.isdigit() and not home.block:
                other = replace(other, number=str(int(home.number) + draw.randint(1, 90)))
            case 1:
                other = replace(other, street=home.street.replace(" ", "s ", 1), postcode="ZZ95 9ZZ")
            case 2:
                other = replace(other, town=f"{name(draw)} Moor", postcode="ZZ96 9ZZ")
            case _ if home.flat.isdigit():
                other = replace(other, flat=str(int(home.flat) + draw.randint(1, 90)))
        if (other.flat, other.block, other.number, other.street, other.town) not in lines:
            yield other


def misspelt(text: str, draw: random.Random) -> str:
    at = draw.randrange(1, max(2, len(text) - 2))
    match draw.randrange(3):
        case 0:
            return text[:at] + text[at + 1 :]
        case 1:
            return text[:at] + text[at + 1 : at + 2] + text[at] + text[at + 2 :]
        case _:
            return text[:at] + text[at] + text[at:]


def dirty(home: Home, draw: random.Random) -> tuple[str, str, str]:
    """The address and postcode as a register might write them, and what was done to them."""
    said, postcode, dirt = home, home.postcode, []
    start, _, kind = (said.block or said.street).rpartition(" ")
    if draw.random() < 0.08 and start:
        dirt.append("misspelt")
        wrong = f"{misspelt(start, draw)} {kind}"
        said = replace(said, block=wrong) if said.block else replace(said, street=wrong)
    if draw.random() < 0.04:
        dirt.append("postcode mistyped")
        postcode = misspelt(postcode[:-1], draw) + postcode[-1]
    if draw.random() < 0.15:
        dirt.append("no town")
        said = replace(said, town="")
    line = _typed(_form(said, draw), draw)
    if draw.random() < 0.1:
        return line, "", ", ".join([*dirt, "no postcode"])
    within = draw.random() < 0.3
    return (f"{line}, {postcode}", "", ", ".join(dirt)) if within else (line, postcode, ", ".join(dirt))


def _typed(line: str, draw: random.Random) -> str:
    """With short words, in capitals, without commas; or not."""
    if draw.random() < 0.5:
        words = line.replace(",", " ,").split()
        line = " ".join(SHORT.get(one, one) for one in words).replace(" ,", ",")
    line = line.upper() if draw.random() < 0.3 else line
    return line.replace(",", "") if draw.random() < 0.1 else line


def _form(home: Home, draw: random.Random) -> str:
    at, town = f"{home.number} {home.street}".strip(), home.town
    form = draw.randrange(6)
    floor = f"{home.flat} flat" if home.flat.endswith("Floor") else f"Flat {home.flat}"
    if home.block and form == 0:
        return ", ".join(filter(None, (f"{home.flat} {home.block}", home.street, town)))
    if home.flat and home.number and not home.block and form == 1:
        return ", ".join(filter(None, (at, floor, town)))
    if home.flat.isdigit() and home.number.isdigit() and not home.block and form == 2:
        return ", ".join(filter(None, (f"{home.flat}/{at}", town)))
    if home.number[-1:].isalpha() and form == 3:
        return ", ".join(filter(None, (f"{home.number[:-1]} {home.number[-1]} {home.street}", town)))
    return ", ".join(filter(None, (home.flat and floor, home.block, at, town)))


def write(folder: Path, count: int, seed: int) -> list[tuple[str, str]]:
    """A portfolio folder; for each register row the true reference and its dirt."""
    draw = random.Random(seed)
    owned = homes(count, draw)
    named = [*owned, *beside(owned, draw)]
    draw.shuffle(named)
    (folder / "stock").mkdir(parents=True)
    (folder / "registers").mkdir()
    with (folder / "stock/homes.csv").open("w", encoding="utf-8", newline="") as opened:
        writer = csv.writer(opened)
        writer.writerow(["Property Ref", "Address", "Post Code", "Property Type", "Block Ref"])
        writer.writerows(
            [home.ref, home.line(), home.postcode, "flat" if home.flat else "house", _block(home)] for home in owned
        )
    truth = []
    with (folder / "registers/register.csv").open("w", encoding="utf-8", newline="") as opened:
        writer = csv.writer(opened)
        writer.writerow(["Address", "Post Code", "Location", "Material", "Survey Date"])
        for home in named:
            line, postcode, dirt = dirty(home, draw)
            writer.writerow([line, postcode, "Kitchen", "AIB", "2025-03-01"])
            truth.append((home.ref, dirt))
    return truth


def _block(home: Home) -> str:
    return f"B {home.block or home.number} {home.street} {home.town}" if home.flat else ""


def measure(folder: Path, truth: list[tuple[str, str]]) -> tuple[str, Counter[tuple[str, str]], list[tuple[str, str]]]:
    """The time of matching; rows by dirt and outcome (right, wrong, asked, unknown, rightly none); the wrong ones."""
    settings = {"as_of": date(2026, 10, 1)}
    with queries.create(folder / "bench.duckdb", THREADS) as con:
        sources.store(con, sources.find(folder))
        stock = register.read_lines(con, settings, folder)
        start, worked = time.perf_counter(), time.process_time()
        register.match_properties(con, settings, stock)
        seconds, worked = time.perf_counter() - start, time.process_time() - worked
        rows = con.execute(
            "select l.row_number, m.found, m.unmatched_code, l.address, l.postcode from register_lines as l "
            "inner join property_matches as m on l.address = m.address and l.postcode is not distinct from m.postcode "
            "where l.line = 'item' order by l.row_number"
        ).fetchall()
    counts: Counter[tuple[str, str]] = Counter()
    wrong = []
    for row_number, found, code, address, postcode in rows:
        ref, dirt = truth[row_number - 2]
        outcome = _outcome(ref, found, code)
        counts[dirt or "clean words", outcome] += 1
        if outcome == "wrong":
            wrong.append((f"{address} | {postcode}", f"{found} for {ref or 'none'}"))
    return f"{seconds:.1f} s, {worked:.1f} s of a processor", counts, wrong


def _outcome(ref: str, found: str | None, code: str) -> str:
    if found:
        return "right" if found == ref else "wrong"
    if not ref:
        return "rightly none"
    return "unknown" if code == "unknown_property" else "asked"


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--homes", type=int, default=150_000)
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--show", type=int, default=0, help="show so many of the wrong ones")
    chosen = arguments.parse_args()
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        truth = write(folder, chosen.homes, chosen.seed)
        took, counts, wrong = measure(folder, truth)
    print(f"{len(truth):,} addresses against {chosen.homes:,} homes: {took}")
    for dirt in sorted({one for one, _ in counts}):
        total = sum(n for (one, _), n in counts.items() if one == dirt)
        shares = {outcome: counts[dirt, outcome] for outcome in ("right", "asked", "unknown", "rightly none", "wrong")}
        print(f"{dirt:45} {total:8,}  " + "  ".join(f"{word} {n / total:.2%}" for word, n in shares.items()))
    untold = sum(
        n for (dirt, outcome), n in counts.items() if outcome == "wrong" and "no town" in dirt and "no postcode" in dirt
    )
    print(f"wrong: {len(wrong)} of {len(truth):,}, of these {untold} that say neither town nor postcode")
    for line in wrong[: chosen.show]:
        print(*line, sep="  ->  ")


if __name__ == "__main__":
    main()
