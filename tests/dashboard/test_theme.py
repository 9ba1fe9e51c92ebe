"""Colours hold their promises: text is legible, and risk is one hue that gets steadily stronger."""

import colorsys
from itertools import pairwise

import pytest

from dashboard import theme

THEMES = ("light", "dark")
FOR_TEXT = 4.5
BETWEEN_STEPS = 1.3
ONE_HUE_DEGREES = 15.0


def channels(colour: str) -> tuple[float, float, float]:
    """Red, green and blue from 0 to 1, linear. Source: W3C, WCAG 2.2, definition of relative luminance."""
    shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares)
    return red, green, blue


def luminance(colour: str) -> float:
    red, green, blue = channels(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """From 1 to 21. Source: W3C, WCAG 2.2, definition of contrast ratio."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def hue(colour: str) -> float:
    """In degrees. Source: the hexagonal hue of HSV, by the standard library."""
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return 360 * colorsys.rgb_to_hsv(red, green, blue)[0]


def test_black_on_white_is_the_greatest_contrast() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)  # W3C, WCAG 2.2: ratios range from 1 to 21


@pytest.mark.parametrize("name", THEMES)
@pytest.mark.parametrize("ink", ["text", "quiet", "accent"])
@pytest.mark.parametrize("ground", ["background", "surface"])
def test_text_is_legible(name: str, ink: str, ground: str) -> None:
    palette = theme.palette(name)
    assert contrast(getattr(palette, ink), getattr(palette, ground)) >= FOR_TEXT


@pytest.mark.parametrize("name", THEMES)
def test_a_score_is_legible_on_its_step(name: str) -> None:
    palette = theme.palette(name)
    pairs = list(zip(palette.steps, palette.on_steps, strict=True))
    assert [pair for pair in pairs if contrast(*pair) < FOR_TEXT] == []


@pytest.mark.parametrize(("name", "direction"), [("light", -1), ("dark", 1)])
def test_risk_moves_away_from_the_ground_step_by_step(name: str, direction: int) -> None:
    steps = theme.palette(name).steps
    assert [pair for pair in pairwise(steps) if direction * (luminance(pair[1]) - luminance(pair[0])) <= 0] == []
    assert [pair for pair in pairwise(steps) if contrast(*pair) < BETWEEN_STEPS] == []


@pytest.mark.parametrize("name", THEMES)
def test_risk_is_one_hue(name: str) -> None:
    hues = [hue(step) for step in theme.palette(name).steps]
    assert max(hues) - min(hues) <= ONE_HUE_DEGREES


def test_no_step_of_colour_crosses_a_band() -> None:
    bands = ((2, 4), (5, 6), (7, 9), (10, 12))
    steps = [{theme.step(score) for score in range(low, high + 1)} for low, high in bands]
    assert [one & other for one, other in pairwise(steps) if one & other] == []
    assert set().union(*steps) == set(range(6))
