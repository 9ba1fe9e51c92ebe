"""Which home, block or visit the lines above items name, with or without a label, and for which rows below it holds."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import PurePosixPath

from pipelines.register import labels, layout
from pipelines.register.dates import is_date
from pipelines.register.labels import CONTINUED
from pipelines.register.layout import PROPERTY
from pipelines.register.papers import LETTER, SECTION, begins_paper, block_told, day_told
from pipelines.register.reader import Reader
from pipelines.register.remarks import FURNITURE, REMARK
from pipelines.register.visit_lines import DATED, apart, visit_alone, visit_beside, with_visit
from pipelines.register.words import plain, recognise_word

NAMES = (
    "property_ref",
    "uprn",
    "address",
    "postcode",
    "survey_type",
    "surveyed_on",
    "surveyor",
    "organisation",
    "job_ref",
)
VISIT = NAMES[4:8]
UNIT = r"(?:(?:flat|flt|apartment|apt|maisonette|unit|bedsit|studio)\.?)"
FLAT = re.compile(
    rf"^\s*{UNIT}?\s*(no\.?|nr\.?|number)?\s*\d{{1,4}}\s*[a-z]?\s*$|^\s*{UNIT}\s*(?:no\.?\s*)?[a-z]\d?\s*$"
    r"|^\s*(?:(?:lower |upper )?ground|basement|first|second|third|top|1st|2nd|3rd) floor (?:flat|maisonette)\s*$",
    re.I,
)
UNIT_OF_SAME = re.compile(rf"^\s*({UNIT}?\s*(?:no\.?\s*)?\d{{1,4}}\s?[a-z]?)[\s,]+(?:do\.?|-do-|ditto)\s*$", re.I)
"""Another home of the street or block above: `Flat 11, -do-`."""
UNIT_FIRST = re.compile(rf"^\s*{UNIT}?\s*(?:no\.?\s*)?\d{{1,4}}\s?[a-z]?\b[\s,]*", re.I)
COMMON = re.compile(r"\b(communal|comm|common|landlord'?s?)\b", re.I)
NUMBERED = re.compile(r"^(?=\S*[A-Za-z])(?=\S*\d)\S{3,}\s+[-–:]?\s*(?=\S)")
"""A number of another list before an address: `V20117  14 Elm Road`."""
NTH_SITE = re.compile(
    r"^(?:site|property|prop|premises|survey|job)\.?\s*(?:no\.?|nr\.?|number)?\s*\d{1,4}[a-z]?"
    r"(?:\s*[-–—:]\s*|\.\s+|\s{2,})(?=\S)",
    re.I,
)
"""A number of the report's own before an address: `SITE 03  -  16 Elm Road`."""
JOB = re.compile(r"^job\.?\s*(?:no\.?|nr\.?|number|ref\.?)?\s*([a-z]{0,3}[-/]?\d{1,8}[a-z]?)\b", re.I)
"""The firm's own number of a job before an address: its samples may be numbered within it."""
ADDRESS_BEGINS = re.compile(rf"^(?:{UNIT}|no\.?|block)?\s*(?!(?:19|20)\d\d\b)\d+\w?\b", re.I)
SHEET_OF_NO_NAME = re.compile(r"^(sheet|table|page|register|data)?[ _-]*\d*$", re.I)
OF_HOMES = re.compile(r"\s+[-–—]\s+(?:flats?|nos?\.?|numbers?|houses?|homes|communal|common)\b.*$", re.I)
"""What a title says of the homes of a block: `Larch Court - Flats 1 to 8`."""
KIND_OF_HOMES = re.compile(
    r"(?<=[a-z]) (?:bungalows|houses|flats|homes|maisonettes|garages|sheltered(?: (?:scheme|housing))?)\s*(?:,|$)", re.I
)
"""What a title says of all homes of a street or block: `Elm Close bungalows, Anytown`."""
BRACKET_ON = re.compile(r"\s*\(.*$")
"""A bracket and what stands behind it: `Larch Court (block of 12) risers`."""
HOME_NUMBER = re.compile(r"^\d{1,4}[a-z]?,?\s+(?=[a-z])", re.I)
HOME_ENDS = re.compile(r",|\s*\(|\s+[-–—]\s+")
DASHED = re.compile(r"\s+[-–—]\s+")
CODE = r"\b[A-Z]{1,2}\d[A-Z\d]? ?\d[A-Z]{2}\b"
BEHIND_CODE = re.compile(rf"({CODE})(?:[.;]\s|\s{{2,}}).*$", re.I)
"""What a line says of a home whose address ends with its postcode: `4 Elm Road, ZZ1 2AB. House.`"""
KIND_OR_CODE = re.compile(
    rf"^(?:garages|lock-?ups|stores|flats|houses|bungalows)(?:,| at| in| off| to)?\s+|,?\s*{CODE}\W*$", re.I
)
GARAGE_COURT = re.compile(
    r"^(?:garages?|lock-?ups?)(?: (?:court|site|block|area|compound)s?)?,? +(?:(?:at|to|in) (?:the )?)?"
    r"(?:rear|back|side) (?:of )?(?=\S)|^(?:garages?|lock-?ups?) (?:court|site|block|area|compound)s?,? +"
    r"(?:(?:at|in|off|behind|by) )?(?=\S)",
    re.I,
)
"""Garages by the street that they are at: `Garage court rear of Elm Road`."""
AGAIN = re.compile(r"\s+(?:again|revisited|second visit)\W*$", re.I)
OTHER_REFERENCE = re.compile(r"\bref(erence)?\b", re.I)
LONGEST_NAME = 80
A_YEAR = re.compile(r"\b(?:19|20)\d\d\b")


@dataclass
class Sheet:
    """What a reader of lines knows when it comes to a row: the block and visit that the lines above named."""

    path: str
    name: str | None
    reader: Reader
    said: dict[str, str] = field(default_factory=dict)
    is_visit_of_home: bool = False
    number: int = 0
    """The last number that stood alone in its row."""
    home: Mapping[str, str] = field(default_factory=dict)
    """The property that a line above named."""
    visit: Mapping[str, str] = field(default_factory=dict)
    """The visit that stood beside a property in a line above."""
    fields: Sequence[str | None] = ()
    """What the columns of the table hold."""

    def begin(self, fields: Sequence[str | None], has_property: bool, is_paper: bool = False) -> bool:
        """Begin a table: one of other columns that names its homes itself is not of the visit to the home above it, and
        one that begins another paper is of nothing that stands above that. Whether that is so."""
        if is_paper and self.fields and list(self.fields) != list(fields):
            self.said, self.home, self.visit, self.is_visit_of_home = {}, {}, {}, False
            self.fields = fields
            return True
        home = self.home or self.said
        is_home = "property_ref" in home or ADDRESS_BEGINS.match(home.get("address", "")) is not None
        is_another = has_property and is_home and bool(self.fields) and list(self.fields) != list(fields)
        self.fields = fields
        if is_another and self.is_visit_of_home:
            self.said = {name: value for name, value in self.said.items() if name not in VISIT}
        return is_another

    def hear(self, pairs: Mapping[str, str]) -> None:
        """Take in what a line says: another property drops what was said of the one before, its visit too if that was
        said below it."""
        names_home = any(name in pairs for name in PROPERTY)
        if names_home:
            self.home = {}
            kept = () if self.is_visit_of_home else VISIT
            self.said = {name: value for name, value in self.said.items() if name in kept}
            self.is_visit_of_home = False
        if any(name in pairs for name in VISIT) and any(name in self.said or name in pairs for name in PROPERTY):
            self.is_visit_of_home = True
        self.said = self.said | dict(pairs)

    def below(self, pairs: Mapping[str, str]) -> Mapping[str, str]:
        """What holds below a line of labelled values: a visit is of the home that a line named above it."""
        if self.home and pairs.keys().isdisjoint(PROPERTY):
            return {**self.home, **pairs}
        self.hear(pairs)
        return self.said

    def at(self, text: str) -> dict[str, str]:
        """What holds below a line that names a property: it, and the visit named above or in its brackets."""
        visit = {name: value for name, value in self.said.items() if name in VISIT} | self._visit_behind(text)
        visit |= {"job_ref": job[1]} if (job := JOB.match(text)) else {}
        if (dated := DATED.search(text)) and is_date(dated[1]):
            visit["surveyed_on"] = dated[1]
        bracket = re.search(r"\((.*)\)", text)
        return visit | dict(labels.labelled([bracket[1]], lambda _: None) if bracket else ()) | (self.names(text) or {})

    def _visit_behind(self, text: str) -> dict[str, str]:
        """The visit behind a home, that of the home above where a mark behind a dash repeats it: `6 Elm Row - do`."""
        *_, last = DASHED.split(text)
        is_same = layout.is_ditto(last) and self.is_home_of_street(text)
        visit = dict(self.visit) if is_same else apart(text)[1]
        self.visit = visit
        return visit

    def is_in_stock(self, text: str) -> bool:
        """Whether a text is an address or block of the stock list, or begins with a street of it."""
        known, begins = self.reader.contents.stock, plain(re.split(r",|\s\d", DASHED.split(text)[0])[0])
        begins = plain(KIND_OF_HOMES.sub("", begins))
        is_whole = any(plain(text) in known.get(name, ()) for name in ("address", "building_name"))
        return is_whole or begins in known.get("street", ())

    def _of_stock(self, text: str) -> str | None:
        """An address, street or block of the stock list, without what stands behind it, unless that says that it is the
        common parts; also `Garages, High Street`."""
        if self.is_in_stock(text):
            head, *tail = DASHED.split(text, maxsplit=1)
            return text if any(map(FLAT.match, tail)) else BRACKET_ON.sub("", head)
        if (common := COMMON.search(text)) and self.is_in_stock(text[: common.start()]):
            return text
        if (court := GARAGE_COURT.match(text)) and self.is_in_stock(garages := f"{text[court.end() :]} Garages"):
            return garages
        street = KIND_OR_CODE.sub("", text)
        return text if street != text and self.is_in_stock(street) else None

    def is_home_of_street(self, text: str) -> bool:
        """Whether a text is a number at a street of the stock list, and what stands behind a dash or in brackets."""
        number = HOME_NUMBER.match(text)
        street = HOME_ENDS.split(text[number.end() :])[0] if number else ""
        return bool(street) and plain(street) in self.reader.contents.stock.get("street", ())

    def _without_remark(self, text: str) -> str:
        """A home without what stands behind a dash, where its street is in the stock list or was named above:
        `9 Elm Row - tenant in`, `No. 9 - 3 bed semi`."""
        head, *tail = DASHED.split(text)
        number = BRACKET_ON.sub("", head)
        is_of_above = "address" in self.said and FLAT.match(number) and tail and not self.is_in_stock(tail[0])
        is_home = self.is_home_of_street(text) and not any(map(FLAT.match, tail))
        return number if is_of_above else head if is_home else text

    def is_block(self, text: str) -> bool:
        """Whether a text names a street or block of the stock list, and no home of it."""
        return not ADDRESS_BEGINS.match(text) and self.is_in_stock(text)

    def _says_again(self, block: str, text: str) -> bool:
        """Whether a text names the block again, behind what is no number of a home: `Scheme 12 - Elm Road`."""
        return self.is_block(block) and not ADDRESS_BEGINS.match(text) and plain(re.split(",", block)[0]) in plain(text)

    def says_alone(self, text: str) -> bool:
        """Whether a text is a finding of its own: that nothing was found, or that nobody could look."""
        return self.says_result(text) in ("not_suspect", "no_access")

    def says_result(self, text: str) -> str | None:
        """The result that the words of a text say."""
        return recognise_word("identification", text, self.reader.contents.terms.get("identification", {}))[0]

    def names(self, text: str) -> dict[str, str] | None:
        """The property that a line without label names: by a reference of the stock list, or as an address."""
        if REMARK.search(text) or LETTER.match(text) or labels.begins_with_day(text):
            return None
        text = SECTION.sub("", NTH_SITE.sub("", CONTINUED.sub("", apart(text)[0])))
        text = KIND_OF_HOMES.sub(",", text, count=1).strip(" ,")
        tokens = [token for token in re.split(r"[\s,;:()]+", text) if token]
        known = self.reader.contents.stock.get("property_ref", frozenset())
        whole = plain(text)
        reference = text if whole in known else next((token for token in tokens if plain(token) in known), None)
        block = self.said.get("address")
        text = OF_HOMES.sub("", re.sub(r"\s*\([^()]*\)?\s*$", "", text))
        text = AGAIN.sub("", BEHIND_CODE.sub(r"\1", text))
        if reference:
            return {"property_ref": reference}
        if of_stock := self._of_stock(text):
            return {"address": of_stock}
        text = self._without_remark(text)
        if (before := NUMBERED.match(text)) and ADDRESS_BEGINS.match(text[before.end() :]):
            text = text[before.end() :]
        if block and FLAT.match(text):
            flat = text if re.search(r"[a-z]{2}", text, re.I) else f"Flat {text}"
            return {"address": f"{flat}, {block}"}
        if block and (COMMON.search(text) or self._says_again(block, text)):
            return {"address": block}
        if OTHER_REFERENCE.search(text) or FURNITURE.search(text):
            return None
        if len(text) <= LONGEST_NAME and self.reader.contents.share("address", [A_YEAR.sub("", text)]):
            return {"address": text}
        return None


def home_and_visit(sheet: Sheet, texts: Sequence[str]) -> dict[str, str]:
    """What a line says whose first cell names a home and whose others say only when it was visited, by whom, and which
    reference it has: `14 Elm Road | Your ref: H14 | Survey date: 12/03/2024 (KD)`."""
    name, *others = texts
    references = {text: ref for text in others if (ref := _reference(sheet, text)) is not None}
    days = [text for text in others if text not in references]
    visit = visit_beside(days, sheet.visit) if days or not references else {}
    if visit is None or not (home := sheet.names(of_same(name, sheet.home.get("address", "")))):
        return {}
    if reference := next(filter(None, references.values()), ""):
        home = {"property_ref": reference} | home
    sheet.home, sheet.visit = home, visit
    of_all = () if sheet.is_visit_of_home else VISIT
    return {name: value for name, value in sheet.said.items() if name in of_all} | visit | home


def _reference(sheet: Sheet, text: str) -> str | None:
    """The reference that a label names: `Your ref: H14`; blank where what stands there is none: `not on list`."""
    label = labels.LABELLED.match(text)
    if not label or sheet.reader.context_of(label[1]) != "property_ref":
        return None
    is_known = plain(label[2]) in sheet.reader.contents.stock.get("property_ref", ())
    return label[2].strip() if is_known or re.search(r"\d", label[2]) else ""


def of_same(text: str, above: str) -> str:
    """An address whose street or block is that of the line above: `Flat 11, -do-` below `Flat 3, Elm Court`."""
    unit = UNIT_OF_SAME.match(labels.IN_BRACKETS.sub("", text))
    return f"{unit[1]} {UNIT_FIRST.sub('', above)}" if unit and above else text


def beside_labels(sheet: Sheet, texts: Sequence[str]) -> dict[str, str]:
    """The property that a line names without a label, beside values with one: `SITE 12 | 7 Elm Court | Date: | ...`."""
    first, *others = texts or [""]
    if sheet.is_in_stock(first):
        return sheet.names(first) or {}
    homes = (text for text in others if ADDRESS_BEGINS.match(text) or sheet.is_in_stock(text))
    return next((named for text in homes if "address" in (named := sheet.names(text) or {})), {})


def begun(
    sheet: Sheet, fields: Sequence[str | None], above: Sequence[Mapping[str, str | None]], has_property: bool
) -> list[str | None]:
    """The property and visit that hold for a table that begins; a blank ends what lines above said of a visit."""
    lines = [said["value"] or "" for said in above if not said["field"]]
    streets = sheet.reader.contents.stock.get("street", frozenset())
    is_another = sheet.begin(fields, has_property, begins_paper(lines, streets))
    home = _home(sheet, above, has_property)
    day = NAMES.index("surveyed_on")
    if "surveyed_on" not in sheet.said and not home[day] and sheet.name and is_date(sheet.name):
        home[day] = f"{sheet.name.strip()} (name of the sheet)"
    if not is_another:
        return home
    return [one or ("" if name in VISIT else None) for name, one in zip(NAMES, home, strict=True)]


def _home(sheet: Sheet, above: Sequence[Mapping[str, str | None]], has_property: bool) -> list[str | None]:
    """The property and visit that hold for a table, from what stands above it, the sheet's name, or the file's.

    What an earlier table of the sheet said goes on to hold where this one says nothing of it.
    """
    pairs = with_visit({str(said["field"]): str(said["value"]) for said in above if said["field"]})
    lines = [said["value"] or "" for said in above if not said["field"]]
    known = sheet.reader.contents.stock.get("property_ref", frozenset())
    survey_types = sheet.reader.contents.terms.get("survey_type", {})
    pairs = next((visit for line in lines if (visit := visit_alone(line, survey_types))), {}) | pairs
    if "surveyed_on" not in pairs and "surveyed_on" not in sheet.said:
        pairs = day_told(lines) | pairs
    streets = sheet.reader.contents.stock.get("street", frozenset())
    within: Mapping[str, str] = {}
    if has_property:
        within = next((named for line in lines if (named := sheet.names(line)) and "address" in named), {})
        within = within or (sheet.said.keys().isdisjoint(PROPERTY) and block_told(lines, streets)) or _by_file(sheet)
    elif not pairs.keys() & set(PROPERTY) or plain(pairs.get("property_ref", "")) not in known:
        within = next((sheet.at(line) for line in lines if sheet.names(line)), {})
        if not within and not sheet.said.keys() & set(PROPERTY):
            pairs = _by_file(sheet) | pairs
    if not pairs and not within and sheet.said:
        return [None] * len(NAMES)
    block = sheet.said.get("address")
    sheet.hear(pairs)
    if within and not (block and within.get("address", "").endswith(f", {block}")):
        sheet.hear({name: value for name, value in within.items() if name not in pairs})
    if "surveyed_on" not in sheet.said:
        sheet.hear(next((visit for line in lines if (visit := apart(line)[1])), {}))
    said = {**sheet.said, **within, **pairs}
    return [None if has_property and name in PROPERTY else said.get(name) for name in NAMES]


def _by_file(sheet: Sheet) -> dict[str, str]:
    """A sheet or file of one property may bear its reference or address as its name."""
    for name in (sheet.name or "", PurePosixPath(sheet.path).stem):
        text = name.replace("_", " ").strip()
        names = sheet.names(text) if text and not SHEET_OF_NO_NAME.match(text) else None
        if names and ("property_ref" in names or ADDRESS_BEGINS.match(text) or sheet.is_in_stock(text)):
            return names
    return {}
