"""What two laboratories found in the samples: results that answer the registers, some that contradict them.

The first keeps one plain csv; the second a workbook with a cover page, and title rows above each year's table.
"""

import csv
import datetime as dt
from pathlib import Path

import numpy as np
import pandas as pd
import xlsxwriter
from draw import Texts, stream
from surveys import UMBERLOW
from wording import SAMPLE_MARKS, Phrasebook

NAMES = ("Fennimoor Analytical", "Ostrayle Laboratories")
DISAGREE, STRAY = 0.008, 0.006
"""Share of the results that contradict the register, and of further ones that no register cites."""
PLAIN = {
    "Sample ref": "sample_ref",
    "Client ref": "ref",
    "Site address": "address",
    "Location": "location",
    "Material": "material",
    "Date sampled": "sampled",
    "Date analysed": "analysed",
    "Analysis result": "result",
    "Laboratory": "laboratory",
}
"""Headings of the first laboratory and the cells beneath them."""
BOOK = {
    "Lab no.": "lab_no",
    "Sample No": "sample_ref",
    "Address": "address",
    "Location": "location",
    "Description of material": "material",
    "Result": "result",
    "Analysed on": "analysed",
}
"""Headings of the second laboratory and the cells beneath them."""
WIDTHS = (12, 12, 48, 34, 34, 30, 14)
NOTHING = ("NADIS", "No asbestos detected")
"""What each laboratory writes where it finds none."""
CREATED = dt.datetime(2026, 9, 30, 9, 0, 0)
TRUTH = ("sample_ref", "property_ref", "item_id", "place", "product", "asbestos_types", "analysed_on", "rule")


def _taken(rows: pd.DataFrame) -> pd.DataFrame:
    """One row a sample: what it was taken from, and what is truly in it."""
    own = rows[rows["own"]]
    samples = own.loc[own.index.repeat(own["taken"])].copy()
    samples["number"] = samples["sample"] + samples.groupby(level=0).cumcount()
    samples["types"] = samples["types"].where(samples["asbestos"].astype(bool), "none")
    samples["rule"] = np.where(samples["awaited"], "answers_presumed", "")
    return samples.sort_values(["sampler", "number"], kind="stable", ignore_index=True)


def _contradict(samples: pd.DataFrame, rng: np.random.RandomState) -> None:
    """Some results that are not what the register says of the very sample."""
    single = np.flatnonzero(((samples["rule"] == "") & (samples["taken"] == 1)).to_numpy())
    at = np.sort(rng.permutation(single)[: max(4, round(DISAGREE * len(samples)))])
    said = samples["types"].to_numpy(dtype=object)[at]
    found = np.select([said == "none", np.arange(len(at)) % 2 == 0], ["chrysotile", "none"], "amosite+crocidolite")
    samples.loc[at, "types"] = found
    samples.loc[at, "rule"] = "disagrees_with_register"


def _strays(samples: pd.DataFrame, rng: np.random.RandomState) -> pd.DataFrame:
    """Samples that no register cites, numbered after all others."""
    like = samples.iloc[np.sort(rng.permutation(len(samples))[: max(4, round(STRAY * len(samples)))])].copy()
    last = samples.groupby("sampler")["number"].max()
    like["number"] = like["sampler"].map(last) + 40 + like.groupby("sampler").cumcount()
    return like.assign(rule="no_register_row", item="")


def _words(samples: pd.DataFrame, book: Phrasebook, rng: np.random.RandomState) -> None:
    """Adds location, material and result as the laboratories write them: mostly not in the surveyors' words."""
    plainly = pd.Series(UMBERLOW, index=samples.index)
    room = book.say("room", samples["room"], plainly, rng.random_sample(len(samples)))
    element = samples["element"].to_numpy(dtype=object)
    samples["location"] = np.where(element != "", room + ", " + element, room)
    samples["material"] = book.say("product", samples["say"], plainly, rng.random_sample(len(samples)))
    types = samples["types"].str.split("+").map(lambda names: sorted(name.capitalize() for name in names))
    second = samples["laboratory"].to_numpy() == 1
    joined = np.where(second, types.str.join(" and ").str.capitalize(), types.str.join(", "))
    samples["result"] = np.where(
        samples["types"] == "none", np.array(NOTHING, dtype=object)[second.astype(int)], joined
    )


def results(rows: pd.DataFrame, cells: pd.DataFrame, homes: pd.DataFrame, seed: int) -> pd.DataFrame:
    """One row a result, in order of laboratory and day: its cells, and the truth about it.

    `rows` are what surveyors saw, `cells` what is left of that in the registers.
    """
    rng = stream(seed, 206)
    kept = set(zip(cells["visit"], cells["item"], strict=True))
    samples = _taken(rows)
    samples = samples[[key in kept for key in zip(samples["visit"], samples["item"], strict=True)]]
    samples = samples.reset_index(drop=True)
    _contradict(samples, rng)
    samples = pd.concat([samples, _strays(samples, rng)], ignore_index=True)
    samples["laboratory"] = np.where(samples["sampler"] == UMBERLOW, 1, 0)
    _words(samples, Phrasebook(), rng)
    own = homes.iloc[samples["home"]]
    digits = samples["number"].astype(str).str.zfill(4).to_numpy(dtype=object)
    samples["sample_ref"] = SAMPLE_MARKS[samples["sampler"].to_numpy()] + digits
    for name in ("ref", "address"):
        samples[name] = own[name].to_numpy(dtype=object)
    done = samples["day"] + pd.to_timedelta(rng.randint(3, 15, len(samples)), unit="D")
    samples["done"] = done
    return samples.sort_values(["laboratory", "done", "sample_ref"], kind="stable", ignore_index=True)


def _told(path: str, sheet: str, part: pd.DataFrame, first_row: int) -> pd.DataFrame:
    """Where each result stands, and the truth about it."""
    types = part["types"].map(lambda names: "" if names == "none" else "+".join(sorted(names.split("+"))))
    truth = part.assign(property_ref=part["ref"], item_id=part["item"], asbestos_types=types)
    truth["analysed_on"] = part["done"].dt.strftime("%Y-%m-%d")
    truth = truth[list(TRUTH)].reset_index(drop=True)
    truth.insert(0, "row_number", first_row + np.arange(len(part)))
    truth.insert(0, "sheet", sheet)
    truth.insert(0, "path", path)
    return truth


def _write_plain(part: pd.DataFrame, to: Path) -> pd.DataFrame:
    """The first laboratory's file."""
    path = "samples/fennimoor_results.csv"
    cells = part.assign(
        sampled=part["day"].dt.strftime("%d/%m/%Y"), analysed=part["done"].dt.strftime("%d/%m/%Y"), laboratory=NAMES[0]
    )
    table = cells[list(PLAIN.values())].set_axis(list(PLAIN), axis=1)
    table.to_csv(to / path, index=False, lineterminator="\n", encoding="utf-8")
    return _told(path, "", part, 2)


def _grid(part: pd.DataFrame, year: int) -> tuple[list[list[str]], Texts]:
    """Title rows, headings and cells of one sheet of the second laboratory."""
    lab_no = "OL" + str(year)[2:] + "/" + pd.Series(np.arange(1, len(part) + 1), index=part.index).astype(str)
    cells = part.assign(lab_no=lab_no, analysed=part["done"].dt.strftime("%d %b %Y"))
    titles = [[NAMES[1]], [f"Certificates of {year}"], [], list(BOOK)]
    return titles, cells[list(BOOK.values())].to_numpy(dtype=object)


def _write_sheets(sheets: dict[str, list[list[str]]], to: Path, plain: bool) -> None:
    """A workbook of these sheets; `plain`: a csv file for each but the cover."""
    if plain:
        for name, grid in list(sheets.items())[1:]:
            with (to / f"samples/ostrayle_{name}.csv").open("w", newline="", encoding="utf-8") as handle:
                csv.writer(handle, lineterminator="\n").writerows(grid)
        return
    book = xlsxwriter.Workbook(str(to / "samples/ostrayle_results.xlsx"))
    book.set_properties({"created": CREATED, "author": NAMES[1]})
    for name, grid in sheets.items():
        sheet = book.add_worksheet(name)
        for number, width in enumerate(WIDTHS):
            sheet.set_column(number, number, width)
        for down, line in enumerate(grid):
            for across, cell in enumerate(line):
                sheet.write_string(down, across, cell)
    book.close()


def write_results(samples: pd.DataFrame, to: Path, plain: bool) -> pd.DataFrame:
    """Both laboratories' files; returns the truth about their rows."""
    told = [_write_plain(samples[samples["laboratory"] == 0], to)]
    sheets = {"Cover": [[NAMES[1]], ["Results of bulk analysis"], ["Prepared for: Merrowhythe Homes"]]}
    second = samples[samples["laboratory"] == 1]
    for year, part in second.groupby(second["done"].dt.year):
        titles, cells = _grid(part, int(year))
        sheets[str(year)] = titles + cells.tolist()
        path, sheet = (f"samples/ostrayle_{year}.csv", "") if plain else ("samples/ostrayle_results.xlsx", str(year))
        told.append(_told(path, sheet, part, len(titles) + 1))
    _write_sheets(sheets, to, plain)
    return pd.concat(told, ignore_index=True)
