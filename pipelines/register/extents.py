"""Extents as surveyors write them: `approx 12 m2`, `2.4 x 1.2`, `3 no.`, `5-10`, `600x600mm`."""

import re
from collections.abc import Mapping
from typing import Any

import duckdb
import pandas as pd

from pipelines import queries
from pipelines.register.words import plain

NUMBER = r"(\d+(?:\.\d+)?|\.\d+)"
ABOUT = re.compile(r"^(?:approximately|approx\.?|circa|ca?\.?|about|abt|est\.?|say|~|±|\+/-)\s*(?=\d)")
SAYING = re.compile(r"^(?!x\s*\d)[a-z][a-z ,./-]*(?=\d)")
COUNTED = re.compile(r"\b(just|only)\b")
BOUND = re.compile(r"^(?:>=?|<=?|over|under|up to|more than|less than|min\.?|max\.?)\s*(?=\d)")
TIMES = re.compile(
    rf"^{NUMBER}\s*(mm|cm|m)?\s*[x×*]\s*{NUMBER}\s*(mm|cm|m)?(?:\s*[x×*]\s*{NUMBER}\s*(?:mm|cm|m)?)?\s*(.*)$"
)
PIECES = re.compile(
    rf"^(?:x\s*)?{NUMBER}\s*(?:no\.?|nr\.?|off|panels?|sheets?|boards?)\s*[,:@]?\s*(?:at |of |each )?(?=\d)(.*)$"
)
"""So many pieces, each of a size: `2 panels, 1.2 x 0.6m`."""
RANGE = re.compile(rf"^{NUMBER}\s*(?:-|–|to)\s*{NUMBER}\s*(.*)$")
COUNT = re.compile(rf"^x\s*{NUMBER}$")
SINGLE = re.compile(rf"^{NUMBER}\s*\+?\s*(.*)$")
DATE = re.compile(r"^\d{4}-\d{2}-\d{2}")
FRACTIONS = {"½": 0.5, "1/2": 0.5, "¼": 0.25, "1/4": 0.25, "¾": 0.75, "3/4": 0.75}
FRACTION = re.compile(r"(?:\b(\d+)\s*)?(½|¼|¾|(?<![\d/])(?:1/2|1/4|3/4)(?![\d/]))")
COUNTS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
WORDS_FIRST = re.compile(rf"^(?:a |just )?({'|'.join(COUNTS)})\b(.*)$")
HALF = re.compile(r"^(?:about )?half (?:an? )?(?=m|sq|lm|lin)")
COUNTED_BY_EYE = re.compile(r"^(?:about )?(half a dozen|a dozen|a couple|a pair)\b(?: of)?(.*)$")
IN_FIGURES = {"half a dozen": 6, "a dozen": 12, "a couple": 2, "a pair": 2}
"""Counts in other words, as people say them who count by eye."""
BEFORE = re.compile(r"\s*\((?:was|were|previously|formerly|prev\.?)\b[^()]*\)")
EACH = re.compile(rf"^({NUMBER}(?:(?:,\s+|,?\s*and\s+|\s*[&+]\s*){NUMBER})+)\s*([a-z].*)$")
"""Figures one after the other: `11, 9 and 6 sq m`."""
AND, FIGURE_AND_UNIT = re.compile(r"(?:,\s+|,?\s*\band\b|\s*[&+])\s*"), re.compile(rf"^{NUMBER}\s*([a-z].*)$")
COUNT_ALONE = re.compile(rf"[,;(]\s*({'|'.join(COUNTS)})(?: off| no\.?)?\s*(?=[,;.)]|$)")
"""How many there are, between the marks of a description without figures: `Cistern of resin, one.`"""
PER_ROOM = re.compile(r"(?<=[a-z2.])\s*(?:\(\s*)?\b(?:each(?: room)?|per room|in each(?: room)?|apiece)\s*\)?\s*$")
"""Behind a unit, what says that as much is in each of several rooms: `11 sq m each`."""
COUNT_BEFORE = re.compile(r"^\d+ [a-z ]+,\s*(?=(?:approx\.?|about|c\.|~)?\s*\d+(?:\.\d+)?\s*(?:m2|sq\.? ?m|sqm)\b)")
"""How many there are, before how much that is: `16 tiles, approx 6 m2`."""
METRES = {"mm": 0.001, "cm": 0.01, "m": 1.0}
FIGURES = {"o": "0", "l": "1"}
LETTERS = re.compile(r"(?<=\d)o(?=[\do.]|\W|$)|(?<![a-z\d])[ol](?=[.\d])")
"""A letter that was typed for a figure: `12O sq.m`."""
FEET = {"sq ft": (0.09290304, "m2"), "sq yd": (0.83612736, "m2"), "ft": (0.3048, "m"), "yd": (0.9144, "m")}
"""The old measures in metres."""
POWERS = ("sq", "square", "cu", "cubic")
"""What says no unit where another word stands behind it, as of `40 sq feet in all`."""
OLD_MEASURE = re.compile(
    r"^(?P<square>sq(?:uare)?\.?\s*)?(?:(?P<foot>f(?:oo|ee)?t)|y(?:ar)?ds?)(?P<power>2)?\.?(?:\s*(?:run|super|approx))?\.?$"
)
TYPES = {"written": "string", "written_unit": "string", "extent": "float64", "unit": "string", "how": "string"}
TYPES |= {"figures": "string"}

Read = tuple[float | None, str | None, str]


def read(con: duckdb.DuckDBPyConnection) -> None:
    """Make `extents_read`: one row per extent and unit as written, with the figure, its unit and how it was read.

    `figures` has those of which it is the sum, by `|`, as of three rooms.
    """
    units = {
        plain(written): term
        for field, term, written in queries.tuples(con, "register", "known_terms")
        if field == "extent_unit"
    }
    rows = queries.tuples(con, "register", "extents_to_read")
    found: list[tuple[Any, ...]] = [(text, unit, *extent(text, unit, units), each(text)) for text, unit in rows]
    queries.insert(con, "extents_read", pd.DataFrame(found, columns=list(TYPES)).astype(TYPES))


def each(written: str) -> str | None:
    """The figures of an extent such as `11, 9 and 6 sq m`, by `|`."""
    found = EACH.match(_in_decimals(_plain(written)))
    return "|".join(re.findall(NUMBER, found[1])) if found else None


def _plain(written: str) -> str:
    text = " ".join(written.lower().replace("²", "2").replace("³", "3").split())
    return _of_one_unit(BEFORE.sub("", re.sub(r"(?<=\d),(?=\d{3}\b)", "", text)))


def _of_one_unit(text: str) -> str:
    """Figures with one unit each, with it behind the last: `15 m2 + 4 m2` is `15 + 4 m2`."""
    pieces = [FIGURE_AND_UNIT.match(piece) for piece in AND.split(text)]
    said = [piece.groups() for piece in pieces if piece]
    if len(said) < max(2, len(pieces)) or len({unit for _, unit in said}) > 1:
        return text
    return f"{' + '.join(number for number, _ in said)} {said[0][1]}"


def _in_decimals(text: str) -> str:
    """`1½` as `1.5`."""
    return FRACTION.sub(lambda said: f"{int(said[1] or 0) + FRACTIONS[said[2]]:g}", text)


def extent(written: str, written_unit: str | None, units: Mapping[str, str]) -> Read:
    """The figure, its unit (m2, m, nr, m3) and how it was read.

    `known`: one figure; `comma`: one with a comma for the decimal point; `vague`: a figure with `about`, a bound or a
    range, of which the upper end stands, or the sum of several; `multiplied`: length by width; `letters`: a figure
    with letters typed in it; `feet`: feet or yards; `unclear`: no figure.
    `units` maps plain words to units; a unit beside the figure goes before the one of the unit column.
    """
    text = _in_decimals(_plain(written))
    if figures := each(text):
        together = sum(map(float, figures.split("|")))
        text = EACH.sub(lambda found: f"approx {together:g} {found[found.re.groups]}", text)
    text = PER_ROOM.sub("", COUNT_BEFORE.sub("", text))
    text = HALF.sub("0.5 ", text)
    if (alone := COUNT_ALONE.search(text)) and not re.search(r"\d", text):
        return float(COUNTS.index(alone[1]) + 1), "nr", "vague"
    text = COUNTED_BY_EYE.sub(_in_figures, text)
    text = WORDS_FIRST.sub(_in_figures, text)
    typed, text = text, LETTERS.sub(lambda said: FIGURES[said[0]], text)
    exact = "comma" if re.search(r"\d,\d{1,2}(?!\d)", text) else "known" if typed == text else "letters"
    text = re.sub(r"(?<=\d),(?=\d)", ".", text)
    bare = SAYING.sub("", BOUND.sub("", ABOUT.sub("", text)))
    how = "vague" if bare != text or text.rstrip().endswith("+") else exact
    column = units.get(plain(written_unit or "")) or ("nr" if COUNTED.search(text) else None)
    if DATE.match(text):
        return None, column, "unclear"
    if (pieces := PIECES.match(bare)) and (match := TIMES.match(pieces[2])):
        area, unit, how = _area(match, None, units)
        return (round(area * float(pieces[1]), 4) if area else area), unit, how
    if match := TIMES.match(bare):
        return _area(match, column, units)
    if match := COUNT.match(bare):
        return float(match[1]), column or "nr", how
    if match := RANGE.match(bare):
        return _figure(max(float(match[1]), float(match[2])), match[3], column, units, "vague")
    if match := SINGLE.match(bare):
        return _figure(float(match[1]), match[2], column, units, how)
    return None, column, "unclear"


def _in_figures(said: re.Match[str]) -> str:
    """A count in words: `one` alone is `x 1`, beside a unit `1`."""
    count = IN_FIGURES.get(said[1]) or COUNTS.index(said[1]) + 1
    return f"{'' if said[2].strip() else 'x '}{count}{said[2]}"


def _area(match: re.Match[str], column: str | None, units: Mapping[str, str]) -> Read:
    """Length by width in metres; millimetres where the figures are too large for anything else."""
    scale = METRES[match[4] or match[2] or ("mm" if min(float(match[1]), float(match[3])) >= 100 else "m")]
    first = METRES[match[2]] if match[2] else scale
    if units.get(plain(match[6])) == "nr" or (match[5] is not None and match[4] is None and column == "nr"):
        return float(match[1]), "nr", "vague"
    return round(float(match[1]) * first * float(match[3]) * scale, 4), "m2", "multiplied"


def _figure(number: float, rest: str, column: str | None, units: Mapping[str, str], how: str) -> Read:
    words = plain(rest)
    if words in ("mm", "cm"):
        return round(number * METRES[words], 4), "m", how
    if old := OLD_MEASURE.match(rest.strip()):
        scale, metric = FEET[("sq " if old["square"] or old["power"] else "") + ("ft" if old["foot"] else "yd")]
        return round(number * scale, 2), metric, "feet"
    unit = units.get(words)
    if words and unit is None:
        begins = (" ".join(words.split()[:n_words]) for n_words in (2, 1))
        first = next((units[one] for one in begins if one in units and one not in POWERS), None)
        return (number, first or column, "vague") if first or not re.search(r"\d", words) else (None, column, "unclear")
    return number, unit or column, how
