"""Tables for other people's programs, with hostile text made harmless."""

import numpy as np
import pandas as pd

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def csv(frame: pd.DataFrame) -> str:
    """A frame as csv text; several values of a cell have semicolons between them. A text that a spreadsheet program
    would run as a formula gets a leading quote mark; control characters become blanks, as a terminal would obey them.
    """
    safe = frame.copy()
    for name in safe.columns:
        if not pd.api.types.is_numeric_dtype(safe[name]):
            safe[name] = safe[name].map(_harmless)
    safe.columns = [harmless(str(name)) for name in safe.columns]
    return safe.to_csv(index=False, lineterminator="\n")


def printable(text: str) -> str:
    """A text on one line without control characters, which a terminal would obey."""
    return "".join(mark if mark.isprintable() else " " for mark in text)


def harmless(text: str) -> str:
    """A text that no spreadsheet program runs and no terminal obeys."""
    if text.lstrip(" \n").startswith(FORMULA_STARTS):
        text = f"'{text}"
    return "".join(mark if mark.isprintable() or mark == "\n" else " " for mark in text)


def _harmless(value: object) -> object:
    if isinstance(value, np.ndarray):
        value = "; ".join(map(str, value))
    return harmless(value) if isinstance(value, str) else value
