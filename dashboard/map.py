"""The map: areas and buildings on a blank ground, drawn without any network."""

import json
from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd
import plotly.graph_objects as go

from dashboard import theme

# The one built-in ground that needs no network, as long as no text is drawn on the map.
BLANK = "white-bg"
HEIGHT_PX = 600
WIDTH_PX = 540
TILE_PX = 512
AIR = 1.25
SMALLEST_SPAN_DEGREES = 0.004
DIAMETER_OF_STEP = (7, 8, 9, 11, 13, 15)
DIAMETER_SEEN = 5
DIAMETER_UNSURVEYED = 4
RING = 5
GAP = 2
URGENT_RING = 11
URGENT_GAP = 5
MOST_DRAWN = 4_000
GRID_CELLS = 60


def figure(
    buildings: pd.DataFrame,
    areas: pd.DataFrame,
    colours: theme.Palette,
    roads: pd.DataFrame | None = None,
    footprints: pd.DataFrame | None = None,
) -> go.Figure:
    """Buildings over the outlines of areas and roads; their footprints when near.

    Colour and size both say how much (`step`, 0 to 5, or -1 where nothing is recorded); a strong ring apart from its
    dot says act now; a thin one, or one about nothing, says never surveyed. Later rows of `buildings` lie on top.
    The `customdata` of a mark and of a ground plan is the row of its building in `buildings`; `label` is what the
    pointer shows.
    """
    under: list[Any] = [_land(areas, colours)]
    if roads is not None and not roads.empty:
        under.append(_roads(roads, colours))
    if footprints is not None and not footprints.empty:
        under.append(_footprints(buildings, footprints, colours))
    drawn = go.Figure([*under, _dots(buildings, colours)])
    drawn.update_layout(
        map={"style": BLANK, "layers": [_sea(colours)], **_view(buildings)},
        height=HEIGHT_PX,
        margin={"l": 0, "r": 0, "t": 0, "b": 0},
        showlegend=False,
        uirevision="keep",
        paper_bgcolor=colours.sea,
        hoverlabel={"bgcolor": colours.background, "font": {"color": colours.text}},
    )
    return drawn


def grouped(buildings: pd.DataFrame) -> pd.DataFrame:
    """Buildings gathered on a grid where there are too many to draw: a mark for the worst of `n`."""
    if len(buildings) <= MOST_DRAWN:
        return buildings.assign(n=1)
    span = max(np.ptp(buildings["latitude"]), np.ptp(buildings["longitude"]))
    cell = span / GRID_CELLS
    keys = [(buildings["latitude"] // cell).rename("row"), (buildings["longitude"] // cell).rename("column")]
    ordered = buildings.sort_values("rank")
    return ordered.groupby(keys, sort=True).head(1).assign(n=ordered.groupby(keys)["rank"].transform("size"))


def _dots(buildings: pd.DataFrame, colours: theme.Palette) -> go.Scattermap:
    """Each mark as discs one on the other, which no other mark comes between: a ring, the ground within it, the dot.

    The ground parts ring and dot, whose colours may be all but the same.
    """
    unsurveyed = _is_unsurveyed(buildings)
    urgent = buildings["items_act_now"] > 0
    scored = buildings["step"] >= 0
    size = pd.Series(_diameter(buildings), buildings.index)
    fills = pd.Series([colours.steps[step] if step >= 0 else colours.quiet for step in buildings["step"]], size.index)
    discs: list[tuple[Any, Any, Any]] = [
        (unsurveyed, size + RING, colours.quiet),
        (unsurveyed, size + GAP, colours.land),
        (urgent, size + URGENT_RING, colours.text),
        (urgent, size + URGENT_GAP, colours.land),
        (scored | ~unsurveyed, size, fills),
    ]
    drawn = pd.concat([buildings[shown].assign(size=width, colour=fill) for shown, width, fill in discs])
    drawn = drawn.sort_index(kind="stable")
    return _marks(drawn, drawn["size"].to_numpy(), drawn["colour"])


def _is_unsurveyed(buildings: pd.DataFrame) -> pd.Series:
    return (buildings["properties_surveyed"] == 0) & (buildings["items"] == 0)


def _diameter(buildings: pd.DataFrame) -> np.ndarray[Any, Any]:
    size = np.where(_is_unsurveyed(buildings), DIAMETER_UNSURVEYED, DIAMETER_SEEN)
    scored = (buildings["step"] >= 0).to_numpy()
    size[scored] = [DIAMETER_OF_STEP[step] for step in buildings.loc[scored, "step"]]
    return size


def _marks(buildings: pd.DataFrame, size: Any, colour: Any) -> go.Scattermap:
    return go.Scattermap(
        lat=buildings["latitude"].to_numpy("float32"),
        lon=buildings["longitude"].to_numpy("float32"),
        mode="markers",
        marker={"size": size, "color": list(colour), "opacity": 1},
        customdata=buildings.index.to_numpy("int32"),
        text=buildings["label"].to_list(),
        hovertemplate="%{text}<extra></extra>",
        unselected={"marker": {"opacity": 1}},
    )


def _land(areas: pd.DataFrame, colours: theme.Palette) -> go.Choroplethmap:
    """The areas with the borders between them; each says its name under the pointer."""
    drawn = areas[areas["outline"].notna()]
    return _filled(drawn["outline"], [0] * len(drawn), [colours.land]).update(
        marker={"line": {"color": colours.coast, "width": 1.2}},
        text=drawn["label"].to_list(),
        hovertemplate="%{text}<extra></extra>",
    )


def _footprints(buildings: pd.DataFrame, footprints: pd.DataFrame, colours: theme.Palette) -> go.Choroplethmap:
    """The ground plans in the colour of their step, to be chosen as the marks are; they show when near."""
    marks = buildings[["building_ref", "step", "label"]].rename_axis("mark").reset_index()
    plans = footprints.merge(marks, on="building_ref")
    return _filled(plans["outline"], list(plans["step"]), [colours.coast, *colours.steps], lowest=-1).update(
        customdata=plans["mark"].to_numpy("int32"),
        text=plans["label"].to_list(),
        hovertemplate="%{text}<extra></extra>",
        marker={"line": {"color": colours.text, "width": 0.5}},
        unselected={"marker": {"opacity": 1}},
    )


def _filled(outlines: pd.Series, steps: Sequence[int], fills: Sequence[str], lowest: int = 0) -> go.Choroplethmap:
    """Polygons, each in the fill of its step, counted from `lowest`."""
    shapes = _collection(outlines)
    scale = [[edge / len(fills), fill] for at, fill in enumerate(fills) for edge in (at, at + 1)]
    return go.Choroplethmap(
        geojson=shapes,
        locations=[feature["id"] for feature in shapes["features"]],
        z=list(steps),
        zmin=lowest - 0.5,
        zmax=lowest + len(fills) - 0.5,
        colorscale=scale,
        showscale=False,
    )


def _roads(roads: pd.DataFrame, colours: theme.Palette) -> go.Scattermap:
    """Every road as a line; None lifts the pen between them."""
    longitude: list[float | None] = []
    latitude: list[float | None] = []
    for outline in roads["outline"]:
        shape = json.loads(outline)
        for line in [shape["coordinates"]] if shape["type"] == "LineString" else shape["coordinates"]:
            longitude += [*(point[0] for point in line), None]
            latitude += [*(point[1] for point in line), None]
    return go.Scattermap(
        lon=longitude, lat=latitude, mode="lines", line={"color": colours.line, "width": 1.6}, hoverinfo="skip"
    )


def _sea(colours: theme.Palette) -> dict[str, Any]:
    """One shape over the whole world, under everything else."""
    corners = [[-180, -85], [180, -85], [180, 85], [-180, 85], [-180, -85]]
    world = json.dumps({"type": "Polygon", "coordinates": [corners]})
    source = _collection(pd.Series([world]))
    return {"type": "fill", "sourcetype": "geojson", "source": source, "color": colours.sea, "below": "traces"}


def _collection(outlines: pd.Series) -> dict[str, Any]:
    features = [
        {"type": "Feature", "id": number, "properties": {}, "geometry": json.loads(outline)}
        for number, outline in enumerate(outlines)
    ]
    return {"type": "FeatureCollection", "features": features}


def _view(buildings: pd.DataFrame) -> dict[str, Any]:
    """Middle and zoom that hold every building, with some air around them, on a map `WIDTH_PX` wide."""
    north, south = float(buildings["latitude"].max()), float(buildings["latitude"].min())
    east, west = float(buildings["longitude"].max()), float(buildings["longitude"].min())
    stretch = 1 / np.cos(np.radians((north + south) / 2))
    span = AIR * max(east - west, stretch * (north - south) * WIDTH_PX / HEIGHT_PX, SMALLEST_SPAN_DEGREES)
    return {
        "center": {"lat": (north + south) / 2, "lon": (east + west) / 2},
        "zoom": float(np.log2(360 * WIDTH_PX / TILE_PX / span)),
    }
