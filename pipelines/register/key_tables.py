"""Tables of keys: which column, which answer in it, what it stands for and the points that it scores.

They are told by their contents: one column has headings of the workbook's registers, or the numbers that head them
(`9. How do we know?`), another what stands below those headings, a third the meanings, perhaps a fourth 0 to 3.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from pipelines.register.key import FEWEST_CODES, Key
from pipelines.register.layout import at_or_blank
from pipelines.register.phrases import phrases_within
from pipelines.register.words import plain, recognise_word

Words = Mapping[str, Mapping[str, str]]
Numbered = tuple[int, Sequence[str]]

NUMBER_OF = re.compile(r"^\s*(?:q(?:uestion)?\s*)?(\d+(?:\.\d+)*)[.):]*\s+\D", re.I)
"""Before a heading: `9. How do we know?`"""
NUMBER = re.compile(r"^(?:q(?:uestion)?\.?\s*)?(\d+(?:\.[1-9]\d*)*)(?:\.0)?[.):]?$", re.I)
POINTS = re.compile(r"^[0-3]$")
IN_WORDS = re.compile(r"[A-Za-z]\W+[A-Za-z]|[a-z]{3}")
"""An answer that is no code: `Few marks`, `Sound`."""
HEADING_ROWS = 12
LEAST_NAMED, LEAST_MET, LEAST_TOLD, LEAST_OF_WORDS, APART = 0.8, 0.5, 0.5, 0.8, 0.2
FEWEST_NAMES, FEWEST_COLUMNS, SHORTEST_REACH = 2, 3, 2
FIELDS = {"asbestos_type": "asbestos_types", "place": "room"}
SCORED = {"damage": "damage", "surface": "surface", "accessibility": "accessibility", "product": "product_type_score"}
SCORED |= {"asbestos_type": "asbestos_types"}
"""What points score, and the field of a column of such answers."""
BARE = ("yes", "no")
UNSCORED = ("identification", "asbestos_type", "product", "extent_unit", "survey_type", "place")


@dataclass
class Listed:
    """What a key says of one column: each answer with its meaning and its points, which may be blank."""

    heading: str
    answers: dict[str, tuple[str, str]] = field(default_factory=dict)

    @property
    def points(self) -> list[str]:
        """The points of the answers, if each has some and they differ."""
        points = [scored for _, scored in self.answers.values()]
        return points if all(points) and len(set(points)) > 1 else []


@dataclass(frozen=True)
class Register:
    """A sheet whose columns a key names: where each stands, by what the key calls it, and the rows below."""

    sheet: str
    columns: Mapping[str, int]
    heading: Sequence[str]
    below: Sequence[Numbered]

    def met(self, name: str) -> list[str]:
        """What stands in a column."""
        values = (_bare(at_or_blank(cells, self.columns[name])) for _, cells in self.below)
        return [value for value in values if value] if name in self.columns else []


@dataclass(frozen=True)
class KeyTable:
    """What a table of keys says of the columns of its workbook's registers, by what it calls them."""

    listed: Mapping[str, Listed]
    registers: Sequence[Register]

    @property
    def n_answers(self) -> int:
        """How many answers it explains."""
        return sum(len(one.answers) for one in self.listed.values())


def may_be_table(rows: Sequence[Sequence[str]]) -> bool:
    """Whether a sheet has three columns or more, one of which has fewer words than the sheet has rows of several
    cells."""
    filled = _of_several(rows)
    columns = [column for at in range(_width(filled)) if (column := _column(filled, at))]
    return (
        len(columns) >= FEWEST_COLUMNS
        and len(filled) >= FEWEST_CODES
        and any(len(set(column)) <= len(filled) / 2 for column in columns)
    )


def key_table(rows: Sequence[Sequence[str]], sheets: Mapping[str, Sequence[Numbered]]) -> KeyTable | None:
    """What a sheet says of the columns of the other sheets of its workbook; None if it is no table of keys."""
    filled = _of_several(rows)
    share, registers, names = _naming(filled, sheets)
    named = list(_of_columns(filled, names, registers))
    if share < LEAST_NAMED or len({name for name, _ in named}) >= len(named):
        return None
    others = [at for at in range(_width(filled)) if at != names]
    met = {name: {value for one in registers for value in one.met(name)} for name, _ in named}
    n_met = {at: sum(_bare(at_or_blank(cells, at)) in met[name] for name, cells in named) for at in others}
    answers = max(others, key=lambda at: (n_met[at], -at))
    listed = _listed(named, answers, [at for at in others if at != answers], registers)
    sure = {name: one for name, one in listed.items() if _share_met(one, name, registers) >= LEAST_MET}
    return KeyTable(sure, registers) if len(sure) >= FEWEST_NAMES else None


def names_columns(rows: Sequence[Sequence[str]], sheets: Mapping[str, Sequence[Numbered]]) -> bool:
    """Whether a column of a sheet names columns of other sheets, whose first rows are enough to tell."""
    return _naming(_of_several(rows), sheets)[0] >= LEAST_NAMED


def _naming(
    filled: Sequence[Sequence[str]], sheets: Mapping[str, Sequence[Numbered]]
) -> tuple[float, list[Register], int]:
    """The column that names most columns of registers: the share of it that does, these, and where it stands."""
    shares = [(*_registers_named(_column(filled, at), sheets), at) for at in range(_width(filled))]
    return max(shares, key=lambda one: (one[0], -one[2]), default=(0.0, [], 0))


def _of_several(rows: Sequence[Sequence[str]]) -> list[Sequence[str]]:
    return [cells for cells in rows if sum(1 for cell in cells if cell.strip()) >= FEWEST_NAMES]


def _width(rows: Sequence[Sequence[str]]) -> int:
    return max(map(len, rows), default=0)


def _column(rows: Sequence[Sequence[str]], at: int) -> list[str]:
    return [text for cells in rows if (text := at_or_blank(cells, at))]


def _bare(text: str) -> str:
    return text.strip().removesuffix(".0")


def _name(text: str) -> str:
    """What a key calls a column by: its heading in plain words, or the number of its heading."""
    number = NUMBER.match(text)
    return number[1] if number else plain(text)


def _names_of(heading: str) -> list[str]:
    number = NUMBER_OF.match(heading)
    return [name for name in (plain(heading), number[1] if number else "") if name]


def _registers_named(texts: Sequence[str], sheets: Mapping[str, Sequence[Numbered]]) -> tuple[float, list[Register]]:
    """The share of texts that name columns of registers, and these. The first may be a heading."""
    names = set(map(_name, texts))
    found = [one for sheet, rows in sheets.items() if (one := _register(sheet, rows, names))]
    known = {name for one in found for name in one.columns}
    listed = texts[1:] if texts and _name(texts[0]) not in known else texts
    return sum(_name(text) in known for text in listed) / (len(listed) or 1), found


def _register(sheet: str, rows: Sequence[Numbered], names: set[str]) -> Register | None:
    """The table of a sheet whose heading has most of the names, if it has several."""
    headed = [
        {name: at for at, cell in reversed(list(enumerate(cells))) for name in _names_of(cell.strip()) if name in names}
        for _, cells in rows[:HEADING_ROWS]
    ]
    nth = max(range(len(headed)), key=lambda at: (len(headed[at]), -at), default=0)
    if not headed or len(headed[nth]) < FEWEST_NAMES:
        return None
    return Register(sheet, headed[nth], rows[nth][1], rows[nth + 1 :])


def _of_columns(
    rows: Sequence[Sequence[str]], names: int, registers: Sequence[Register]
) -> Iterator[tuple[str, Sequence[str]]]:
    """The rows that say something of a column, with its name, which may stand on the first of them only."""
    known, above = {name for one in registers for name in one.columns}, ""
    for cells in rows:
        above = _name(text) if (text := at_or_blank(cells, names)) else above
        if above in known:
            yield above, cells


def _listed(
    named: Sequence[tuple[str, Sequence[str]]], answers: int, rest: Sequence[int], registers: Sequence[Register]
) -> dict[str, Listed]:
    """What the rows say of each column. An answer with two meanings is left out."""
    rows = [cells for _, cells in named]
    points = next((at for at in rest if (held := _column(rows, at)) and all(map(POINTS.match, map(_bare, held)))), -1)
    meant = max((at for at in rest if at != points), key=lambda at: (sum(map(len, _column(rows, at))), -at), default=-1)
    found: dict[str, Listed] = {}
    unclear: set[tuple[str, str]] = set()
    for name, cells in named:
        one = found.setdefault(name, Listed(_heading(name, registers)))
        if answer := _bare(at_or_blank(cells, answers)):
            said, scored = (at_or_blank(cells, at) if at >= 0 else "" for at in (meant, points))
            if one.answers.setdefault(answer, (said, _bare(scored))) != (said, _bare(scored)):
                unclear.add((name, answer))
    for name, answer in unclear:
        del found[name].answers[answer]
    return found


def _heading(name: str, registers: Sequence[Register]) -> str:
    return next(one.heading[one.columns[name]].strip() for one in registers if name in one.columns)


def _share_met(listed: Listed, name: str, registers: Sequence[Register]) -> float:
    """How much of what stands in a column the answers explain."""
    key = Key("", {answer: answer for answer in listed.answers})
    values = [value for one in registers for value in one.met(name)]
    return sum(key.decode(value) is not None for value in values) / (len(values) or 1)


def read_by(listed: Listed, words: Words) -> Key:
    """The key of a column: what each of its answers says, behind its points where they are scores, and the field that
    the answers tell. Types of asbestos and materials stay as such, and what is within reach is scored by its points."""
    names = _scored(listed) if listed.points else UNSCORED
    shares = sorted(((_share_known(listed, name, words), name) for name in names), reverse=True)
    (share, name), (second, _) = (*shares, (0.0, ""))[:2]
    about = name if share >= LEAST_TOLD else ""
    is_told = about != "" and share >= second + APART
    said = {answer: _in_words(answer, meaning, about, words) for answer, (meaning, _) in listed.answers.items()}
    if about in UNSCORED and not (about == "product" and _is_scale(listed)):
        is_sure = is_told and (share >= LEAST_OF_WORDS or bool(listed.points))
        return Key(listed.heading, said, FIELDS.get(about, about) if is_sure else None)
    tells = SCORED[about] if is_told else None
    if not listed.points or _is_other_scale(listed, about, words):
        return Key(listed.heading, said, tells)
    points = {answer: scored for answer, (_, scored) in listed.answers.items()}
    if is_told and about == "accessibility":
        return Key(listed.heading, points, tells)
    return Key(listed.heading, {answer: f"{points[answer]} - {text}" for answer, text in said.items()}, tells)


def _scored(listed: Listed) -> list[str]:
    """What the points of a column may be of: no material and no type of asbestos scores 0."""
    return [name for name in SCORED if "0" not in listed.points or name not in ("product", "asbestos_type")]


def _is_scale(listed: Listed) -> bool:
    """Whether each answer has points of its own: the materials of a list share some."""
    return bool(listed.points) and len(set(listed.points)) == len(listed.answers)


def _is_other_scale(listed: Listed, name: str, words: Words) -> bool:
    """Whether points are none of the published ones, in which what is undamaged or out of reach scores 0."""
    if name == "accessibility":
        return "0" not in listed.points
    return name == "damage" and any(
        scored != "0" and _term(name, _in_words(answer, meaning, name, words), words) == "good"
        for answer, (meaning, scored) in listed.answers.items()
    )


def _in_words(answer: str, meaning: str, name: str, words: Words) -> str:
    """What an answer says: its own words or its meaning, whichever are known, best by more than a yes or no; words go
    before meanings, codes after."""
    both = [answer, meaning] if IN_WORDS.search(answer) else [meaning, answer]
    said = {text: _term(name, text, words) for text in both if text}
    told = next((text for text, term in said.items() if term and term not in BARE), None)
    return told or next((text for text, term in said.items() if term), next(iter(said)))


def _share_known(listed: Listed, name: str, words: Words) -> float:
    """Of how many answers the words or the meaning are known."""
    known = [any(_term(name, text, words) for text in (answer, said)) for answer, (said, _) in _pairs(listed)]
    return sum(known) / (len(known) or 1)


def _pairs(listed: Listed) -> Iterator[tuple[str, tuple[str, str]]]:
    """The answers with what they mean, codes as nothing: a letter is a word of too many fields."""
    for answer, said in listed.answers.items():
        yield answer if IN_WORDS.search(answer) else "", said


def _term(name: str, text: str, words: Words) -> str | None:
    """The term of a vocabulary that stands in a text; of reach, of whole phrases only: `normally out of reach`."""
    known = words.get(name, {})
    if name != "accessibility" or not text:
        return recognise_word(name, text, known)[0] if text else None
    phrases = sorted(one for one in phrases_within(plain(text), known) if len(one.split()) >= SHORTEST_REACH)
    return known.get(plain(text)) or next((known[phrase] for phrase in phrases), None)
