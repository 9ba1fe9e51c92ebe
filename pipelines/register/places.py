"""Where things stand: coordinates to WGS84; areas, roads and footprints to outlines; properties to their areas."""

from dataclasses import dataclass, field
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
TOLERANCE_M = {"areas": 10.0, "roads": 2.0, "footprints": 0.0}
DIGITS_OF_DEGREES = 1e-6
# What a shape is: the column that names it, in the order in which they are looked for.
NAMED_BY = {"building_ref": "footprints", "road": "roads", "area": "areas", "name": "areas"}

Feature = tuple[str, int | None, str | None, str | None]


@dataclass
class Shapes:
    """Named shapes in metres by what they are, and what became of each feature of each file."""

    of: dict[str, list[gpd.GeoDataFrame]] = field(default_factory=lambda: {kind: [] for kind in TOLERANCE_M})
    features: list[Feature] = field(default_factory=list)

    def together(self, kind: str) -> gpd.GeoDataFrame:
        """All shapes of a kind, one row a name."""
        empty = gpd.GeoDataFrame({"name": pd.Series(dtype="string")}, geometry=[], crs=NATIONAL_GRID)
        found = pd.concat([empty, *self.of[kind]]) if self.of[kind] else empty
        # Most names stand once; all of these go through shapely in one call, as dissolve takes groups one by one.
        shared = found["name"].duplicated(keep=False)
        alone = found[~shared].set_geometry(shapely.union_all(found.geometry[~shared].to_numpy()[:, None], axis=1))
        joined = pd.concat([alone, found[shared].dissolve(by="name", as_index=False)])
        return joined.sort_values("name", ignore_index=True)


def locate(con: duckdb.DuckDBPyConnection, folder: Path) -> None:
    """Make `areas`, `roads`, `footprints` (outlines), `property_points` (WGS84 and the area around them) and
    `place_features`.

    Coordinates are British National Grid. PROJ's own shift to WGS84 is used, good to about 5 m, without a
    network, so that the same file gives the same point everywhere.
    """
    network.set_network_enabled(False)
    shapes = _read(con, folder)
    areas = shapes.together("areas")
    points = queries.rows(con, "register", "points_to_place")
    on_grid = gpd.GeoDataFrame(
        points, geometry=gpd.points_from_xy(points["easting"], points["northing"]), crs=NATIONAL_GRID
    )
    within = on_grid.sjoin(areas, predicate="within", how="left")
    within = within.sort_values(["property_ref", "name"]).drop_duplicates("property_ref")
    queries.insert(con, "property_points", _points_frame(within))
    for kind, key in (("areas", "area"), ("roads", "road"), ("footprints", "building_ref")):
        queries.insert(con, kind, _outlines_frame(shapes.together(kind), kind).rename(columns={"name": key}))
    queries.insert(con, "place_features", _features_frame(shapes.features))


def _read(con: duckdb.DuckDBPyConnection, folder: Path) -> Shapes:
    shapes = Shapes()
    for path in queries.rows(con, "register", "place_files")["path"]:
        try:
            read = gpd.read_file(folder / path)
        except DataSourceError as error:
            shapes.features.append((path, None, "unreadable", str(error)))
            continue
        columns = {str(column).lower(): column for column in read.columns}
        name = next((columns[key] for key in NAMED_BY if key in columns), None)
        named = read[name].notna() if name is not None else pd.Series(False, index=read.index)
        if name is not None:
            kept = read[named].rename(columns={name: "name"})[["name", "geometry"]]
            shapes.of[NAMED_BY[str(name).lower()]].append(kept.to_crs(NATIONAL_GRID))
        shapes.features += [
            (path, number, None if has_name else "no_area_name", None) for number, has_name in enumerate(named, start=1)
        ]
    return shapes


def _points_frame(within: gpd.GeoDataFrame) -> pd.DataFrame:
    placed = within.to_crs(WGS84)
    return pd.DataFrame(
        {
            "property_ref": placed["property_ref"].astype("string"),
            "latitude": placed.geometry.y.round(7),
            "longitude": placed.geometry.x.round(7),
            "polygon_area": placed["name"].astype("string"),
        }
    )


def _outlines_frame(shapes: gpd.GeoDataFrame, kind: str) -> pd.DataFrame:
    """Names with their outlines as GeoJSON in WGS84, borders that two share simplified alike."""
    tolerance = TOLERANCE_M[kind]
    if kind == "areas":
        simple = shapes.simplify_coverage(tolerance)
    else:
        simple = shapes.simplify(tolerance) if tolerance else shapes.geometry
    outlines = shapely.to_geojson(shapely.set_precision(simple.to_crs(WGS84), DIGITS_OF_DEGREES))
    return pd.DataFrame({"name": shapes["name"].astype("string"), "outline": pd.Series(outlines, dtype="string")})


def _features_frame(features: list[Feature]) -> pd.DataFrame:
    types = {"path": "string", "row_number": "Int32", "reason_code": "string", "value": "string"}
    return pd.DataFrame(features, columns=list(types)).astype(types)
