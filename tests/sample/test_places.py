"""The kept places: buildings stand on their streets, apart from each other, and every street has its road."""

import csv
import json
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import shapely

SAMPLE = Path(__file__).parents[2] / "sample_data"
PLACES = SAMPLE / "portfolio" / "places"


def _shapes(name: str, key: str) -> list[tuple[str, shapely.Geometry]]:
    whole = json.loads((PLACES / f"{name}.geojson").read_text(encoding="utf-8"))
    assert whole["crs"]["properties"]["name"] == "urn:ogc:def:crs:EPSG::27700"
    return [(part["properties"][key], shapely.geometry.shape(part["geometry"])) for part in whole["features"]]


@cache
def _footprints() -> dict[str, shapely.Geometry]:
    shapes = _shapes("footprints", "building_ref")
    assert len(dict(shapes)) == len(shapes)
    return dict(shapes)


@cache
def _stock() -> list[dict[str, str]]:
    """Rows of both stock files that have a reference of their own."""
    found: dict[str, dict[str, str]] = {}
    for path in sorted((SAMPLE / "portfolio" / "stock").glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as handle:
            for row in csv.DictReader(handle):
                if row["Property Ref"]:
                    found.setdefault(row["Property Ref"], row)
    return list(found.values())


def _building(row: dict[str, str]) -> str:
    return row["Block Ref"] or row["Property Ref"]


def _street(row: dict[str, str]) -> str:
    return row["Address"].split(", ")[-2].lstrip("0123456789 ")


def test_every_building_has_one_valid_footprint() -> None:
    assert set(_footprints()) == {_building(row) for row in _stock()}
    assert all(shape.is_valid and shape.geom_type == "Polygon" for shape in _footprints().values())


def test_footprints_are_of_plausible_size() -> None:  # judgement, no published source
    ranges = {"house": (40, 80), "bungalow": (70, 130), "garage": (12, 22), "other": (150, 900), "office": (150, 900)}
    for row in _stock():
        low, high = ranges.get(row["Property Type"], (0, 1_000))
        assert low <= _footprints()[_building(row)].area <= high, row["Address"]


def test_footprints_do_not_overlap_and_terraces_adjoin() -> None:
    shapes = np.array(list(_footprints().values()))
    one, other = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    pairs = one < other
    assert pairs.sum() > 300
    common = shapely.area(shapely.intersection(shapes[one[pairs]], shapes[other[pairs]]))
    assert common.max() < 0.5  # square metres; corners are rounded to 0.1 m


def test_points_lie_in_their_footprint_and_their_area() -> None:
    areas = dict(_shapes("areas", "area"))
    outside = 0
    for row in _stock():
        if row["Easting"]:
            point = shapely.Point(float(row["Easting"]), float(row["Northing"]))
            assert _footprints()[_building(row)].contains(point)
            outside += bool(row["Area"]) and not areas[row["Area"]].contains(point)
            assert any(area.contains(point) for area in areas.values())
    assert outside == 3  # those whose stated area is wrong on purpose


def test_every_street_has_a_road_and_every_road_a_name() -> None:
    roads = _shapes("roads", "road")
    assert all(name.strip() for name, _ in roads)
    assert all(line.geom_type == "LineString" and line.is_valid and line.length > 20 for _, line in roads)
    assert {_street(row) for row in _stock()} <= {name for name, _ in roads}


def test_homes_stand_along_their_street() -> None:
    lines: dict[str, list[shapely.Geometry]] = {}
    for name, line in _shapes("roads", "road"):
        lines.setdefault(name, []).append(line)
    for row in _stock():
        shape = _footprints()[_building(row)]
        assert 3 < min(shape.distance(line) for line in lines[_street(row)]) < 25, row["Address"]


def test_no_road_crosses_a_building_and_all_roads_are_joined() -> None:
    lines = np.array([line for _, line in _shapes("roads", "road")])
    tree = shapely.STRtree(np.array(list(_footprints().values())))
    assert len(tree.query(lines, predicate="intersects")[0]) == 0
    one, other = shapely.STRtree(lines).query(lines, predicate="dwithin", distance=0.5)
    reached, grown = {0}, True
    while grown:
        more = reached | {int(b) for a, b in zip(one, other, strict=True) if int(a) in reached}
        grown, reached = len(more) > len(reached), more
    assert reached == set(range(len(lines)))


def test_streets_lie_apart() -> None:
    """Streets of one area are spread out: the middles of no two are on top of each other."""
    groups: dict[tuple[str, str], list[tuple[float, float]]] = {}
    for row in _stock():
        if row["Easting"]:
            key = (row["Address"].split(", ")[-1], _street(row))
            groups.setdefault(key, []).append((float(row["Easting"]), float(row["Northing"])))
    middles = [tuple(np.mean(points, axis=0)) for _, points in sorted(groups.items())]
    points = shapely.points(middles)
    nearest = [min(shapely.distance(point, np.delete(points, n))) for n, point in enumerate(points)]
    assert min(nearest) > 60
    assert np.median(nearest) > 100


def test_coordinates_are_written_to_a_tenth_of_a_metre_and_the_files_are_small() -> None:
    assert (PLACES / "footprints.geojson").stat().st_size < 700_000
    for _, shape in _shapes("footprints", "building_ref"):
        for start, end in pairwise(shape.exterior.coords):
            assert all(abs(round(value, 1) - value) < 1e-9 for value in (*start, *end))
