"""Labels and values in rows above or between tables, as `Surveyor: A. Person`, and the day of a visit in a sentence."""

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import takewhile

from pipelines.register.dates import LAST_VISIT, OF_ALL, is_date, is_day_in_figures
from pipelines.register.meanings import EARLIER

SENTENCE = re.compile(
    r"^(?:date (?:of )?)?(?:surveyed|inspected|visited|looked at|seen|done|survey|inspection|visit)\b[^.;\d]{0,30}?"
    r"(\d{1,2}(?:st|nd|rd|th)?[ /.-]\w{1,9}[ /.-]\d{2,4}|\d{4}-\d\d-\d\d|\d{1,2}[/.]\d{1,2}(?![/.\d]))"
    r"(?:.*?\b(?:by|surveyor:?) ([A-Z][^,;(]*?)(?:[,;(]|\. |\.?$))?",
    re.I,
)
"""`Survey carried out on 8 March 2011 by A. Person` says the day, and who came."""
VISITED = r"(?:done|seen|surveyed|inspected|visited|checked|carried out|dated)"
TOLD_OF_ALL = re.compile(
    rf"\ball (?:(?:[a-z]+ )?(?:(?:was|were|are) )?{VISITED} |(?:items|visits|dates|surveys|inspections) )?"
    r"(?:(?:are|were) )?(?:on )?(?:the )?"
    r"(\d{1,2}(?:st|nd|rd|th)? [A-Za-z]{3,9} \d{4}|\d{1,2}[/.-]\d{1,2}[/.-](?:\d{4}|\d\d))(?!\d)()",
    re.I,
)
"""The day of all visits, wherever it stands in a line: `Re-inspections, all on 6 Nov 2023 unless it says`."""
EXCEPT = re.compile(r"\b(?:unless|except (?:where|if|when|as)|save where)\b", re.I)
"""Behind a day that is of all rows which say no other."""
DAY_FIRST = re.compile(
    r"^\d{1,2}(?:(?:st|nd|rd|th)? [a-z]{3,9} (?:\d{4}|\d\d)|([/.-])\d{1,2}\1(?:\d{4}|\d\d))(?=[\s,;(]|$)"
    r"|^\d{4}-\d\d-\d\d\b",
    re.I,
)
DAY_BY = re.compile(r"^(\d{1,2}[/.-]\d{1,2}[/.-](?:\d{4}|\d\d))\s+\(?([A-Z]{2,3})\b(?! ?[a-z\d])")
"""`18.09.26 MO`: the day, and the initials of who came."""
ANOTHER_DAY = re.compile(r"\b\d{1,2}[/.-]\d{1,2}[/.-](?:\d{4}|\d{2})\b")
OF_LAST_VISIT = re.compile(
    r"\b(?:last|previous|prev|prior|earlier|original)\b[^.;\d]{0,40}?\b(?:visit(?:ed)?|survey(?:ed)?|inspect(?:ion|ed)|dated)\b"
    r"[^.;\d]{0,15}?"
    r"(\d{1,2}(?:st|nd|rd|th)? [a-z]{3,9} \d{4}|\d{1,2}[/.-]\d{1,2}[/.-](?:\d{4}|\d\d)|\d{4}-\d\d-\d\d)(?!\d)",
    re.I,
)
"""The day of the last visit, over the columns that it left: `Last year's register - visit of 10 June 2025`."""
CONTINUED = re.compile(r"\s*[-–(]*\s*(?:continued|cont'?d?)\b\.?\)?\s*$", re.I)
LABELLED = re.compile(r"^\s*([^:=]{2,40}?)\s*[:=]\s*(\S.*)$")
BEFORE = "surveyed_before"
NO_LABEL = re.compile(r"\d")
IN_BRACKETS = re.compile(r"\([^()]*\)")


def begins_with_day(text: str) -> bool:
    """Whether a text begins with a day: `30 April 2025, A. Person`."""
    return (day := DAY_FIRST.match(text)) is not None and is_date(day[0])


def labelled(filled: Sequence[str], fields_of: Callable[[str], str | None]) -> Iterator[tuple[str, str]]:
    """Pairs of field and value in a row such as `Property ref: | P1 | Date | 1 May 2024` or `Surveyor: A. Person`."""
    index = 0
    while index < len(filled):
        if (said := day_said(filled[index])) and _is_day(said[1]):
            yield from _visit_said(said, filled[index:])
            index += 1
            continue
        inside = LABELLED.match(filled[index])
        if inside and (name := fields_of(inside[1])):
            yield _of_visit(name, inside[1]), _value(name, inside[2])
        elif (
            index + 1 < len(filled)
            and (name := fields_of(filled[index].rstrip(" :=")))
            and not fields_of(filled[index + 1].rstrip(" :="))
        ):
            of_label = takewhile(lambda text: not fields_of(text.rstrip(" :=")), filled[index + 1 :])
            days = [text for text in of_label if is_date(text)] if name == "surveyed_on" else []
            name = _of_visit(name, filled[index])
            if len(days) > 1:  # of several visits, the last
                yield name, f"{days[-1]} (also {', '.join(days[:-1])})"
                index += len(days)
            else:
                yield name, _value(name, filled[index + 1])
                index += 1
        index += 1


def _visit_said(said: re.Match[str], texts: Sequence[str]) -> Iterator[tuple[str, str]]:
    """The day of a visit, other days behind it, and who came; a day that is told of all visits is marked."""
    rest = " ".join([texts[0][said.end(1) :], *texts[1:]])
    others = ANOTHER_DAY.findall(EARLIER.split(rest)[0])
    is_of_all = TOLD_OF_ALL.search(said[0]) or EXCEPT.search(rest)
    day = f"{said[1]}{OF_ALL}" if is_of_all else said[1]
    yield "surveyed_on", f"{said[1]} (also {', '.join(others)})" if others else day
    if said[2]:
        yield "surveyor", said[2]


def day_said(text: str) -> re.Match[str] | None:
    """What a sentence says of a visit: its day, and who came."""
    return SENTENCE.match(text) or DAY_BY.match(text) or TOLD_OF_ALL.search(text)


def _is_day(text: str) -> bool:
    """Whether a sentence of a visit names a day; its year may be that of the file's other days."""
    return is_date(text) or is_day_in_figures(text)


def _value(name: str, text: str) -> str:
    """The value of a label; a day without the remark in brackets behind it."""
    text = CONTINUED.sub("", text)
    bare = IN_BRACKETS.sub("", text).strip()
    is_remark = name in ("surveyed_on", BEFORE) and not any(map(NO_LABEL.search, IN_BRACKETS.findall(text)))
    return bare if is_remark and is_date(bare) else text


def _of_visit(name: str, label: str) -> str:
    """The field of a label, by whether it speaks of an earlier visit: `Last inspection`."""
    return BEFORE if name == "surveyed_on" and EARLIER.search(label) else name


def pairs_said(filled: Sequence[str], fields_of: Callable[[str], str | None]) -> dict[str, str]:
    """The pairs of a row by field; where it names no other day, that of the last visit."""
    return this_visit(dict(labelled(filled, fields_of)))


def last_visit_said(texts: Sequence[str]) -> dict[str, str]:
    """The day of the last visit that a line above a table tells, marked as such: it is only that of what this visit
    leaves without a day."""
    said = (one for text in texts if (one := OF_LAST_VISIT.search(text)) and is_date(one[1]))
    return next(({BEFORE: f"{one[1]}{LAST_VISIT}"} for one in said), {})


def this_visit(pairs: dict[str, str]) -> dict[str, str]:
    """Labelled values in which the day of the last visit is that of this one, where no other is named."""
    before = pairs.pop(BEFORE, None)
    return {"surveyed_on": before} | pairs if before else pairs
