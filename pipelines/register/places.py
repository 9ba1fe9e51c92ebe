"""Where things stand: coordinates to WGS84; areas, roads and footprints to outlines; properties to their areas."""

import warnings
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import duckdb
import geopandas as gpd
import numpy as np
import numpy.typing as npt
import pandas as pd
import pyogrio
import shapely
from pyogrio.errors import CRSError, DataLayerError, DataSourceError, FeatureError, FieldError, GeometryError
from pyproj import network

from pipelines import queries
from pipelines.sources import text

NATIONAL_GRID = "EPSG:27700"
WGS84 = "EPSG:4326"
TOLERANCE_M = {"areas": 10.0, "roads": 2.0, "footprints": 0.0}
DIGITS_OF_DEGREES = 6
DIMENSIONS = {"areas": 2, "roads": 1, "footprints": 2}
SHAPES = {1: ("LineString", "MultiLineString"), 2: ("Polygon", "MultiPolygon")}
# The National Grid with the sea around it, metres: west, south, east, north.
GRID = (-100_000, -100_000, 800_000, 1_400_000)
UNREADABLE = (
    CRSError,
    DataLayerError,
    DataSourceError,
    FeatureError,
    FieldError,
    GeometryError,
    shapely.errors.GEOSException,
    UnicodeError,
)
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


def outline(con: duckdb.DuckDBPyConnection, folder: Path) -> gpd.GeoDataFrame:
    """Make `areas`, `roads`, `footprints` (outlines) and `place_features`; the areas in metres come back.

    Coordinates are British National Grid. PROJ's own shift to WGS84 is used, good to about 5 m, without a
    network, so that the same file gives the same point everywhere.
    """
    network.set_network_enabled(False)
    shapes = _read(con, folder)
    together = {kind: shapes.together(kind) for kind in TOLERANCE_M}
    for kind, key in (("areas", "area"), ("roads", "road"), ("footprints", "building_ref")):
        queries.insert(con, kind, _outlines_frame(together[kind], kind).rename(columns={"name": key}))
    queries.insert(con, "place_features", _features_frame(shapes.features))
    return together["areas"]


def locate(con: duckdb.DuckDBPyConnection, areas: gpd.GeoDataFrame) -> None:
    """Make `property_points`: where properties stand (WGS84) and the area around them, of several the one they are
    listed in."""
    points = queries.rows(con, "register", "points_to_place")
    on_grid = gpd.GeoDataFrame(
        points, geometry=gpd.points_from_xy(points["easting"], points["northing"]), crs=NATIONAL_GRID
    )
    within = on_grid.sjoin(areas, predicate="within", how="left")
    within["is_other"] = within["name"].str.lower() != within["area"].str.lower()
    within = within.sort_values(["property_ref", "is_other", "name"]).drop_duplicates("property_ref")
    queries.insert(con, "property_points", _points_frame(within))


def _read(con: duckdb.DuckDBPyConnection, folder: Path) -> Shapes:
    shapes = Shapes()
    for path in queries.rows(con, "register", "place_files")["path"]:
        try:
            read = _layers(folder / path)
        except UNREADABLE as error:
            shapes.features.append((path, None, "unreadable", str(error)))
            continue
        if any(layer.crs is None for layer in read):
            shapes.features.append((path, None, "no_coordinate_system", None))
            continue
        fates: list[tuple[str | None, str | None]] = []
        for layer in read:
            kind, found = _named(layer)
            shapes.of[kind].append(found.loc[found["reason_code"].isna(), ["name", "geometry"]])
            fates += zip(found["reason_code"], found["value"], strict=True)
        shapes.features += [(path, number, *fate) for number, fate in enumerate(fates, start=1)]
    return shapes


def _layers(file: Path) -> list[gpd.GeoDataFrame]:
    """Every layer of a file; geometries that cannot be (rings that are not closed) are read as none."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # rings not closed, names of mixed types: told by what becomes of each feature
        names = [name for name, _ in pyogrio.list_layers(file)]
        layers = [pyogrio.read_dataframe(file, layer=name, on_invalid="ignore") for name in names]
    return [
        read if "geometry" in read else gpd.GeoDataFrame(read, geometry=[None] * len(read), crs=WGS84)
        for read in layers
    ]


def _named(layer: gpd.GeoDataFrame) -> tuple[str, gpd.GeoDataFrame]:
    """What a layer shows, and its features on the National Grid with their names and why each cannot be used."""
    columns = {str(column).lower(): column for column in layer.columns if column != "geometry"}
    key = next((key for key in NAMED_BY if key in columns), None)
    kind = NAMED_BY[key] if key else "areas"
    names = [text(name).strip() if pd.notna(name) else "" for name in layer[columns[key]]] if key else ""
    shapes = shapely.force_2d(layer.geometry.to_crs(NATIONAL_GRID).to_numpy())
    bounds = shapely.bounds(shapes)
    is_plain = shapely.is_valid(shapes) & np.isfinite(bounds).all(axis=1)
    parts = [
        shape if plain and shape.geom_type in SHAPES[DIMENSIONS[kind]] else _parts(shape, box, DIMENSIONS[kind])
        for shape, plain, box in zip(shapes, is_plain, bounds, strict=True)
    ]
    told = zip(names or [""] * len(layer), shapes, parts, bounds.tolist(), strict=True)
    fates = [_fate(*feature) for feature in told]
    reasons, values = zip(*fates, strict=True) if fates else ((), ())
    found = {"name": names, "reason_code": list(reasons), "value": list(values)}
    frame = pd.DataFrame(found, index=range(len(layer)), dtype="object").astype({"name": "string"})
    return kind, gpd.GeoDataFrame(frame, geometry=parts, crs=NATIONAL_GRID)


def _parts(shape: shapely.Geometry | None, bounds: npt.NDArray[np.float64], dimensions: int) -> shapely.Geometry | None:
    """What of a shape is a line or a surface, put in order where it crosses itself; None where nothing is."""
    if shape is None or shape.is_empty or not np.isfinite(bounds).all():
        return None
    whole = shapely.get_parts(shapely.get_parts(shapely.make_valid(shape)))
    kept = whole[shapely.get_dimensions(whole) == dimensions]
    return shapely.union_all(kept) if len(kept) else None


def _fate(
    name: str, shape: shapely.Geometry | None, part: shapely.Geometry | None, bounds: Sequence[float]
) -> tuple[str | None, str | None]:
    """Why a feature cannot be used, and the value that shows it."""
    if not name:
        return "no_area_name", None
    if shape is None or shape.is_empty:
        return "no_shape", None
    west, south, east, north = bounds
    if not (GRID[0] <= west and east <= GRID[2] and GRID[1] <= south and north <= GRID[3]):
        return "off_the_grid", name
    return (None, None) if part is not None else ("wrong_shape", shape.geom_type)


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
    degrees = simple.to_crs(WGS84).to_numpy()
    outlines = shapely.to_geojson(shapely.transform(degrees, lambda at: np.round(at, DIGITS_OF_DEGREES)))
    return pd.DataFrame({"name": shapes["name"].astype("string"), "outline": pd.Series(outlines, dtype="string")})


def _features_frame(features: list[Feature]) -> pd.DataFrame:
    types = {"path": "string", "row_number": "Int32", "reason_code": "string", "value": "string"}
    return pd.DataFrame(features, columns=list(types)).astype(types)
