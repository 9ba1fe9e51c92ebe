"""Makes the sample: an invented landlord's portfolio, and beside it the truth that its registers partly see.

    python sample_data/make.py --to DIR [--seed N] [--size N] [--plain]

DIR/portfolio is what a user would hand in; DIR/truth is what is really there, for tests and studies only.
"""

import argparse
from pathlib import Path

import corbelhythe
import ground
import laboratories
import land
import mess
import numpy as np
import pandas as pd
import particulars
import stock
import stock_mess
import surveys
import tarnbrake
import truth
import umberlow
import wording
import works
from draw import Ints, stream, table
from meaning import FIELDS

SEED, SIZE = 13, 1_500
"""Of the sample that is kept beside this file."""
UNUSED = ("exact_duplicate", "unknown_property", "written_alike", "file_handed_in_twice", "sheet_copied")
"""Rules of register rows of which nothing is to be read."""
SETTINGS = 'name = "Merrowhythe Homes (invented sample)"\nas_of = 2026-10-01\n'


def _stock_list(homes: pd.DataFrame, seed: int) -> pd.DataFrame:
    """The stock list as the landlord keeps it: text cells, before anything is planted."""
    cells = {
        "Property Ref": "ref",
        "UPRN": "uprn",
        "Address": "address",
        "Post Code": "postcode",
        "Area": "area_name",
        "Property Type": "dwelling",
        "Part": "part",
        "Year Built": "year",
        "Block Ref": "block_ref",
        "Block Name": "block_name",
        "Archetype": "archetype",
        "Easting": "easting",
        "Northing": "northing",
    }
    frame = homes[list(cells.values())].set_axis(list(cells), axis=1)
    frame = frame.assign(**particulars.columns(homes, seed))
    return frame.astype(str).astype(object).assign(rule="")


def _write_stock(homes: pd.DataFrame, to: Path, seed: int) -> list[pd.DataFrame]:
    """The stock list in two files; returns the truth about their rows."""
    every = stock_mess.spoil_particulars(
        stock_mess.spoil_stock(_stock_list(homes, seed), stream(seed, 7)), stream(seed, 203)
    )
    other = every["Part"].isin(["garage", "non-domestic"])
    truths = []
    for name, part in (("homes", every[~other]), ("garages_and_offices", every[other])):
        path = f"stock/{name}.csv"
        part.drop(columns="rule").to_csv(to / path, index=False, lineterminator="\n", encoding="utf-8")
        rows = pd.DataFrame(
            {
                "path": path,
                "sheet": "",
                "row_number": np.arange(len(part)) + 2,
                "property_ref": part["Property Ref"].to_numpy(),
                "item_id": "",
                "rule": part["rule"].to_numpy(),
            }
        )
        truths.append(rows[rows["rule"] != ""])
    return truths


def _write_truth(
    homes: pd.DataFrame,
    items: pd.DataFrame,
    visits: pd.DataFrame,
    cloned: Ints,
    rows: list[pd.DataFrame],
    to: Path,
) -> None:
    """What is there (homes.csv), each property's age and survey (properties.csv), each row's meaning."""
    columns = {
        "item": "item_id",
        "code": "contact_code",
        "product": "product",
        "place": "place",
        "element": "element",
        "room": "room",
        "extent": "extent",
        "unit": "unit",
        "reach": "reach",
        "asbestos": "is_asbestos",
        "types": "true_types",
        "true_product": "true_product",
        "damage": "true_damage",
        "surface": "true_surface",
    }
    there = items[list(columns)].rename(columns=columns)
    there.insert(0, "property_ref", homes["ref"].to_numpy()[items["home"]])
    there.to_csv(to / "homes.csv", index=False, lineterminator="\n")
    first = visits[visits["kind"] == "first"].set_index("home")["day"].dt.strftime("%Y-%m-%d")
    facts = homes[["ref", "part", "dwelling", "year", "archetype", "postcode"]].rename(columns={"ref": "property_ref"})
    facts["street_group"] = homes["run"]
    facts["surveyed_on"] = homes.index.map(first).fillna("")
    facts.loc[cloned, "surveyed_on"] = ""
    facts.to_csv(to / "properties.csv", index=False, lineterminator="\n")
    _write_rows(pd.concat(rows, ignore_index=True), to)


def _write_rows(rows: pd.DataFrame, to: Path) -> None:
    """What each row is about (rows.csv), says (register_fields.csv), and what is wrong with it (planted_faults.csv)."""
    where = ["path", "sheet", "row_number"]
    rows = rows.fillna("")
    rows[[*where, "property_ref", "item_id", "rule"]].to_csv(to / "rows.csv", index=False, lineterminator="\n")
    used = rows["identification"].ne("") & ~rows["rule"].str.contains("|".join(UNUSED))
    said = rows[used].drop(columns="property_ref").rename(columns={"means_property": "property_ref"}).assign(part=1)
    said[[*where, "part", *FIELDS.values()]].to_csv(to / "register_fields.csv", index=False, lineterminator="\n")
    faults = rows[[*where, "rule"]].assign(rule=rows["rule"].str.split(";")).explode("rule", ignore_index=True)
    faults = faults.merge(table("faults"), on="rule", how="inner")
    faults.to_csv(to / "planted_faults.csv", index=False, lineterminator="\n")


def make(to: Path, seed: int, size: int, plain: bool = False) -> None:
    """Writes `to`/portfolio and `to`/truth for `size` properties; `plain`: no workbooks, all csv."""
    folder = to / "portfolio"
    for part in ("stock", "registers", "samples", "places", "works", "../truth"):
        (folder / part).mkdir(parents=True, exist_ok=True)
    homes = stock.properties(size, seed)
    items = truth.items(homes, seed)
    visits = surveys.visits(homes, seed)
    plain_rows = surveys.rows(homes, items, visits, seed)
    cells = mess.spoil(wording.write_down(plain_rows, homes, seed), stream(seed, 6))
    refs, areas = homes["ref"].to_numpy(dtype=object), homes["area_name"].to_numpy(dtype=object)
    (folder / "portfolio.toml").write_text(SETTINGS, encoding="utf-8")
    land.write_areas(folder / "places" / "areas.geojson")
    ground.write_footprints(homes, folder / "places" / "footprints.geojson")
    ground.write_roads(homes, folder / "places" / "roads.geojson")
    rows = _write_stock(homes, folder, seed)
    first, second, third = (cells[cells["firm"] == firm] for firm in range(3))
    rows += tarnbrake.write(first, folder, refs, stream(seed, 207))
    rows += umberlow.write(second, folder, refs, areas, plain)
    rows += corbelhythe.write(third, folder, refs)
    cloned = cells.loc[cells["rule"] == "cloned_home", "home"].unique()
    _write_truth(homes, items, visits, cloned, rows, to / "truth")
    truth.prevalence(homes, items).to_csv(to / "truth" / "archetypes.csv", index=False, lineterminator="\n")
    samples = laboratories.write_results(laboratories.results(plain_rows, cells, homes, seed), folder, plain)
    samples.to_csv(to / "truth" / "samples.csv", index=False, lineterminator="\n")
    works.write_history(homes, seed, folder, to / "truth")


def main() -> None:
    """Reads the command line."""
    parser = argparse.ArgumentParser(description="Make the sample portfolio and its truth.")
    parser.add_argument("--to", type=Path, required=True, help="folder to write portfolio/ and truth/ into")
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--size", type=int, default=SIZE, help="number of properties, 60 or more")
    parser.add_argument("--plain", action="store_true", help="registers and results as csv, not workbooks")
    given = parser.parse_args()
    if given.size < 60:
        parser.error("--size must be 60 or more")
    make(given.to, given.seed, given.size, given.plain)


if __name__ == "__main__":
    main()
