"""Where things stand: streets laid out upon the land, homes along them, footprints, and the roads between.

A street is a gentle arc. Its own coordinates are metres along it (from its middle) and metres across it (to
the left). Nothing here bears on what stands there: streets are given their places after everything about them
is drawn, those nearest to the harbour nearest to it again.
"""

import json
from itertools import pairwise
from pathlib import Path

import land
import numpy as np
import pandas as pd
from draw import Floats, Texts, stream, table

PITCHES = ((208.0, 116.0), (200.0, 95.0), (192.0, 78.0))
"""Metres along and across from one place for a street to the next, the widest tried first."""
ROOM_TO_BEND = 90.0
"""Streets closer together than this, in metres, are straight."""
SETTLED = 250.0
"""Metres from the middle of a settlement over which its streets thin out by e (judgement)."""
CENTRES = 3
"""Settlements in each area."""
BENDS = (1 / 420, 1 / 170)
"""Sharpest bend of a street, and of a crescent, as one over the radius in metres."""
TERRACE, SEMI, BUNGALOW, BLOCK, MAISONETTES, GARAGES, SHELTERED, OFFICE = range(8)
"""Kinds of run, as in stock.KINDS."""
GAP_MOST: Floats = np.array([6.8, 14.0, 16.0, 0, 0, 3.2, 0, 0])
"""Metres of street a house or garage takes at most."""
TERRACED, PASSAGE = 4, 9.0
"""Houses of a terrace on either side before a break of so many metres."""
DEPTH: Floats = np.array([8.8, 8.4, 9.0, 13.0, 9.5, 5.4, 14.0, 14.0])
"""Depth of the buildings, in metres."""
FLOOR_SPACE: Floats = np.array([0, 0, 0, 70.0, 52.0, 0, 48.0, 300.0])
"""Square metres of each floor that a flat takes up, its share of the stair included."""
CLEARANCE = 140.0
"""Metres that a country road keeps from the middle of every street, if it can."""
BRIDGED = 3
"""A lane runs on to the next street of its side if that is no more than so many streets away."""
Ground = tuple[Floats, Floats]
Lines = list[tuple[str, list[list[float]]]]


def _settle(area: int, count: int, rng: np.random.RandomState) -> tuple[Floats, Floats, tuple[float, float]] | None:
    """Places (u, v) for the streets of an area, and their pitch; None if it is too full to spread them out."""
    ring = land.area_outlines()[area]
    for pitch in PITCHES:
        u, v = (g.ravel() for g in np.meshgrid(*(np.arange(-3_800, 3_800, step) for step in pitch)))
        ends = [land.on_the_ground(np.full(len(u), area), u + du, v + dv) for du in (-115, 115) for dv in (-66, 66)]
        fits = np.logical_and.reduce([land.inside(ring, x, y) for x, y in ends])
        if fits.sum() >= max(count, CENTRES):
            break
    else:
        return None
    u, v = u[fits], v[fits]
    centre = rng.choice(len(u), CENTRES, replace=False)
    if area == land.AREAS.index("Merrowhythe"):
        x, y = land.on_the_ground(np.full(len(u), area), u, v)
        centre[0] = np.argmin(np.hypot(x - land.HARBOUR[0], y - land.HARBOUR[1]))
    apart = np.hypot(u[:, None] - u[centre], v[:, None] - v[centre]) * np.array([0.8, 1.1, 1.4])
    taken = np.argsort(apart.min(axis=1) / SETTLED - rng.gumbel(size=len(u)), kind="stable")[:count]
    return u[taken], v[taken], pitch


def lay_out(runs: pd.DataFrame, seed: int) -> pd.DataFrame:
    """Gives each street its place: at_u, at_v in the grid of its area, pitch_u, pitch_v, and its bend (1/m).

    An area too full to spread its streets out keeps them where they were drawn, straight.
    """
    rng = stream(seed, 204)
    streets = runs.drop_duplicates("street").set_index("street")
    where = streets[["area", "u", "v"]].rename(columns={"u": "at_u", "v": "at_v"})
    where["pitch_u"], where["pitch_v"], where["spread"] = 185.0, 78.0, False
    crescent = streets["street_name"].str.endswith("Crescent").to_numpy()
    where["bend"] = rng.uniform(-1, 1, len(streets)) * np.where(crescent, BENDS[1], BENDS[0])
    for area in range(len(land.AREAS)):
        mine = streets[streets["area"] == area].sort_values("from_harbour", kind="stable").index
        found = _settle(area, len(mine), rng)
        if found is None:
            where.loc[mine, "bend"] = 0.0
            for pitch, at in (("pitch_u", "at_u"), ("pitch_v", "at_v")):
                where.loc[mine, pitch] = np.diff(np.unique(np.round(where.loc[mine, at], 3))).min()
            continue
        u, v, steps = found
        x, y = land.on_the_ground(np.full(len(u), area), u, v)
        order = np.argsort(np.hypot(x - land.HARBOUR[0], y - land.HARBOUR[1]), kind="stable")
        where.loc[mine, "at_u"], where.loc[mine, "at_v"] = u[order], v[order]
        where.loc[mine, ["pitch_u", "pitch_v"]] = steps
        where.loc[mine, "spread"] = True
        if steps[1] < ROOM_TO_BEND:
            where.loc[mine, "bend"] = 0.0
    bend = where["bend"].to_numpy()
    where["bend"] = np.where(np.abs(bend) < 1e-5, 1e-5, bend)
    return runs.join(where.drop(columns="area"), on="street")


def on_the_street(street: pd.DataFrame, along: Floats, across: Floats) -> Ground:
    """Easting and northing (m) of points given in the coordinates of their streets, one row each."""
    area, u, v = (street[name].to_numpy() for name in ("area", "at_u", "at_v"))
    x, y = land.on_the_ground(area, u, v)
    ahead, behind = land.on_the_ground(area, u + 1, v), land.on_the_ground(area, u - 1, v)
    turn = np.arctan2(ahead[1] - behind[1], ahead[0] - behind[0])
    radius = 1 / street["bend"].to_numpy()
    east = (radius - across) * np.sin(along / radius)
    north = radius - (radius - across) * np.cos(along / radius)
    return x + east * np.cos(turn) - north * np.sin(turn), y + east * np.sin(turn) + north * np.cos(turn)


def _widths(homes: pd.DataFrame, gap: Floats) -> Floats:
    """Width along the street of each building (m); blocks by the flats of a floor."""
    kind, flats = homes["kind"].to_numpy(), np.maximum(homes["size"].to_numpy() - 1, 1)
    storeys = np.select([kind == OFFICE, kind == SHELTERED, kind == MAISONETTES, flats <= 8, flats <= 15],
                        [1, 2, 2, 2, 3], 4)  # fmt: skip
    block = np.ceil(flats / storeys) * FLOOR_SPACE[kind] / DEPTH[kind]
    house = np.select(
        [kind == SEMI, kind == BUNGALOW], [np.minimum(gap * 0.62, 7.4), np.minimum(gap * 0.78, 11.5)], gap
    )
    wide: Floats = np.where(FLOOR_SPACE[kind] > 0, np.minimum(block, 58.0), house)
    return np.round(wide, 2)


def _along(homes: pd.DataFrame, gap: Floats, width: Floats) -> Floats:
    """Metres along the street of the middle of each building; pairs of semis stand wall to wall."""
    kind, nth = homes["kind"].to_numpy(), homes["nth"].to_numpy()
    slot = np.where(kind == GARAGES, nth, nth // 2)
    last = np.where(kind == GARAGES, homes["size"], (homes["size"] + 1) // 2)
    breaks = np.where((kind == TERRACE) & (last * gap + last // TERRACED * PASSAGE < 75), PASSAGE, 0.0)
    length = np.where(FLOOR_SPACE[kind] > 0, width, last * gap + (last - 1) // TERRACED * breaks)
    start = np.select([~homes["shared"], homes["second"]], [-length / 2, 8.0], -8.0 - length)
    to_partner = np.where(kind == SEMI, np.where(slot % 2 == 0, 1, -1) * (gap - width) / 2, 0.0)
    return np.where(
        FLOOR_SPACE[kind] > 0, start + width / 2, start + (slot + 0.5) * gap + to_partner + slot // TERRACED * breaks
    )


def place(homes: pd.DataFrame, seed: int) -> pd.DataFrame:
    """Adds where each property stands: along, across, width, depth (m, of its street), easting and northing."""
    rng = stream(seed, 205)
    kind, nth = homes["kind"].to_numpy(), homes["nth"].to_numpy()
    pairs = np.where(kind == GARAGES, homes["size"], (homes["size"] + 1) // 2)
    gap = np.minimum(np.where(homes["shared"], 75.0, 160.0) / np.maximum(pairs, 1), GAP_MOST[kind])
    width, depth = _widths(homes, gap), DEPTH[kind]
    garden = rng.uniform(2.0, 6.5, int(homes["run"].max()) + 1)[homes["run"].to_numpy()]
    alone = rng.uniform(-1.2, 1.2, len(homes))
    front = 6.0 + garden + np.where(kind == BUNGALOW, alone, 0.0)
    one_side = (FLOOR_SPACE[kind] > 0) | (kind == GARAGES)
    across = np.where(one_side | (nth % 2 == 0), 1, -1) * (front + depth / 2)
    homes = homes.assign(along=_along(homes, gap, width), across=across, width=width, depth=depth)
    x, y = on_the_street(homes, homes["along"].to_numpy(), across)
    return homes.assign(easting=np.round(x, 1), northing=np.round(y, 1))


def _collection(name: str, key: str, kind: str, shapes: Lines) -> str:
    """GeoJSON text in EPSG:27700, a feature a line."""
    crs = '{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::27700"}}'
    lines = []
    for label, points in shapes:
        coordinates = json.dumps([points] if kind == "Polygon" else points, separators=(",", ":"))
        lines.append(
            f'{{"type":"Feature","properties":{{"{key}":{json.dumps(label)}}},'
            f'"geometry":{{"type":"{kind}","coordinates":{coordinates}}}}}'
        )
    return f'{{"type":"FeatureCollection","name":"{name}","crs":{crs},"features":[\n' + ",\n".join(lines) + "\n]}\n"


def write_footprints(homes: pd.DataFrame, path: Path) -> None:
    """A polygon for every building: of a block under its reference, of all else under the property's."""
    ref = homes["block_ref"].where(homes["block_ref"] != "", homes["ref"])
    built = homes.assign(building=ref).drop_duplicates("building")
    along, across, width, depth = (built[name].to_numpy(dtype=float) for name in ("along", "across", "width", "depth"))
    sides: list[Floats] = [np.round(along + sign * width / 2, 3) for sign in (-1, 1)]
    faces: list[Floats] = [across + sign * depth / 2 for sign in (-1, 1)]
    ring = ((0, 0), (1, 0), (1, 1), (0, 1), (0, 0))
    corners = [np.stack(on_the_street(built, sides[i], faces[j]), axis=1) for i, j in ring]
    points = np.round(np.stack(corners, axis=1), 1).tolist()
    shapes = list(zip(built["building"], points, strict=True))
    path.write_text(_collection("footprints", "building_ref", "Polygon", shapes), encoding="utf-8")


def _grid_line(area: int, corners: list[tuple[float, float]]) -> list[list[float]]:
    """A line through points of an area's street grid, bent as the grid is."""
    ends = np.array(corners)
    parts = []
    for a, b in pairwise(ends):
        steps = max(2, int(np.abs(b - a).sum() // 60) + 2)
        parts.append(a + (b - a) * np.linspace(0, 1, steps)[:, None])
    line = np.vstack([parts[0], *(part[1:] for part in parts[1:])])
    ground = np.stack(land.on_the_ground(np.full(len(line), area), line[:, 0], line[:, 1]), axis=1)
    return [list(point) for point in np.round(ground, 1).tolist()]


def _street_lines(homes: pd.DataFrame, streets: pd.DataFrame) -> Lines:
    """The line of each street, from lane to lane; a close ends beyond its last building."""
    homes = homes.assign(low=homes["along"] - homes["width"] / 2, high=homes["along"] + homes["width"] / 2)
    reach = homes.groupby("street")[["low", "high"]].agg({"low": "min", "high": "max"}).loc[streets.index]
    share = np.linspace(0, 1, 7)
    low, high = reach["low"].to_numpy(dtype=float) - 6, reach["high"].to_numpy(dtype=float) + 6
    along = low[:, None] + (high - low)[:, None] * share
    points = [on_the_street(streets, along[:, n], np.zeros(len(streets))) for n in range(len(share))]
    area, v, u, pitch = (streets[name].to_numpy(dtype=float) for name in ("area", "at_v", "at_u", "pitch_u"))
    ends = [land.on_the_ground(area.astype(np.int64), u + side * pitch / 2, v) for side in (-1, 1)]
    lines = np.round(np.array([ends[0], *points, ends[1]]), 1).transpose(2, 0, 1).tolist()
    closed = streets["street_name"].str.endswith("Close")
    return [
        (name, line[1:] if shut else line)
        for name, line, shut in zip(streets["street_name"], lines, closed, strict=True)
    ]


def _nearest_joins(u: Floats, v: Floats) -> list[tuple[int, int]]:
    """Pairs that join all points with the least length, measured along the grid (Prim's tree)."""
    near = np.zeros(len(u), dtype=np.int64)
    far = np.abs(u - u[0]) + np.abs(v - v[0])
    waiting = np.arange(len(u)) > 0
    pairs = []
    while waiting.any():
        new = int(np.argmin(np.where(waiting, far, np.inf)))
        pairs.append((int(near[new]), new))
        waiting[new] = False
        closer = np.abs(u - u[new]) + np.abs(v - v[new])
        near, far = np.where(closer < far, new, near), np.minimum(far, closer)
    return pairs


def _name(area: int, column: int, names: Texts) -> str:
    """One name for all the lanes between two columns of an area's streets."""
    return f"{names[(41 * area + 7 * column) % len(names)]} Lane"


def _join(area: int, a: "pd.Series[float]", b: "pd.Series[float]") -> list[list[float]]:
    """A line in the gaps of the street grid from the mouth of one street to that of another, on land if it can be."""
    if a["column"] == b["column"]:
        return _grid_line(area, [(a["mouth"], a["at_v"]), (b["mouth"], b["at_v"])])
    ways = []
    for near, far in ((a, b), (b, a)):
        side = -1 if far["at_v"] > near["at_v"] else 1
        v = far["at_v"] + side * far["pitch_v"] / 2
        corners = [(near["mouth"], near["at_v"]), (near["mouth"], v), (far["mouth"], v), (far["mouth"], far["at_v"])]
        ways.append(_grid_line(area, corners))
    ring = land.area_outlines()[area]
    return next((way for way in ways if land.inside(ring, *np.array(way).T).all()), ways[0])


def _joins(area: int, mine: pd.DataFrame, names: Texts) -> Lines:
    """Lanes of an area, in the gaps of its street grid, that join all its streets."""
    places = [row for _, row in mine[["mouth", "at_v", "pitch_v", "column"]].astype(float).iterrows()]
    pairs = _nearest_joins(mine["mouth"].to_numpy(), mine["at_v"].to_numpy())
    return [(_name(area, int(places[a]["column"]) + 1, names), _join(area, places[a], places[b])) for a, b in pairs]


def _stretches(pairs: set[tuple[int, int]]) -> list[tuple[int, int, int]]:
    """Line, first and last step of each stretch of (line, step) pairs; short gaps are bridged."""
    found: list[tuple[int, int, int]] = []
    for line, step in sorted(pairs):
        if found and found[-1][0] == line and found[-1][2] >= step - BRIDGED:
            found[-1] = (line, found[-1][1], step)
        else:
            found.append((line, step, step))
    return found


def _lanes(area: int, mine: pd.DataFrame, names: Texts) -> Lines:
    """Lanes at both ends of every street of an area, on from one street to the next."""
    pitch_u, pitch_v = float(mine["pitch_u"].iloc[0]), float(mine["pitch_v"].iloc[0])
    u0 = float(mine["at_u"].iloc[0]) - (float(mine["column"].iloc[0]) + 0.5) * pitch_u
    v0 = float(mine["at_v"].iloc[0]) - (float(mine["row"].iloc[0]) + 0.5) * pitch_v
    cells = list(zip(mine["column"].tolist(), mine["row"].tolist(), strict=True))
    lines = []
    for line, first, last in _stretches({(c + side, r) for c, r in cells for side in (0, 1)}):
        u, low, high = u0 + line * pitch_u, v0 + first * pitch_v, v0 + (last + 1) * pitch_v
        lines.append((_name(area, line, names), _grid_line(area, [(u, low), (u, high)])))
    return lines


def _ends(streets: pd.DataFrame, side: int) -> Floats:
    """Easting and northing, a row each, of the end of each street on one side (1 right, -1 left); 0 its middle."""
    u = streets["at_u"].to_numpy() + side * streets["pitch_u"].to_numpy() / 2
    return np.stack(land.on_the_ground(streets["area"].to_numpy(), u, streets["at_v"].to_numpy()), axis=1)


def _country_road(a: pd.DataFrame, b: pd.DataFrame) -> list[list[float]]:
    """A curved road between the two nearest street mouths of two areas, well clear of other streets."""
    ends = [np.vstack([_ends(part, side) for side in (-1, 1)]) for part in (a, b)]
    apart = np.hypot(*(ends[0][:, None, :] - ends[1][None, :, :]).transpose(2, 0, 1))
    i, j = np.unravel_index(np.argmin(apart), apart.shape)
    start, along = ends[0][i], ends[1][j] - ends[0][i]
    share = np.linspace(0, 1, 25)[:, None]
    middles = np.vstack([_ends(part, 0) for part in (a, b)])
    lines = [
        start + along * share + np.array([-along[1], along[0]]) * np.sin(turns * np.pi * share) * bulge
        for turns in (2, 1)
        for bulge in (0.04, -0.04, 0.12, -0.12, 0.2, -0.2)
    ]
    clear = [np.hypot(*(line[:, None, :] - middles).transpose(2, 0, 1)).min(axis=1)[2:-2].min() for line in lines]
    best = next((n for n, metres in enumerate(clear) if metres > CLEARANCE), int(np.argmax(clear)))
    return [list(point) for point in np.round(lines[best], 1).tolist()]


def _pairs_of_areas() -> list[tuple[int, int]]:
    """Neighbouring areas: three rows of three."""
    pairs = [pair for n in range(len(land.AREAS)) for pair in ((n, n + 1), (n, n + 3))]
    return [(a, b) for a, b in pairs if b < len(land.AREAS) and (b - a == 3 or b % 3)]


def write_roads(homes: pd.DataFrame, path: Path) -> None:
    """A line for every street, the lanes that join them, and a road between neighbouring areas."""
    streets = homes.drop_duplicates("street").set_index("street")
    streets = streets.assign(mouth=streets["at_u"] + streets["pitch_u"] / 2)
    for name, at, pitch in (("column", "at_u", "pitch_u"), ("row", "at_v", "pitch_v")):
        streets[name] = np.floor((streets[at] + 3_800) / streets[pitch] + 0.01).astype(int)
    parts = table("street_names").groupby("part")["text"].apply(list)
    names = np.array([front + back for back in reversed(parts["back"]) for front in parts["front"]], dtype=object)
    roads = _street_lines(homes, streets)
    of_area = {area: streets[streets["area"] == area] for area in sorted(set(streets["area"].tolist()))}
    for area, mine in of_area.items():
        roads += _joins(area, mine, names)
        roads += _lanes(area, mine, names) if mine["spread"].all() else []
    for a, b in _pairs_of_areas():
        if a in of_area and b in of_area:
            roads.append((f"{land.AREAS[a]} to {land.AREAS[b]} Road", _country_road(of_area[a], of_area[b])))
    path.write_text(_collection("roads", "road", "LineString", roads), encoding="utf-8")
