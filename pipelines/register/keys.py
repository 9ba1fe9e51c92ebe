"""What explains codes: sheets of them, lists, lines and running texts.

`LR | Living room` is a code with its meaning, `Rm | LR | Living room` names its column too; a line of one cell names
the codes below it. A running text explains codes by signs of equality, `G = good, L = low damage`, or by wide gaps. A
code with two meanings is left as it is.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise, takewhile

from pipelines.register.key import FEWEST_CODES, FEWEST_SIGNS, LONGEST_JOINED, STROKE, Key
from pipelines.register.key_labels import behind_label
from pipelines.register.layout import at_or_blank
from pipelines.register.words import plain

KEY = re.compile(r"\b(keys?|codes?|legend|abbreviations?|abbr|meanings?|stands? for)\b", re.I)
OF_DOOR = re.compile(
    r"\b(?:no|without|lost|wrong|spare|master|door|fire|meter|gate) keys?\b"
    r"|\bkeys? (?:safe|holder|held|with|from|at|fob|cupboard|needed|required|not|box)\b"
    r"|\b(?:door|entry|gate|safe|alarm|access) codes?\b|\bcodes?:? \d{3,}\b",
    re.I,
)
"""Where no code of a register is meant: `Locked, council has no key`, `Key safe code 4711`."""
WORDS_IN_PASSING = 4
"""Words of a cell behind the first of its row, from which on it speaks of what it says it is only in passing."""
CODE = re.compile(r"^[A-Za-z0-9+/*.&-]{1,6}$")
CODES_FROM_TO = re.compile(r"^([A-Za-z]{1,5})(\d)\s*(?:-|–|to)\s*\1(\d)$", re.I)
NAMED_FROM_TO = re.compile(r"\s+\d\s*(?:-|–|to)\s*\d\s*$", re.I)
"""Codes that run on, and what they mean: `BD1-BD3 | Bedroom 1 to 3`."""
NOT_HELD = re.compile(
    r"\b(?:not|never|un)[ -]?(?:recorded|noted|held|known|available|given|stated|measured|assessed)\b", re.I
)
"""What says that a value stands for none."""
MEANING = re.compile(r"[A-Za-z].*[A-Za-z]{2}")
SAYS_KEY = re.compile(r"^(?:key|codes?|legend|abbreviations?)\b\s*:?\s*", re.I)
MEANS = re.compile(r"^([A-Za-z✓✗+*]{1,4}\d?|\?)\s*(?:=|:|\s[-–]\s)\s*([^=]*[A-Za-z]{3}[^=]*)$")
MEANS_IN_KEY = re.compile(r"^([A-Z][A-Za-z+/]{0,2}|✓|✗)\s*(?:=|:|[-–])?\s+([^=]*[A-Za-z]{3}[^=]*)$")
MAY_MEAN = re.compile(rf"[=:]|\s[-–]\s|{SAYS_KEY.pattern}", re.I)
"""What no cell lacks that explains a code; most rows of a register have none of it."""
SIGN = re.compile(
    r"(?:^|(?<=[\s,;.:(]))"
    r"((?:(?<=^)|(?<=, )|(?<=; ))[A-Za-z]{1,4}\.? [a-z]{2,5}|[A-Za-z✓✗+*][A-Za-z/+.]{0,5}\d?\*?|\d|\?)\s*=\s*"
)
"""Before a meaning in a running text, `G = good, L = low damage. U/C = unchanged.`, `th. tile = thermoplastic tile`"""
EITHER = re.compile(r"(?:^|(?<=\s\s)|(?<=: ))([A-Za-z]{1,4}) / ([A-Za-z]{1,6})\s*=\s*([^=]*?)(?=\s{2,}|$)")
"""Two codes of one meaning: `G / good = no damage`."""
BEHIND_WORD = re.compile(r"\b(?:after|behind|before|in front of) (?:the|an?)$", re.I)
"""Where no code stands before a sign, but what one stands beside: `m after the amount = metres`."""
NEXT_NAME = re.compile(r"^(.*?)(?:(?:[.;]\s*|\s{2,})([^.;:]{2,30}):(?:\s*[A-Z][A-Za-z]{0,2}\s*/)*)?[\s.,;()]*$", re.S)
"""A meaning, and what the codes behind it are called: `good. Surface: S = sealed`, `good   SEALED: Y / N / P = ptd`,
where some codes say by themselves what they mean."""
BEFORE_NEXT = re.compile(r"\s{2,}(?=\W*[^\s=][^=]*=)")
"""Between a meaning and what is explained behind it that is no code: `presumed   "As A1" = as that sample`."""
CODES_ALONE = re.compile(r"(?:,\s*[A-Z]{2,6})+$")
"""Codes that say by themselves what they mean, before the next: `presumed, NEG, NAC = no access`."""
STEPS_NAMED = re.compile(
    r"(?:^|(?<=[.;]\s)|(?<=\s\s))([A-Za-z][^.;:=\d]{1,28}?)(?:\s*\(?\d\s*(?:-|–|to)\s*\d\)?)?\s*:\s*"
    r"([01]\s*[.)–-]?\s*[A-Za-z]{3}[^=.;]*)(?=[.;]|$)"
)
"""A scale whose steps are told in a sentence of their own: `State: 1 good, 2 minor damage, 3 damaged, 4 bad`."""
BESIDE = re.compile(r"^(.{2,30}?)\s+(?:means|meanings?)$", re.I)
"""Over the column that tells what the codes of the one before it mean: `Type | Type means`."""
OVER_MEANINGS = re.compile(r"^(?:meanings?|means|stands for|in full|explanation|description)\W*$", re.I)
"""Over the meanings of the codes below, beside what these are called: `Status | Meaning`."""
OF_DITTO = re.compile(
    r"(?:^|(?<=[.;,\s]))(?:[\"”″]|do\.?|ditto)(?:,? (?:or|and) (?:[\"”″]|do\.?|ditto))*"
    r"\s*(?:=|means)\s*(?:the )?same[^.;]*",
    re.I,
)
"""What marks of repetition mean, said among codes: `\" or do. = same as line above`."""
DITTO = re.compile(r"^ditto\b", re.I)
"""What marks that repeat the cell above stand for: they are read as such, not as codes."""
WORDS_TOGETHER = re.compile(r"^[a-z]+ (?:\S+ )*[a-z]{3,}$")
"""An answer in several words, `not taken`, rather than codes side by side."""
GAP_CODE = re.compile(r"^([A-Z][A-Z/+]{0,3})\s*[-–:]?\s+([A-Za-z].*[A-Za-z]{2}.*)$")
AFTER_STOP = re.compile(r"\.\s.*$", re.S)
IN_ONE = re.compile(r"^\s*([A-Za-z0-9+/&.*-]{1,6})\s*(?:[=:–]|\s-)\s*(\S.*)$")
STEP = re.compile(r"(\d)\s*[=:.)–-]?\s*([A-Za-z]{3}[^\d]*)")
SCALE = re.compile(rf"^\s*(?:{STEP.pattern}){{2,}}$")
OF_SCORES = re.compile(
    r"^[<>≤≥]?\s*\d+\s*(?:-|–|to|and|or|&)\s*(?:\d+|over|under|above|below|more|less|up|fewer)$", re.I
)
JOINS = frozenset(("or", "and", "in", "to", "of", "if", "for"))
"""Words within a text, `- or 0 in scores`, where nothing but codes could stand."""
FOUND_AS_BEFORE = re.compile(
    r"^(?:as (?:\d{4}|before|last.*)|same|unchanged|n/?c|no change|removed\b.*|not (?:seen|inspected|visited)"
    r"|no access\b.*)$",
    re.I,
)
"""What stands among the codes for a condition where a visit has none of its own."""
OF_SIGNS = re.compile(r"^\+\s*(?:/|or)\s*[-–−]$|^[-–−]\s*(?:/|or)\s*\+$")
"""A heading that is the key of its column: `+/-`."""
SIGNS = {"+": "positive", "-": "negative", "–": "negative"}
TYPES_LISTED = re.compile(r"(?:^|(?<=[,;] ))([A-Z][a-z]?) ((?i:chrysotile|amosite|crocidolite))\b(?=[,;.]|\s*$)")
"""Letters before the types that they stand for, with no mark between: `C chrysotile, A amosite, X crocidolite`."""
FIGURES = re.compile(r"^\d+(\.0)?$")
LEAST_PAIRS = 0.5
LABEL_WORDS_MOST = 3


def keys_of(sheet: str, rows: Sequence[Sequence[str]]) -> list[Key]:
    """The codes that a sheet lists, by their names; none if it does not say that it is a key."""
    filled = [one for cells in rows for one in _one_by_one([cell.strip() for cell in cells if cell.strip()])]
    if not KEY.search(sheet) and not any(map(_says_key, filled)):
        return []
    is_named = sum(len(cells) == 3 for cells in filled) > len(filled) // 2
    found: dict[str, Key] = {}
    name, n_pairs = "", 0
    unclear: set[tuple[str, str]] = set()
    for cells in filled:
        pairs = behind_label(cells) or _said_of_one(cells) or list(_pairs_of(cells, is_named))
        if (not pairs and len(cells) == 1) or (len(cells) == 2 and OVER_MEANINGS.match(cells[1])):
            name, pairs = cells[0], []
        elif len(cells) == 3 and not is_named and CODE.match(cells[1]) and MEANING.search(cells[2]):
            name, pairs = cells[0], [("", cells[1].removesuffix(".0"), cells[2])]
        n_pairs += bool(pairs) or (len(cells) == 2 and OF_SCORES.match(cells[1]) is not None)
        for group, code, meaning in pairs:
            known = found.setdefault(group or name, Key(group or name))
            meaning = _unexplained(meaning)
            if known.meanings.setdefault(code, meaning) != meaning:
                unclear.add((group or name, code))
    for group, code in unclear:
        del found[group].meanings[code]
    if "" in found:
        _name_by_heading(found[""])
    is_list = n_pairs >= max(FEWEST_CODES, LEAST_PAIRS * len(filled))
    return list(found.values()) if is_list else []


def _says_key(cells: Sequence[str]) -> bool:
    """Whether a row says that it is of a key: in its first cell or shortly, and not of a door's."""
    said = (cell for nth, cell in enumerate(cells) if nth == 0 or len(cell.split()) < WORDS_IN_PASSING)
    return any(KEY.search(OF_DOOR.sub("", cell)) for cell in said)


def _one_by_one(cells: list[str]) -> Iterator[list[str]]:
    """The cells of a line of a key, once for each code where its codes run on."""
    run = CODES_FROM_TO.match(cells[-2]) if len(cells) in (2, 3) else None
    if run is None:
        yield cells
        return
    of = NAMED_FROM_TO.sub("", cells[-1])
    for one in range(int(run[2]), int(run[3]) + 1):
        yield [*cells[:-2], f"{run[1]}{one}", f"{of} {one}"]


def keys_beside(rows: Sequence[Sequence[str]]) -> list[Key]:
    """The codes of lists that stand side by side on a sheet, each of which has its meanings in the next column, by the
    headings of the lists."""
    found: list[Key] = []
    for nth, cells in enumerate(rows):
        for at, (name, over) in enumerate(pairwise(cell.strip() for cell in cells)):
            said = BESIDE.match(over)
            if said and plain(said[1]) == plain(name):
                below = [(at_or_blank(line, at), at_or_blank(line, at + 1)) for line in rows[nth + 1 :]]
                listed = takewhile(lambda pair: CODE.match(pair[0]) and MEANING.search(pair[1]), below)
                found.append(Key(name, dict(listed)))
    return [key for key in found if len(key.meanings) >= FEWEST_CODES]


def _said_of_one(cells: Sequence[str]) -> list[tuple[str, str, str]]:
    """Name, code and meaning where one cell explains all codes of a column: `Fibre | C = chrysotile, A = amosite`."""
    said = keys_said([": ".join(cells)]) if len(cells) == 2 else []
    return [(key.name, code, meaning) for key in said for code, meaning in key.meanings.items()]


def _name_by_heading(key: Key) -> None:
    """Take the first pair of a list for its heading where it is a word above codes in capitals: `Source | Who`."""
    first, *others = key.meanings
    if first.istitle() and len(first) > LONGEST_JOINED and others and all(code == code.upper() for code in others):
        key.name = first
        del key.meanings[first]


def _pairs_of(cells: Sequence[str], is_named: bool) -> Iterator[tuple[str, str, str]]:
    """Name, code and meaning of each code that a row gives."""
    if is_named and len(cells) == 3:
        if CODE.match(cells[1]) and MEANING.search(cells[2]):
            yield cells[0], cells[1].removesuffix(".0"), cells[2]
        return
    at = 0
    while at < len(cells):
        following = cells[at + 1] if at + 1 < len(cells) else ""
        codes = STROKE.sub(" ", cells[at]).split()
        if scale := _scale(following):
            yield from ((cells[at], figure, meaning) for figure, meaning in scale)
            at += 1
        elif in_order := _in_order(cells[at], following):
            yield from in_order
            at += 1
        elif all(map(CODE.match, codes)) and not JOINS.intersection(codes) and _is_meaning(following):
            yield from (("", code, meaning) for code, meaning in _each(cells[at], codes, following))
            at += 1
        elif (inside := IN_ONE.match(cells[at])) and _is_meaning(inside[2]):
            yield "", inside[1], inside[2]
        at += 1


def _each(cell: str, codes: Sequence[str], meaning: str) -> list[tuple[str, str]]:
    """The codes of a cell with what each means: in their order, or all the same. Words are no codes of their own but an
    answer together: `not taken | no sample, treat as asbestos`."""
    apart = (re.split(mark, meaning) for mark in (r"\s{2,}", r"\s+"))
    if each := next((said for said in apart if len(said) == len(codes)), None):
        return [(code.removesuffix(".0"), said) for code, said in zip(codes, each, strict=True)]
    answers = STROKE.split(cell)
    is_of_words = any(map(WORDS_TOGETHER.search, answers))
    return [(code.strip().removesuffix(".0"), meaning) for code in (answers if is_of_words else codes)]


def _is_meaning(text: str) -> bool:
    """Whether a text says what a code means, not which scores it stands for: `16 and over`."""
    return MEANING.search(text) is not None and not OF_SCORES.match(text)


def _in_order(codes: str, meanings: str) -> list[tuple[str, str, str]]:
    """Name, code and meaning of codes whose meanings stand in their order: `P / SP | presumed / strongly presumed`.
    What stands before a colon is what they are called, what stands behind a full stop a remark."""
    name, _, said = meanings.rpartition(": ")
    each = STROKE.split(codes)
    meant = STROKE.split(AFTER_STOP.sub("", said))
    if len(each) < FEWEST_SIGNS or len(meant) != len(each):
        return []
    if not all(map(CODE.match, each)) or not all(MEANING.search(one) for one in meant):
        return []
    return [(name.strip(), code, one.strip()) for code, one in zip(each, meant, strict=True)]


def _unexplained(meaning: str) -> str:
    """What says that nothing has changed, or that it is gone, without the explanation behind it."""
    return without_explanation(meaning) if FOUND_AS_BEFORE.match(without_explanation(meaning)) else meaning


def without_explanation(meaning: str) -> str:
    """A meaning without the explanation behind it: `presumed - the same as one that was sampled`."""
    return re.split(r"\s+[-–—]\s+|\s*[(;]", meaning, maxsplit=1)[0]


def _scale(text: str) -> list[tuple[str, str]]:
    """The figures that a text explains one after the other: `0 good  1 slight  2 medium  3 bad`."""
    found = [(one[1], one[2].strip(" ,;./")) for one in STEP.finditer(text)] if SCALE.match(text) else []
    figures = [int(figure) for figure, _ in found]
    is_running = figures == list(range(figures[0], figures[0] + len(figures))) if figures else False
    return found if is_running else []


def key_within(rows: Iterable[Sequence[str]]) -> list[Key]:
    """The codes that a line of the sheet itself explains, as `P = presumed; N = not detected` or, where it says that it
    is a key, `Key: P presumed; N not detected`."""
    found: list[Key] = []
    for cells in rows:
        filled = [cell.strip() for cell in cells if cell.strip()]
        if not MAY_MEAN.search("\n".join(filled)):
            continue
        means = MEANS_IN_KEY if filled and SAYS_KEY.match(filled[0]) else MEANS
        pairs = [pair for cell in filled for pair in _pairs(SAYS_KEY.sub("", cell), means)]
        said = keys_said(filled)
        if len(pairs) > 1 and len(filled) <= len(pairs) + 1:
            found.append(Key("", {code: of for key in said for code, of in key.meanings.items()} | dict(pairs)))
        else:
            found += said
    return found


def keys_said(cells: Sequence[str]) -> list[Key]:
    """The codes that a running text explains by signs of equality, by what they are called, which may stand in the
    cell before it: `Mat | TX = textured coating   TT = floor tile`."""
    found: dict[str, Key] = {}
    for written in _with_label([cell.strip() for cell in cells if cell.strip()]):
        scales = [(one, steps) for one in STEPS_NAMED.finditer(written) if len(steps := _scale(one[2])) >= FEWEST_CODES]
        cell = written
        for one, steps in scales:
            found.setdefault(one[1].strip(), Key(one[1].strip(), dict(steps)))
            cell = cell.replace(one[0], "").rstrip()
        before, *rest = SIGN.split(EITHER.sub(r"\1 = \3   \2 = \3", OF_DITTO.sub(" ", cell)))
        if len(rest) < 2 * FEWEST_SIGNS:
            if key := _in_gaps(cell):
                found.setdefault(key.name, key)
            continue
        name = re.split(r"[.;]", before.strip(" :(.;"))[-1].strip()
        for code, text in zip(rest[::2], rest[1::2], strict=True):
            said = NEXT_NAME.match(text)
            if said and MEANING.search(said[1]) and not DITTO.match(said[1]):
                meaning = BEFORE_NEXT.split(said[1])[0].strip(" .,;")
                meaning += ")" * (meaning.count("(") > meaning.count(")"))
                meaning = CODES_ALONE.sub("", meaning) if code.isupper() else meaning
                found.setdefault(name, Key(name)).meanings.setdefault(code, meaning)
            name = said[2].strip() if said and said[2] else name
    return [key for key in found.values() if len(key.meanings) >= FEWEST_SIGNS and not BEHIND_WORD.search(key.name)]


def keys_unmarked(cells: Sequence[str]) -> list[Key]:
    """What a heading says of signs by naming them, and letters that stand right before the types of asbestos."""
    found = [Key(cell.strip(), SIGNS) for cell in cells if OF_SIGNS.match(cell.strip())]
    listed = [{one[1]: one[2].lower() for one in TYPES_LISTED.finditer(cell.strip())} for cell in cells]
    return [*found, *(Key("Type", letters) for letters in listed if len(letters) >= FEWEST_SIGNS)]


def _with_label(cells: list[str]) -> list[str]:
    """The cells of a line, in one where the first is what the codes of the second are called."""
    is_label = len(cells) == 2 and len(cells[0].split()) <= LABEL_WORDS_MOST and not re.search("[=:]", cells[0])
    return [": ".join(cells)] if is_label and "=" in cells[1] else cells


def _in_gaps(text: str) -> Key | None:
    """The codes of a line such as `STATUS: S sampled  X cross-referred  P presumed`."""
    name, colon, rest = text.partition(":")
    said = [GAP_CODE.match(piece.strip(" .")) for piece in re.split(r"\s{2,}|[;|]", rest) if piece.strip(" .")]
    if not colon or len(said) < FEWEST_CODES or not all(said):
        return None
    return Key(name.strip(), {one[1]: one[2] for one in said if one})


def _pairs(text: str, means: re.Pattern[str]) -> Iterator[tuple[str, str]]:
    """Codes and meanings of a text, parted by `;`, wide gaps, brackets or, where every piece has a code, commas."""
    for part in re.split(r"[;|\n()]|\s{3,}", text):
        pieces = [means.match(piece.strip(" .")) for piece in part.split(",")]
        said = pieces if all(pieces) else [means.match(part.strip(" ."))]
        yield from ((one[1], one[2].strip()) for one in said if one)
