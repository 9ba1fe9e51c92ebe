"""The map says the same of a building in each order: how much, whether to act now, and whether anybody looked."""

import json
from typing import Any

import pandas as pd
import pytest

from dashboard import map, theme
from tests.dashboard.test_theme import FOR_TEXT, contrast

COLOURS = theme.palette("light")
SEEN_PX = 2
NO_AREAS = pd.DataFrame({"outline": pd.Series(dtype=object), "label": pd.Series(dtype=object)})


def buildings(steps: list[int]) -> pd.DataFrame:
    """One that needs action now, one that was never surveyed, one that was, and no more is known of them."""
    return pd.DataFrame(
        {
            "building_ref": ["urgent", "never", "seen"],
            "label": ["urgent", "never", "seen"],
            "latitude": [50.0, 50.1, 50.2],
            "longitude": [-1.0, -1.1, -1.2],
            "step": steps,
            "items": [3, 0, 0],
            "items_act_now": [1, 0, 0],
            "properties_surveyed": [1, 0, 1],
            "rank": [1, 2, 3],
        }
    )


def drawn(at: int, figure: Any) -> list[tuple[float, str]]:
    """Size and colour of every mark of one building, the lowest first."""
    return [
        (size, colour)
        for trace in figure.data
        if trace.type == "scattermap" and trace.mode == "markers"
        for mark, size, colour in zip(trace.customdata, trace.marker.size, trace.marker.color, strict=True)
        if mark == at
    ]


@pytest.mark.parametrize("steps", [[4, -1, -1], [5, 0, 0]], ids=["by score", "by exposure"])
def test_what_was_never_surveyed_has_a_ring_apart_from_any_dot_in_each_order(steps: list[int]) -> None:
    found = buildings(steps)
    figure = map.figure(found, NO_AREAS, COLOURS)
    (ring, outline), (gap, ground), *dots = drawn(1, figure)
    assert (outline, ground) == (COLOURS.quiet, COLOURS.land)
    assert ring > gap
    assert [size < gap for size, _ in dots] == [True] * (steps[1] >= 0)
    assert len(drawn(2, figure)) == 1


@pytest.mark.parametrize("name", ["light", "dark"])
@pytest.mark.parametrize("step", range(6))
def test_the_ring_of_what_cannot_wait_is_seen_about_a_dot_of_every_step(step: int, name: str) -> None:
    colours = theme.palette(name)
    (ring, outline), (gap, ground), (dot, fill) = drawn(0, map.figure(buildings([step, -1, -1]), NO_AREAS, colours))
    assert fill == colours.steps[step]
    assert ring - gap >= 2 * SEEN_PX and gap - dot >= 2 * SEEN_PX
    assert contrast(outline, ground) >= FOR_TEXT


def test_no_mark_comes_between_the_ring_and_the_dot_of_another() -> None:
    figure = map.figure(buildings([4, -1, -1]), NO_AREAS, COLOURS)
    (marks,) = (trace for trace in figure.data if trace.type == "scattermap")
    assert list(marks.customdata) == [0, 0, 0, 1, 1, 2]


def test_a_ground_plan_stands_for_its_building() -> None:
    square = json.dumps({"type": "Polygon", "coordinates": [[[0, 0], [0, 1], [1, 1], [0, 0]]]})
    plans = pd.DataFrame({"building_ref": ["seen", "elsewhere", "urgent"], "outline": [square] * 3})
    figure = map.figure(buildings([4, -1, -1]), NO_AREAS, COLOURS, footprints=plans)
    drawn_plans = figure.data[1]
    assert list(zip(drawn_plans.customdata, drawn_plans.z, drawn_plans.text, strict=True)) == [
        (2, -1, "seen"),
        (0, 4, "urgent"),
    ]


def test_too_many_buildings_are_gathered_into_the_worst_of_each_cell(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(map, "MOST_DRAWN", 2)
    near = buildings([4, -1, -1]).assign(latitude=[50.0, 50.0, 51.0], longitude=[-1.0, -1.0, -1.0])
    gathered = map.grouped(near)
    assert list(zip(gathered["building_ref"], gathered["n"], strict=True)) == [("urgent", 2), ("seen", 1)]
