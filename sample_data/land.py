"""The invented coast: nine adjoining areas and the streets upon them.

It lies in the North Sea, about 70 km off any shore, on the British National Grid (EPSG:27700; metres).
The land is the same for every seed; only what stands on it changes.
"""

import json
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pandas as pd
from draw import Floats, Ints

AREAS = (
    "Gorsewick Ness",
    "Quillerby",
    "Skerrowby",
    "Tansyholme",
    "Dunterhaven",
    "Merrowhythe",
    "Fennelmouth",
    "Brackwithe",
    "Pellinsand",
)
"""Row by row from the north, each row from the west to the sea."""
HARBOUR = (566_300.0, 551_900.0)
"""Easting and northing of the old harbour, round which the town grew."""
STREETS_SHARE = np.array([0.06, 0.09, 0.10, 0.08, 0.15, 0.18, 0.09, 0.12, 0.13])
"""Share of all streets in each area (judgement: the town is dense, the west thin)."""
SCATTER = 300
"""Metres by which the landlord's streets are strewn through and around each settlement."""
CENTRES = 3
"""Settlements in each area."""

_NODES = np.array(
    [
        [(556_300, 557_600), (560_900, 557_900), (564_700, 557_300), (569_300, 557_100)],
        [(556_700, 554_100), (560_400, 554_300), (564_300, 553_900), (567_500, 553_800)],
        [(556_200, 550_300), (560_700, 550_500), (563_800, 550_700), (566_900, 550_300)],
        [(556_900, 546_700), (561_100, 546_300), (565_100, 546_500), (569_500, 546_700)],
    ],
    dtype=float,
)
"""Corners of the areas, row by row from the north."""


def _rough(rng: np.random.RandomState, a: Floats, b: Floats, amplitude: float) -> Floats:
    """Line from a to b (b left out), made irregular by moving midpoints sideways four times."""
    line = np.array([a, b])
    for _ in range(4):
        along = np.diff(line, axis=0)
        across = np.stack([-along[:, 1], along[:, 0]], axis=1)
        middle = line[:-1] + along / 2 + across * rng.uniform(-amplitude, amplitude, (len(along), 1))
        line = np.insert(line, np.arange(1, len(line)), middle, axis=0)
    return np.round(line[:-1], 1)


@cache
def area_outlines() -> list[Floats]:
    """Closed ring of each area (first point repeated); neighbours share their edge to the point."""
    rng = np.random.RandomState(4)
    east = [
        [_rough(rng, _NODES[r, c], _NODES[r, c + 1], 0.16 if r % 3 == 0 else 0.11) for c in range(3)] for r in range(4)
    ]
    south = [
        [_rough(rng, _NODES[r, c], _NODES[r + 1, c], 0.30 if c == 3 else 0.12) for c in range(4)] for r in range(3)
    ]
    rings = []
    for r in range(3):
        for c in range(3):
            down, along = south[r][c], east[r + 1][c]
            up = np.vstack([south[r][c + 1], _NODES[r + 1, c + 1]])[:0:-1]
            back = np.vstack([east[r][c], _NODES[r, c + 1]])[:0:-1]
            rings.append(np.vstack([down, along, up, back, down[:1]]))
    return rings


def inside(ring: Floats, x: Floats, y: Floats) -> "np.typing.NDArray[np.bool_]":
    """Whether each point lies within a closed ring (even-odd rule)."""
    hit = np.zeros(len(x), dtype=bool)
    for (x0, y0), (x1, y1) in pairwise(ring):
        if y0 != y1:
            hit ^= ((y0 > y) != (y1 > y)) & (x < (x1 - x0) * (y - y0) / (y1 - y0) + x0)
    return hit


def on_the_ground(area: Ints, u: Floats, v: Floats) -> tuple[Floats, Floats]:
    """Easting and northing of points given in an area's own gently curved street grid (m along, m across)."""
    middle = np.array([ring[:-1].mean(axis=0) for ring in area_outlines()])
    turn = 0.35 + 0.62 * area
    bent_u = u + 60 * np.sin(v / 310 + area)
    bent_v = v + 75 * np.sin(u / 420 + 2 * area)
    x = middle[area, 0] + bent_u * np.cos(turn) - bent_v * np.sin(turn)
    y = middle[area, 1] + bent_u * np.sin(turn) + bent_v * np.cos(turn)
    return x, y


def _slots(area: int, wanted: int, rng: np.random.RandomState, ring: Floats) -> pd.DataFrame:
    """The street places of an area nearest to its settlements; the grid tightens until it holds enough."""
    pitch = 1.0
    while True:
        steps_u = np.arange(-3_800, 3_800, 185 * pitch)
        steps_v = np.arange(-3_800, 3_800, 78 * pitch)
        u, v = (grid.ravel() for grid in np.meshgrid(steps_u, steps_v))
        ends = [on_the_ground(np.full(len(u), area), u + du, v + dv) for du in (-105, 0, 105) for dv in (-60, 60)]
        fits = np.logical_and.reduce([inside(ring, x, y) for x, y in ends])
        if fits.sum() >= max(wanted, CENTRES):
            break
        pitch *= 0.85
    u, v = u[fits], v[fits]
    centre = rng.choice(len(u), CENTRES, replace=False)
    if area == AREAS.index("Merrowhythe"):
        x, y = on_the_ground(np.full(len(u), area), u, v)
        centre[0] = np.argmin(np.hypot(x - HARBOUR[0], y - HARBOUR[1]))
    apart = np.hypot(u[:, None] - u[centre], v[:, None] - v[centre]) * np.array([0.7, 1.0, 1.3])
    nearest = np.argsort(apart.min(axis=1) + rng.exponential(SCATTER, len(u)), kind="stable")[:wanted]
    return pd.DataFrame({"area": area, "u": u[nearest], "v": v[nearest]})


def streets(count: int, rng: np.random.RandomState) -> pd.DataFrame:
    """Street places (area, u, v, metres from the harbour), as many as asked for, in random order."""
    wanted = np.ceil(STREETS_SHARE * count).astype(int)
    rings = area_outlines()
    found = pd.concat([_slots(a, int(wanted[a]), rng, rings[a]) for a in range(len(AREAS))], ignore_index=True)
    x, y = on_the_ground(found["area"].to_numpy(), found["u"].to_numpy(), found["v"].to_numpy())
    found["from_harbour"] = np.hypot(x - HARBOUR[0], y - HARBOUR[1])
    return found.iloc[rng.permutation(len(found))[:count]].reset_index(drop=True)


def write_areas(path: Path) -> None:
    """The areas as GeoJSON in EPSG:27700."""
    features = [
        {
            "type": "Feature",
            "properties": {"area": name},
            "geometry": {"type": "Polygon", "coordinates": [ring.tolist()]},
        }
        for name, ring in zip(AREAS, area_outlines(), strict=True)
    ]
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::27700"}}
    whole = {"type": "FeatureCollection", "name": "areas", "crs": crs, "features": features}
    path.write_text(json.dumps(whole, indent=None) + "\n", encoding="utf-8")
