"""Every setting of a build: what portfolio.toml and the command say, over our defaults."""

import json
import tomllib
from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from typing import Any

from pipelines.errors import SettingsError


@dataclass(frozen=True)
class Settings:
    """name: what the pages call the portfolio. as_of: the day that the figures hold for.
    textured_coating_surface_score: HSG264 does not name textured coating in its surface table; 0 and 1 are
    both used in practice (from memory). Our default is the more cautious 1. priority_rounding: how HSG227's group
    averages become whole, `up` or `nearest` with halves up; the printed rule could not be checked. draws, seed: of the
    shared parameters, for the intervals of sums and ranks.
    """

    name: str
    as_of: date
    textured_coating_surface_score: int = 1
    priority_rounding: str = "up"
    draws: int = 200
    seed: int = 1

    def as_dict(self) -> dict[str, Any]:
        """The settings by name, as queries take them."""
        return asdict(self)

    def as_json(self) -> str:
        """The settings as a JSON object, dates as 2026-10-01."""
        return json.dumps(self.as_dict(), default=date.isoformat, sort_keys=True)


def read(folder: Path, as_of: date | None) -> Settings:
    """The settings of the portfolio in `folder`; the command's `as_of` goes before the file's.

    Raises SettingsError for a file that is not TOML, an unknown setting or an unusable value.
    """
    file = folder / "portfolio.toml"
    found: dict[str, Any] = {}
    if file.is_file():
        try:
            found = tomllib.loads(file.read_text(encoding="utf-8-sig"))
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
            raise SettingsError(str(file), f"not a TOML file: {error}", todo="Mend that line.") from error
    chosen: dict[str, Any] = {"name": folder.resolve().name, "as_of": date.today()} | found
    if as_of is not None:
        chosen["as_of"] = as_of
    faults = _faults(chosen)
    if faults:
        raise SettingsError(str(file), "; ".join(faults), todo="Mend or remove them.")
    return Settings(**chosen)


def _faults(chosen: dict[str, Any]) -> list[str]:
    expected: dict[str, tuple[str, Callable[[Any], bool]]] = {
        "name": ("a text", lambda value: isinstance(value, str)),
        "as_of": ("a date such as 2026-10-01, without quotes", lambda value: type(value) is date),
        "priority_rounding": ("up or nearest", lambda value: value in ("up", "nearest")),
        "draws": ("a whole number from 20 to 2000", lambda value: type(value) is int and 20 <= value <= 2000),
        "seed": ("a whole number", lambda value: type(value) is int),
        "textured_coating_surface_score": ("0 or 1", lambda value: type(value) is int and value in (0, 1)),
    }
    unknown = [
        f"unknown setting {name!r} (expected one of {', '.join(expected)})" for name in chosen if name not in expected
    ]
    wrong = [
        f"{name} is {chosen[name]!r} (expected {expected[name][0]})"
        for name in expected
        if name in chosen and not expected[name][1](chosen[name])
    ]
    return unknown + wrong
