"""Where things stand: coordinates to WGS84, areas to outlines, properties to the area they lie in."""

from collections.abc import Iterator
from pathlib import Path

import duckdb
import geopandas as gpd
import pandas as pd
import shapely
from pyogrio.errors import DataSourceError
from pyproj import network

from pipelines import queries

NATIONAL_GRID = "EPSG:27700"
WGS84 = "EPSG:4326"
NAME_COLUMNS = ("area", "name")
OUTLINE_TOLERANCE_M = 10.0

Feature = tuple[str, int | None, str | None, str | None]


def locate(con: duckdb.DuckDBPyConnection, folder: Path) -> None:
    """Make `areas` (outlines), `property_points` (WGS84 and the area around them) and `place_features`.

    Coordinates are British National Grid. PROJ's own shift to WGS84 is used, good to about 5 m, without a
    network, so that the same file gives the same point everywhere.
    """
    network.set_network_enabled(False)
    outlines, features = _outlines(con, folder)
    points = queries.rows(con, "register", "points_to_place")
    on_grid = gpd.GeoDataFrame(
        points, geometry=gpd.points_from_xy(points["easting"], points["northing"]), crs=NATIONAL_GRID
    )
    within = on_grid.sjoin(outlines, predicate="within", how="left")
    within = within.sort_values(["property_ref", "area"]).drop_duplicates("property_ref")
    queries.insert(con, "property_points", _points_frame(within))
    queries.insert(con, "areas", _areas_frame(outlines))
    queries.insert(
        con,
        "place_features",
        pd.DataFrame(features, columns=["path", "row_number", "reason_code", "value"]).astype(
            {"path": "string", "row_number": "Int32", "reason_code": "string", "value": "string"}
        ),
    )


def _outlines(con: duckdb.DuckDBPyConnection, folder: Path) -> tuple[gpd.GeoDataFrame, list[Feature]]:
    """The polygons of `places/` in metres, one row an area, and what became of each feature."""
    shapes: list[gpd.GeoDataFrame] = []
    features: list[Feature] = []
    for path in queries.rows(con, "register", "place_files")["path"]:
        try:
            read = gpd.read_file(folder / path)
        except DataSourceError as error:
            features.append((path, None, "unreadable", str(error)))
            continue
        name = next((column for column in read.columns if str(column).lower() in NAME_COLUMNS), None)
        shapes += _named(read, name)
        features += _fates(path, read, name)
    empty = gpd.GeoDataFrame({"area": pd.Series(dtype="string")}, geometry=[], crs=NATIONAL_GRID)
    together = pd.concat([empty, *shapes]) if shapes else empty
    return together.dissolve(by="area", as_index=False).sort_values("area"), features


def _named(read: gpd.GeoDataFrame, name: str | None) -> list[gpd.GeoDataFrame]:
    if name is None:
        return []
    named = read[read[name].notna()].rename(columns={name: "area"})[["area", "geometry"]]
    return [named.to_crs(NATIONAL_GRID)]


def _fates(path: str, read: gpd.GeoDataFrame, name: str | None) -> Iterator[Feature]:
    for number in range(1, len(read) + 1):
        has_name = name is not None and pd.notna(read[name].iloc[number - 1])
        yield path, number, None if has_name else "no_area_name", None


def _points_frame(within: gpd.GeoDataFrame) -> pd.DataFrame:
    placed = within.to_crs(WGS84)
    return pd.DataFrame(
        {
            "property_ref": placed["property_ref"].astype("string"),
            "latitude": placed.geometry.y.round(7),
            "longitude": placed.geometry.x.round(7),
            "polygon_area": placed["area"].astype("string"),
        }
    )


def _areas_frame(outlines: gpd.GeoDataFrame) -> pd.DataFrame:
    simple = outlines.simplify_coverage(OUTLINE_TOLERANCE_M).to_crs(WGS84)
    labels = outlines.representative_point().to_crs(WGS84)
    return pd.DataFrame(
        {
            "area": outlines["area"].astype("string"),
            "outline": pd.Series(shapely.to_geojson(shapely.set_precision(simple, 1e-6)), dtype="string"),
            "latitude": labels.y.round(7),
            "longitude": labels.x.round(7),
        }
    )
