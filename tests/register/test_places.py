"""Places of odd shape: each feature is used or set aside with a reason, and none stops a build."""

import json
from pathlib import Path
from typing import Any

import geopandas as gpd
import pytest
import shapely

from tests import portfolios

SQUARE = [[[530_000, 180_000], [530_100, 180_000], [530_100, 180_100], [530_000, 180_100], [530_000, 180_000]]]
BOW_TIE = [[[530_000, 180_000], [530_100, 180_100], [530_100, 180_000], [530_000, 180_100], [530_000, 180_000]]]
IN_DEGREES = [[[-0.12, 51.5], [-0.11, 51.5], [-0.11, 51.51], [-0.12, 51.51], [-0.12, 51.5]]]
LINE = {"type": "LineString", "coordinates": [[530_000, 180_000], [530_100, 180_000]]}
POINT = {"type": "Point", "coordinates": [530_000, 180_000]}


def polygon(rings: list[Any]) -> dict[str, Any]:
    return {"type": "Polygon", "coordinates": rings}


def collection(*features: tuple[dict[str, Any], dict[str, Any] | None], crs: str | None = "EPSG::27700") -> str:
    named = {"crs": {"type": "name", "properties": {"name": f"urn:ogc:def:crs:{crs}"}}} if crs else {}
    listed = [{"type": "Feature", "properties": about, "geometry": shape} for about, shape in features]
    return json.dumps({"type": "FeatureCollection", **named, "features": listed})


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = portfolios.write(tmp_path / "homes", {"register.csv": [portfolios.row()]})
    (folder / "places").mkdir()
    return folder


def fates(folder: Path) -> list[tuple[int | None, str]]:
    """Row number and reason of each feature that is not used; what was read is used or set aside."""
    database = portfolios.read(folder)
    counts = "select rows_read - rows_used - rows_set_aside from source_files where kind = 'places'"
    assert set(portfolios.ask(database, counts)) == {(0,)}
    asked = "select row_number, reason_code from set_aside_rows where path like 'places/%' order by all"
    return portfolios.ask(database, asked)


def test_each_feature_of_odd_shape_is_used_or_set_aside(folder: Path) -> None:
    unclosed = polygon([[[530_000, 180_000], [530_100, 180_000], [530_100, 180_100], [530_000, 180_100]]])
    mixed = {"type": "GeometryCollection", "geometries": [POINT, polygon(SQUARE), LINE]}
    high = polygon([[[*place, 12.5] for place in ring] for ring in SQUARE])
    shapes: list[tuple[dict[str, Any], dict[str, Any] | None]] = [
        ({"area": "North"}, polygon(SQUARE)),
        ({"area": "Bow"}, polygon(BOW_TIE)),
        ({"area": 7}, high),
        ({"area": "Mixed"}, mixed),
        ({"area": None}, polygon(SQUARE)),
        ({"area": " "}, polygon(SQUARE)),
        ({"area": "Nowhere"}, None),
        ({"area": "Empty"}, polygon([])),
        ({"area": "Unclosed"}, unclosed),
        ({"area": "Line"}, LINE),
        ({"area": "Point"}, POINT),
        ({"area": "Far"}, polygon([[[9e9, 9e9], [9e9, 9e9 + 5], [9e9 + 5, 9e9], [9e9, 9e9]]])),
    ]
    (folder / "places" / "areas.geojson").write_text(collection(*shapes), "utf-8")
    assert fates(folder) == [
        (5, "no_area_name"),
        (6, "no_area_name"),
        (7, "no_shape"),
        (8, "no_shape"),
        (9, "no_shape"),
        (10, "wrong_shape"),
        (11, "wrong_shape"),
        (12, "off_the_grid"),
    ]
    areas = portfolios.ask(folder / "portfolio.duckdb", "select area, outline from areas order by area")
    assert [area for area, _ in areas] == ["7", "Bow", "Mixed", "North"]
    assert all(shapely.from_geojson(outline).is_valid for _, outline in areas)


def test_roads_are_lines_and_footprints_surfaces(folder: Path) -> None:
    roads = collection(({"road": "Elm Road", "name": "x"}, LINE), ({"road": "Ash Lane"}, POINT))
    (folder / "places" / "roads.geojson").write_text(roads, "utf-8")
    footprints = collection(({"Building_Ref": "H1"}, polygon(BOW_TIE)), ({"Building_Ref": "H2"}, LINE))
    (folder / "places" / "footprints.geojson").write_text(footprints, "utf-8")
    assert fates(folder) == [(2, "wrong_shape"), (2, "wrong_shape")]
    assert portfolios.ask(folder / "portfolio.duckdb", "select road from roads") == [("Elm Road",)]
    assert portfolios.ask(folder / "portfolio.duckdb", "select building_ref from footprints") == [("H1",)]


def test_coordinates_that_do_not_fit_their_system_are_off_the_grid(folder: Path) -> None:
    shapes = collection(({"area": "North"}, polygon(IN_DEGREES)), ({"area": "South"}, polygon(SQUARE)), crs=None)
    (folder / "places" / "areas.geojson").write_text(shapes, "utf-8")
    assert fates(folder) == [(2, "off_the_grid")]


def test_every_layer_of_a_geopackage_is_read_and_one_without_a_system_is_named(folder: Path) -> None:
    squares = gpd.GeoDataFrame({"area": [1.0, 2.0]}, geometry=[shapely.box(0, 0, 9, 9), None], crs="EPSG:27700")
    lines = gpd.GeoDataFrame({"road": ["Elm Road"]}, geometry=[shapely.LineString([(0, 0), (9, 9)])], crs="EPSG:27700")
    squares.to_file(folder / "places" / "places.gpkg", layer="areas", driver="GPKG")
    lines.to_file(folder / "places" / "places.gpkg", layer="roads", driver="GPKG")
    assert fates(folder) == [(2, "no_shape")]
    assert portfolios.ask(folder / "portfolio.duckdb", "select area, road from areas, roads") == [("1", "Elm Road")]


def test_a_file_that_holds_no_places_is_set_aside_whole(folder: Path) -> None:
    files = {
        "table.csv": ("area,x\nNorth,1\n", "places_not_read"),
        "areas.vrt": ("<OGRVRTDataSource/>", "places_not_read"),
        "other.geojson": ("<OGRVRTDataSource/>", "places_not_read"),
        "empty.geojson": ("", "empty_file"),
        "begun.geojson": ("{", "unreadable"),
        "cut.geojson": ('{"type": "FeatureCollection", "features": [{"type"', "unreadable"),
        "areas.gpkg": ("SQLite format 3\0", "unreadable"),
    }
    for name, (content, _) in files.items():
        (folder / "places" / name).write_text(content, "utf-8")
    assert len(fates(folder)) == len(files)
    asked = "select path, row_number, reason_code from set_aside_rows where path like 'places/%'"
    told = {path: (row, code) for path, row, code in portfolios.ask(folder / "portfolio.duckdb", asked)}
    assert told == {f"places/{name}": (None, code) for name, (_, code) in files.items()}


def test_what_holds_hardly_anything_stops_no_build(folder: Path) -> None:
    files = {
        "empty": collection(),
        "nameless": collection(({"note": "no name"}, polygon(SQUARE))),
        "shapeless": '{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {"area": "x"}}]}',
        "bare": '{"type": "Polygon", "coordinates": []}',
        "null": '{"type": "Feature", "properties": null, "geometry": null}',
    }
    for name, content in files.items():
        (folder / "places" / f"{name}.geojson").write_text(content, "utf-8")
    assert {code for _, code in fates(folder)} <= {"no_area_name", "no_shape", "unreadable"}


def test_of_outlines_that_overlap_the_one_a_property_is_listed_in_is_around_it(tmp_path: Path) -> None:
    at = {"Easting": "530050", "Northing": "180050"}
    homes = [home | at | {"Block": "B1"} for home in portfolios.HOMES[:2]]
    homes += [portfolios.HOMES[2] | at | {"Block": "", "Area": "West"}]
    folder = portfolios.write(tmp_path, {"register.csv": [portfolios.row()]}, homes)
    (folder / "places").mkdir()
    shapes = collection(({"area": "East"}, polygon(SQUARE)), ({"area": "NORTH"}, polygon(SQUARE)))
    (folder / "places" / "areas.geojson").write_text(shapes, "utf-8")
    result = portfolios.read(folder)
    asked = "select row_number, doubt, reason from doubts where field = 'area'"
    told = "on the map the property stands in East, listed in West; the property list's area was kept"
    assert portfolios.ask(result, asked) == [(4, "area_off_map", told)]
    assert portfolios.ask(result, "select area from properties order by property_ref") == [
        ("North",),
        ("North",),
        ("West",),
    ]
