"""Dates as people write them: day first unless the file proves otherwise."""

import re
from calendar import month_abbr
from collections.abc import Sequence
from datetime import date, timedelta
from itertools import groupby
from typing import Any

import duckdb
import pandas as pd

from pipelines import queries

YEAR_FIRST = re.compile(r"^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?$")
NUMBERS = re.compile(r"^(\d{1,2})\s*[/.\-\\ ]\s*(\d{1,2})\s*[/.\-\\ ]\s*(\d{4}|\d{2})(?:[T ]+\d{1,2}[:.]\d{2}.*)?$")
TIME = r"(?:,? +(?:at )?\d{1,2}[:.]\d{2}(?::\d{2})?(?: ?[ap]m)?)?"
WITH_WORD = re.compile(
    r"^(?:[a-z]{3,9},?\s+)?(\d{1,2})(?:st|nd|rd|th)?[\s\-/.,]*([a-z]{3,9})[\s\-/.,']*(\d{4}|\d{2})" + TIME + "$"
)
WORD_FIRST = re.compile(
    r"^(?:[a-z]{3,9},?\s+)?([a-z]{3,9})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4}|\d{2})" + TIME + "$"
)
MONTH_ONLY = re.compile(r"^([a-z]{3,9})[\s\-/.,']*(\d{4}|\d{2})$")
YEAR_AND_MONTH = re.compile(r"^((?:19|20)\d\d)-(0[1-9]|1[0-2])$")
YEAR_ONLY = re.compile(r"^((?:19|20)\d\d)(?:\.0)?$")
WITHOUT_YEAR = re.compile(r"^\d{1,2}(?:st|nd|rd|th)?(?:\s+of)?\s+([a-z]{3,9})\.?$")
TOGETHER = re.compile(r"^(19|20)(\d{2})(\d{2})(\d{2})$")
SERIAL = re.compile(r"^[2-5]\d{4}(\.\d+)?$")
SERIAL_ZERO = date(1899, 12, 30)
MONTHS = {name.lower(): number for number, name in enumerate(month_abbr) if name} | {"sept": 9}
BY_WHOM = re.compile(r"^(?!w(?:ee)?k\b)[a-z][a-z .&'-]*?[ ,:-]+(?=\d{1,2}[/.-]\d{1,2}[/.-](?:\d{4}|\d\d)$)")
"""Who came, before the day of a column that has both."""
WEEKDAY = re.compile(r"^(?:mon|tues?|wed(?:nes)?|thur?s?|fri|sat(?:ur)?|sun)(?:day)?\.?,? (?=\d)")
DAYS = re.compile(
    r"^(?:(?:in|on|over) [a-z ]{1,20},? )?\d{1,2}(?:st|nd|rd|th)? ?(?:&|and|to|-|–) ?"
    r"(?=\d{1,2}(?:st|nd|rd|th)? ?[a-z]{3,9} (?:\d{4}|\d\d)$)"
)
"""Before the last of several days: `5 & 6 April 2023`."""
TWO_DAYS = re.compile(r"^(\d\S*(?: [a-z]{3,9} \d+)?)(?: ?& ?| and | to | ?– ?| - )(\d.*)$")
"""Two days in full, of two visits or from one to the other: `13/03/2024 & 27/03/2024`."""
WEEK = re.compile(r"^(?:w/?[cb]|w(?:ee)?k (?:commencing|beginning|starting|of))\b[.:]? *(?=\S)")
"""Before the first day of a week: `w/c 3 June 24`."""
NO_YEAR = re.compile(r"^(\d{1,2})[/.](\d{1,2})$")
SEVERAL = re.compile(r"^(.+?) \(also .+\)$")
"""A day beside others, as `labels.labelled` writes it."""
SAID_BY = re.compile(r"^(.+) \((year above|name of the sheet|of all|last visit)\)$")
"""A day whose year stands on a line above, as `register_lines` writes it, that is a sheet's name (`home_lines`), or
that is told of all visits or of the last one (`labels`)."""
LAST_VISIT = " (last visit)"
"""Behind the day of the last visit that stands above a table."""
OF_ALL = " (of all)"
"""Behind a day that is told of all visits, so that it reads as any other."""
TYPES = {"path": "string", "hand": "string", "written": "string", "day": "date32[day][pyarrow]", "how": "string"}

APOSTROPHES = re.compile("[’‘´`]")
"""As a word processor writes them before the figures of a year: `3rd Sept ’24`."""
LETTERS = re.compile(r"^(?=.*[ol])(?=.*\d)[\dol]{1,4}([/.-][\dol]{1,4}){2}$")
"""A date in figures for some of which letters were typed: `3O.6.99`."""
FIGURES = str.maketrans("ol", "01")

NOBODY = ""
"""The hand of what nobody signed, in files whose hands differ."""
ORDERS = ("day first", "month first")
"""How days were read that can be read in both orders."""
Read = tuple[date | None, str]


def read(con: duckdb.DuckDBPyConnection, as_of: date) -> None:
    """Make `dates_read`: one row per file and date as written, with the day and how it was read; in files with dates in
    both orders one row for each hand that wrote it, as everybody keeps to an order of their own."""
    found: list[tuple[Any, ...]] = []
    for path, rows in groupby(queries.tuples(con, "register", "dates_to_read"), key=lambda row: row[0]):
        hands: dict[str | None, list[str]] = {}
        for _, hand, text in rows:
            hands.setdefault(hand, []).append(text)
        read: list[tuple[str | None, tuple[str, Read]]]
        written = list(dict.fromkeys(text for texts in hands.values() for text in texts))
        if len(hands) > 1 and _order(written) == "mixed":
            read = [(hand or NOBODY, one) for hand, texts in hands.items() for one in _of_hand(texts, as_of)]
        else:
            read = [(None, one) for one in zip(written, days(written, as_of), strict=True)]
        found += [(path, hand, text, day, how) for hand, (text, (day, how)) in read]
    queries.insert(con, "dates_read", pd.DataFrame(found, columns=list(TYPES)).astype(TYPES))


def is_date(text: str) -> bool:
    """Whether a text reads as a date; a number of days or a year alone does not."""
    short = _short(text)
    return not (SERIAL.match(short) or YEAR_ONLY.match(short)) and _day(short, "day first", date.max)[1] != "impossible"


def is_day_of_some_year(text: str) -> bool:
    """Whether a text is a day and month without a year: `18th April`."""
    found = WITHOUT_YEAR.match(_short(text))
    return found is not None and _month(found[1]) is not None


def is_day_in_figures(text: str) -> bool:
    """Whether figures can be a day and month without a year: `17/9`. A score or amount can be such too."""
    found = NO_YEAR.match(_short(text))
    return found is not None and 1 <= int(found[1]) <= 31 and 1 <= int(found[2]) <= 12


def days(written: Sequence[str], as_of: date) -> list[Read]:
    """The day that each text of one file means, and how it was read.

    `known`: it can mean one day only; `day first`: usual where numbers can be read both ways; `month first`: others
    of the file prove that order; `mixed`: others prove both orders, so it is left open; `month`: no day is given,
    so the first of the month stands; `year`: only a year is given, so its first day stands; `week`: that of a week
    is given, so its first; `no year`: none is given, so it is that of the file's other days; `year above`: it is
    that of a line above; `name of the sheet`: nothing else says it; `last visit`: this one has none, and that of the
    last stands above; `several`: other days are named beside it, so it is the first of them, or the last where they
    stand in one cell; `letters`: some of its figures are letters like them; `serial`: a spreadsheet's number of days;
    `impossible`.
    """
    order = _order(written)
    read = [_day(_short(text), order, as_of) for text in written]
    years = {day.year for day, _ in read if day}
    if len(years) != 1 or order == "mixed":
        return read
    year = years.pop()
    return [_in_year(_short(text), year, order, as_of) or one for text, one in zip(written, read, strict=True)]


def _order(written: Sequence[str]) -> str:
    """The order that dates prove by days over twelve, `mixed` if both."""
    each = (day for text in written for day in _days_in(SAID_BY.sub(r"\1", text.strip())))
    pairs = [match for day in each if (match := NUMBERS.match(day))]
    day_first = any(int(match[1]) > 12 for match in pairs)
    month_first = any(int(match[2]) > 12 and int(match[1]) <= 12 for match in pairs)
    return "mixed" if day_first and month_first else "month first" if month_first else "day first"


def _days_in(text: str) -> Sequence[str]:
    """The days that a text names: one, or two in full."""
    return (two[1], two[2]) if (two := TWO_DAYS.match(text)) else (text,)


def _of_hand(written: Sequence[str], as_of: date) -> list[tuple[str, Read]]:
    """The days that somebody wrote in a file with dates in both orders, by the order that those of theirs prove that
    can be read in one only; without such they are left open."""
    is_proven = any(
        max(int(match[1]), int(match[2])) > 12 for text in written if (match := NUMBERS.match(text.strip()))
    )
    return [
        (text, (day if is_proven else None, "by hand" if is_proven else "mixed") if how in ORDERS else (day, how))
        for text, (day, how) in zip(written, days(written, as_of), strict=True)
    ]


def _in_year(text: str, year: int, order: str, as_of: date) -> Read | None:
    """A day without its year, which is that of all others in the file."""
    if is_day_of_some_year(text):
        return _day(f"{text} {year}", order, as_of)[0], "no year"
    match = NO_YEAR.match(text)
    day = _numbers(int(match[1]), int(match[2]), year, order)[0] if match else None
    return (day, "no year") if day else None


def _short(text: str) -> str:
    return " ".join(APOSTROPHES.sub("'", text).strip().lower().split())


def _day(written: str, order: str, as_of: date) -> Read:
    text = WEEKDAY.sub("", BY_WHOM.sub("", written.removesuffix(OF_ALL)))
    if match := YEAR_FIRST.match(text.upper()) or TOGETHER.match(text):
        year = match[1] if len(match.groups()) == 3 else match[1] + match[2]
        return _known(int(year), *map(int, match.groups()[-2:]))
    if match := NUMBERS.match(text):
        return _numbers(int(match[1]), int(match[2]), _year(match[3], as_of), order)
    if (match := WITH_WORD.match(text)) and (month := _month(match[2])):
        return _known(_year(match[3], as_of), month, int(match[1]))
    if (match := WORD_FIRST.match(text)) and (month := _month(match[1])):
        return _known(_year(match[3], as_of), month, int(match[2]))
    if match := YEAR_AND_MONTH.match(text):
        return date(int(match[1]), int(match[2]), 1), "month"
    if (match := MONTH_ONLY.match(text)) and (month := _month(match[1])):
        return _known(_year(match[2], as_of), month, 1)[0], "month"
    return _inexact(text, order, as_of)


def _inexact(text: str, order: str, as_of: date) -> Read:
    """A day that its text tells only in part, among others, in letters or as a number of days."""
    if match := YEAR_ONLY.match(text):
        return _known(int(match[1]), 1, 1)[0], "year"
    if match := WEEK.match(text):
        day = _day(text[match.end() :], order, as_of)[0]
        return day, "week" if day else "impossible"
    if match := DAYS.match(text):
        return _day(text[match.end() :], order, as_of)[0], "several"
    if match := TWO_DAYS.match(text):
        return _last_of(match[1], match[2], order, as_of)
    if LETTERS.match(text):
        return _day(text.translate(FIGURES), order, as_of)[0], "letters"
    if match := SAID_BY.match(text):
        return _day(match[1], order, as_of)[0], match[2]
    if match := SEVERAL.match(text):
        return _day(match[1], order, as_of)[0], "several"
    if SERIAL.match(text):
        return SERIAL_ZERO + timedelta(days=int(float(text))), "serial"
    return None, "impossible"


def _last_of(one: str, other: str, order: str, as_of: date) -> Read:
    """The last of two days, if each can be one and they stand in their order."""
    first, last = (_day(text, order, as_of)[0] for text in (one, other))
    return (last, "several") if first and last and first <= last else (None, "impossible")


def _numbers(first: int, second: int, year: int, order: str) -> Read:
    if first > 12 or first == second:
        return _known(year, second, first)
    if second > 12:
        return _known(year, first, second)
    if order == "mixed":
        return None, "mixed"
    return _known(year, *((first, second) if order == "month first" else (second, first)))[0], order


def _known(year: int, month: int, day: int) -> Read:
    try:
        return date(year, month, day), "known"
    except ValueError:
        return None, "impossible"


def _month(word: str) -> int | None:
    return MONTHS.get(word[:4] if word.startswith("sept") else word[:3])


def _year(text: str, as_of: date) -> int:
    """Two digits are the latest such year that is not after the as-of date."""
    if len(text) == 4:
        return int(text)
    year = as_of.year // 100 * 100 + int(text)
    return year if year <= as_of.year else year - 100
