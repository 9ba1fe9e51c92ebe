"""What each register row says, field by field, in plain terms: what a careful person would read from its cells."""

import numpy as np
import pandas as pd
from draw import Texts
from surveys import UMBERLOW

PLACES = {
    "living room": "living_room",
    "kitchen": "kitchen",
    "bathroom": "bathroom",
    "hall": "hall_landing",
    "bedroom 1": "bedroom",
    "stair": "stair_core",
    "lobby": "stair_core",
    "bin store": "bin_store",
    "whole home": "whole_home",
}
"""Place of the rooms in which nothing suspect was seen, and of visits that did not get in."""
ALSO = {
    "garage roof": "roof|garage",
    "porch": "eaves|external_wall|hall_landing",
    "balcony": "eaves|external_wall",
    "verge": "eaves|external_wall|roof",
    "outside wall": "external_low|external_wall",
    "boxing": "other|",
}
"""Rooms whose words alone leave more than one place open; boxing may be anywhere."""
UNHELD = "?"
"""Stands where a field can be read in more than one right way."""
FIELDS = {
    "means_property": "property_ref",
    "means_day": "surveyed_on",
    "means_survey": "survey_type",
    "means_place": "place",
    "means_product": "product",
    "means_status": "identification",
    "means_types": "asbestos_types",
    "means_extent": "extent",
    "means_unit": "extent_unit",
    "means_damage": "damage_score",
    "means_surface": "surface_treatment_score",
    "means_reach": "accessibility",
    "means_sample": "sample_ref",
}
"""Columns beside the cells of a row, and the fields of truth/register_fields.csv."""


def _types(stated: str) -> str:
    """Types in order of the alphabet; nothing where none is named."""
    return "" if stated in ("none", "unknown") else "+".join(sorted(stated.split("+")))


def _places(rows: pd.DataFrame, cells: pd.DataFrame) -> Texts:
    """Place of each row; several parted by a bar where its words leave that open."""
    place = rows["place"].fillna(rows["room"].map(PLACES))
    soffit = rows["room"].eq("porch") & (cells["room"] + cells["product"]).str.contains("soffit")
    place = place.where(~rows["room"].isin(list(ALSO)), rows["room"].map(ALSO))
    roof_of_garage = place.eq("garage") & rows["element"].str.endswith("roof")
    lounge, hall = (place.eq(room) & cells["is_office"] for room in ("living_room", "hall_landing"))
    return np.select(
        [soffit, roof_of_garage, lounge, hall],
        ["eaves|external_wall", "garage|roof", "living_room|common_room", "hall_landing|stair_core"],
        place,
    )


def of(rows: pd.DataFrame, cells: pd.DataFrame) -> dict[str, Texts]:
    """The columns of FIELDS as text; `cells` are those that a firm wrote for the rows."""
    seen = rows["say"].ne("none")
    harmless = rows["item"].eq("") & seen
    scored = rows["scored"].to_numpy()
    extent = cells["extent"].str.removeprefix("approx ").str.removeprefix("c").replace("throughout", "")
    acm: dict[str, Texts] = {
        name: np.where(scored, rows[column].astype(str).to_numpy(dtype=object), "")
        for name, column in (("means_damage", "read"), ("means_surface", "st"), ("means_reach", "reach"))
    }
    acm["means_reach"] = np.where(rows["firm"] == UMBERLOW, "", acm["means_reach"])
    stated = {name: _types(name) for name in rows["stated"].unique()}
    bare_ref = cells["sample"].str.replace(r"^(as|x-ref|ref) ", "", case=False, regex=True)
    return acm | {
        "means_property": cells["ref"].to_numpy(dtype=object),
        "means_day": rows["day"].dt.strftime("%Y-%m-%d").to_numpy(dtype=object),
        "means_survey": rows["survey"].to_numpy(dtype=object),
        "means_place": _places(rows, cells),
        "means_product": np.select([harmless, ~seen], [UNHELD, ""], rows["product"]),
        "means_status": rows["status"].str.replace(" ", "_").to_numpy(dtype=object),
        "means_types": rows["stated"].map(stated).to_numpy(dtype=object),
        "means_extent": extent.to_numpy(dtype=object),
        "means_unit": np.where(extent != "", rows["unit"], ""),
        "means_sample": bare_ref.to_numpy(dtype=object),
    }
