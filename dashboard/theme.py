"""The colours, read from theme.toml: for Streamlit's own widgets, our style sheet and the map."""

import tomllib
from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
HIGHEST = 12
"""The most that a material score can be."""
SHARES = (0.02, 0.06, 0.15, 0.3, 0.6, 1.0)


@dataclass(frozen=True)
class Palette:
    """The colours of one theme as `#rrggbb`; `steps` go from least to most risk, `on_steps` is text on them."""

    background: str
    surface: str
    text: str
    quiet: str
    line: str
    accent: str
    sea: str
    land: str
    coast: str
    steps: tuple[str, ...]
    on_steps: tuple[str, ...]


@cache
def _read() -> dict[str, Any]:
    return tomllib.loads((HERE / "theme.toml").read_text(encoding="utf-8"))


def palette(name: str | None) -> Palette:
    """The palette of the theme `light` or `dark`; light where the browser has not said."""
    colours: dict[str, Any] = _read()["dark" if name == "dark" else "light"]
    return Palette(**colours | {"steps": tuple(colours["steps"]), "on_steps": tuple(colours["on_steps"])})


def step(score: int) -> int:
    """The step, 0 to 5, of a material score from 2 to 12."""
    return max(bisect_right(_read()["steps_from"], score) - 1, 0)


def share_step(value: float, most: float) -> int:
    """The step, 0 to 5, of a figure by its share of the greatest: up to 2, 6, 15, 30, 60 and 100 %."""
    return min(bisect_left(SHARES, value / most), len(SHARES) - 1) if most > 0 else 0


def score_steps() -> list[str]:
    """The material scores of each step in words: `2–3`, `4` ..."""
    starts = [*_read()["steps_from"], HIGHEST + 1]
    ranges = zip(starts, [following - 1 for following in starts[1:]], strict=False)
    return [str(first) if first == last else f"{first}–{last}" for first, last in ranges]


def style_sheet(colours: Palette) -> str:
    """Our style sheet with a palette filled in as CSS custom properties."""
    names = ("background", "surface", "text", "quiet", "line", "accent", "land")
    properties = [f"--{name}: {getattr(colours, name)};" for name in names]
    steps = [
        f".step{n} {{ --fill: {fill}; --ink: {ink}; }}"
        for n, (fill, ink) in enumerate(zip(colours.steps, colours.on_steps, strict=True))
    ]
    return "\n".join([f":root {{ {' '.join(properties)} }}", *steps, (HERE / "report.css").read_text("utf-8")])


def streamlit_options() -> dict[str, str]:
    """Streamlit's own theme options for both themes."""
    names = {
        "primaryColor": "accent",
        "backgroundColor": "background",
        "secondaryBackgroundColor": "surface",
        "textColor": "text",
        "borderColor": "line",
        "linkColor": "accent",
    }
    return {
        f"theme.{kind}.{option}": getattr(palette(kind), ours)
        for kind in ("light", "dark")
        for option, ours in names.items()
    }
