"""The map: areas and buildings on a blank ground, drawn without any network."""

import json
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
DIAMETER_UNSURVEYED = 7
RING = 5


def figure(buildings: pd.DataFrame, areas: pd.DataFrame, colours: theme.Palette) -> go.Figure:
    """Buildings by their worst item over the outlines of areas.

    Colour and size both say the score; a dark ring says act now; a hollow ring says never surveyed. The
    `customdata` of a mark is the row of its building in `buildings`. `label` is what the pointer shows.
    """
    drawn = go.Figure([_land(areas, colours), _rings(buildings, colours), *_dots(buildings, colours)])
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


def _rings(buildings: pd.DataFrame, colours: theme.Palette) -> go.Scattermap:
    """Under the dots: what shows around them as a ring."""
    size = _diameter(buildings) + np.where(buildings["items_act_now"] > 0, RING, 0)
    unsurveyed = _is_unsurveyed(buildings)
    shown = unsurveyed | (buildings["items_act_now"] > 0)
    colour = np.where(unsurveyed, colours.quiet, colours.text)
    return _marks(buildings[shown], size[shown], colour[shown])


def _dots(buildings: pd.DataFrame, colours: theme.Palette) -> list[go.Scattermap]:
    unsurveyed = _is_unsurveyed(buildings)
    scored = buildings["worst_score"].notna()
    steps = [colours.steps[theme.step(int(score))] for score in buildings.loc[scored, "worst_score"]]
    seen = ~unsurveyed & ~scored
    diameter = _diameter(buildings)
    return [
        _marks(buildings[unsurveyed], diameter[unsurveyed] - 3, np.full(int(unsurveyed.sum()), colours.land)),
        _marks(buildings[seen], diameter[seen], np.full(int(seen.sum()), colours.quiet)),
        _marks(buildings[scored], diameter[scored], np.array(steps)),
    ]


def _is_unsurveyed(buildings: pd.DataFrame) -> pd.Series:
    return (buildings["properties_surveyed"] == 0) & buildings["worst_score"].isna()


def _diameter(buildings: pd.DataFrame) -> np.ndarray[Any, Any]:
    size = np.where(_is_unsurveyed(buildings), DIAMETER_UNSURVEYED, DIAMETER_SEEN)
    scored = buildings["worst_score"].notna().to_numpy()
    size[scored] = [DIAMETER_OF_STEP[theme.step(int(score))] for score in buildings.loc[scored, "worst_score"]]
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
    shapes = {
        "type": "FeatureCollection",
        "features": [
            {"type": "Feature", "id": number, "properties": {}, "geometry": json.loads(outline)}
            for number, outline in enumerate(drawn["outline"])
        ],
    }
    return go.Choroplethmap(
        geojson=shapes,
        locations=list(range(len(drawn))),
        z=[0] * len(drawn),
        colorscale=[[0, colours.land], [1, colours.land]],
        showscale=False,
        marker={"line": {"color": colours.coast, "width": 1.2}},
        text=drawn["label"].to_list(),
        hovertemplate="%{text}<extra></extra>",
    )


def _sea(colours: theme.Palette) -> dict[str, Any]:
    """One shape over the whole world, under everything else."""
    corners = [[-180, -85], [180, -85], [180, 85], [-180, 85], [-180, -85]]
    world = {"type": "Feature", "properties": {}, "geometry": {"type": "Polygon", "coordinates": [corners]}}
    source = {"type": "FeatureCollection", "features": [world]}
    return {
        "type": "fill",
        "sourcetype": "geojson",
        "source": source,
        "color": colours.sea,
        "below": "traces",
    }


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
