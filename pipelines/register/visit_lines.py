"""What a line says of a visit, beside a home or alone: the day, who came, and what kind of survey it was."""

import re
from collections.abc import Mapping, Sequence

from pipelines.register import layout
from pipelines.register.dates import is_date
from pipelines.register.words import recognise_word

DATED = re.compile(r"\b(?:surveyed|inspected|visited)(?: on)?:?\s+([\w./ -]+?)\s*$", re.I)
VISIT_WORD = (
    r"(?:surveyed|inspected|visited|seen|called|done|checked|void|re-?insp\w*|surveyor|survey date|inspection date"
    r"|date of (?:survey|inspection|visit)|date)"
)
BETWEEN = re.compile(
    r"\.\s{2,}|(?<=\d)\.\s+(?=[A-Z])|\s+[-–—]\s+|\s*[|;\t()]\s*|,\s+|\s{2,}"
    rf"|(?<!survey)(?<!inspection)(?<!last)(?<!not)\s+(?={VISIT_WORD}\b[\s:])",
    re.I,
)
MONTH = re.compile(r"^(?:surveyed|inspected|visited|survey date)(?: in)?[\s:]+([a-z]{3,9}\.? \d{4})$", re.I)
"""A visit of which only the month is told: `surveyed Mar 2019`."""
OF_LAST_VISIT = re.compile(rf"^(?:last|prev(?:ious(?:ly)?)?)\s+{VISIT_WORD}\b", re.I)
WEEKDAY = r"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*,? )?"
OF_WEEK = re.compile(r"^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*,? \d", re.I)
DAY = re.compile(
    rf"^({VISIT_WORD}(?: on)?[\s:]*)?(?:also )?{WEEKDAY}"
    r"((?:\d{1,2} ?(?:&|and|to|-|–) ?)?\d{1,2}(?:st|nd|rd|th)?[ /.-]\w{1,9}[ /.-]\d{4}|\d{1,2}[/.]\d{1,2}[/.]\d\d"
    r"|\d{4}-\d\d-\d\d)(?:,? by (.+)|\s[^\d]*)?$",
    re.I,
)
DAYS = re.compile(
    rf"^(?:{VISIT_WORD}(?: on)?[\s:]*)?(\d{{1,2}}[/.]\d{{1,2}}[/.](?:\d{{4}}|\d\d))\s*(?:and|&|then|\+)\s*(?=\d)", re.I
)
"""The first of two days of visits: `15/3/12 and 20/3/12`."""
INITIALS = re.compile(r"^[A-Z]{2,3}(?: ?[/&,] ?[A-Z]{2,3})*$")
VISITED = re.compile(
    rf"^(?:{VISIT_WORD}|insp(?:'?d)?\.?)(?: on)?[\s:]+{WEEKDAY}"
    r"(?P<day>[\dol]{1,4}(?:st|nd|rd|th)?[ /.-]\w{1,9}[ /.-][\dol]{2,4}|[a-z]{3,9}\.? (?:19|20)?\d\d|-?do\.?-?|ditto)"
    r"(?:(?:,? by |[\s,]+)(?P<who>[^(\d]{1,40}?))?[\s,]*(?:\(.*\))?$",
    re.I,
)
"""A cell that only says when a home was visited, and who came: `Insp. 14.5.98  D.W.`, `Inspected June 98`."""
ANY_DAY = (
    r"(?:\d{1,2}[/.-]\d{1,2}[/.-](?:\d{4}|\d\d)|\d{4}-\d\d-\d\d"
    r"|\d{1,2}(?:st|nd|rd|th)? [a-z]{3,9}\.?,? (?:\d{4}|'?\d\d))"
)
DAY_THEN = re.compile(rf"^{WEEKDAY}({ANY_DAY})(?:[\s,;:–-]+(?!\d).*)?$", re.I)
"""A day, and a remark on the visit: `20.3.12 before kitchen refit`."""
THEN_VISITED = re.compile(
    r"^(?!.*\b(?:not|last|prev\w*|next|first|due|re-?visit\w*|to be)\b)(?:\D{1,40}[\s,;:–-]+)?"
    rf"(?:visited|surveyed|inspected|seen|called|done|checked)(?: on)?[\s:]+{WEEKDAY}({ANY_DAY})[\s.)]*$",
    re.I,
)
"""A remark on a home, and when it was visited: `void, visited 14.5.09`."""
NTH_VISIT = re.compile(r"^(?:visit|survey|inspection)(?: no\.?)? ?\d*:?$", re.I)
PERSON = re.compile(r"^(?:(?i:surveyor|surveyed by|inspected by|by)[\s:]+(\S.*)|((?:[A-Z]\.? ?){1,2}[A-Z][a-z'-]+))$")

YEAR = re.compile(r"^\W*(?:year\W+)?((?:19|20)\d\d)(?:\.0)?\s*(?:\W?\s*$|\s{2}\S.*$|\s?[(:–—]|\s-\s)", re.I)


def apart(text: str) -> tuple[str, dict[str, str]]:
    """What names a property, and the visit that stands behind it: `12 Elm Road, surveyed 6 May 2014 by A. Person`."""
    found = list(BETWEEN.finditer(text))
    ends = [*(one.start() for one in found), len(text)]
    name, visit = text[: ends[0]], dict[str, str]()
    for between, end in zip(found, ends[1:], strict=True):
        if between[0].startswith(".") and "surveyed_on" in visit:
            break  # a remark on the visit
        piece = text[between.end() : end].strip(" .")
        first = DAYS.match(piece)
        piece = piece[first.end() :] if first else piece
        if (month := MONTH.match(piece)) and is_date(month[1]) and "surveyed_on" not in visit:
            visit["surveyed_on"] = month[1]
        elif (day := DAY.match(piece)) and is_date(day[2]):
            said = f"{day[2]} (also {first[1]})" if first else day[2]
            visit |= {"surveyed_on": said} | ({"surveyor": day[3]} if day[3] else {})
        elif "surveyor" not in visit and (person := _who(piece, is_behind_day="surveyed_on" in visit)):
            visit["surveyor"] = person
        elif piece and not OF_LAST_VISIT.match(piece):
            name += text[between.start() : end]
    return (name.strip(" ,;-–—"), visit) if "surveyed_on" in visit else (text, {})


def _who(piece: str, *, is_behind_day: bool) -> str | None:
    """Who came: a name, or the initials behind the day of a visit: `12 ELM ROAD   9/6/98  KD`."""
    if person := PERSON.match(piece):
        return str(person[1] or person[2])
    return piece if is_behind_day and INITIALS.match(piece) else None


def visit_alone(text: str, survey_types: Mapping[str, str]) -> dict[str, str]:
    """A line that only says when a home was surveyed, how and by whom: `Surveyed 4/3/2019   Refurbishment   KD`."""
    first, *others = [piece for one in BETWEEN.split(text) if (piece := one.strip())] or [""]
    is_counted = NTH_VISIT.match(first) is not None and len(others) > 0
    if is_counted:
        first, *others = others
    day = DAY.match(first)
    is_signed = bool(others) and all(PERSON.match(piece) or INITIALS.match(piece) for piece in others)
    is_told = day is not None and (day[1] or is_counted or is_signed or OF_WEEK.match(first))
    if not day or not is_told or not is_date(day[2]):
        return {}
    said = {"surveyed_on": day[2]} | ({"surveyor": day[3]} if day[3] else {})
    for piece in others:
        person = PERSON.match(piece) or INITIALS.match(piece)
        if person:
            said.setdefault("surveyor", next((one for one in person.groups() if one), piece))
        elif recognise_word("survey_type", piece, survey_types)[0]:
            said.setdefault("survey_type", piece)
    return said


def year_alone(text: str) -> dict[str, str]:
    """A line that only says the year of the rows below it, and perhaps a remark: `2023   (day and month only)`."""
    return {"surveyed_on": year[1]} if (year := YEAR.match(text)) else {}


def visit_beside(texts: Sequence[str], above: Mapping[str, str]) -> dict[str, str] | None:
    """When and by whom a home was visited, where the cells beside it say only that, or repeat the visit above."""
    said = [VISITED.match(text) for text in texts]
    if not said or not all(said):
        return None
    visit = dict[str, str]()
    for one in filter(None, said):
        if layout.is_ditto(one["day"]):
            visit |= above
        elif is_date(one["day"]):
            visit["surveyed_on"] = one["day"]
        else:
            return None
        if one["who"]:
            visit["surveyor"] = one["who"].strip()
    return visit


def day_beside(text: str) -> str | None:
    """The day that a cell beside a home begins with, or that it says somebody came."""
    day = DAY_THEN.match(text.strip()) or THEN_VISITED.match(text.strip())
    return day[1] if day and is_date(day[1]) else None


def with_visit(pairs: dict[str, str]) -> dict[str, str]:
    """Labelled values, with the visit that stands behind the property in one of them."""
    for name in ("property_ref", "address"):
        if name in pairs:
            said, visit = apart(pairs[name])
            pairs = visit | pairs | {name: said}
    return pairs
