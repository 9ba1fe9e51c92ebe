"""Job descriptions to the works that they are: what is done (acts), to what (objects), where (places).

A description is cut into sentences and clauses (`and`, `+`, `;`, commas ...). The words of a clause are looked up in
`reference/job_words.csv`, longest phrase first; a word that it lacks is taken without its ending, else as the one word
spelt most like it. What follows `to`, `in`, `on`, `with` ... is a place or company, not the thing worked on; of things
standing together the last is meant (`kitchen door handle` is a handle). Rows of `reference/job_objects.csv` say which
work each thing is, and the least act from which it counts: being mentioned, repair, renewal, or never.

Precedence. A renewal in a clause goes before a repair, both before what spares the fabric (clean, adjust, test ...);
`new` and `replacement` count unless the clause spares it; a fault (`leaking`) counts as a repair only where no act
stands anywhere. What follows a quote or survey in its sentence is not done, nor what is only `new` there. A denial
takes away the act after it. A part that never counts (lock, washer, bulb) stands for the thing that it belongs to. A
clause without an act takes that of its neighbour, a clause without a thing takes its neighbour's. Words of a clause
decide what an ambiguous word means before those elsewhere, and those before the trade. Asides (`call before`, `key safe
by front door`) say nothing.

Caution. What could open fabric and could not counts only where an act says so. Known words without such an act are
`none`; an act that opens, without a known thing, is unknown.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import duckdb
import pyarrow as pa

from pipelines import queries
from pipelines.register.job_lexicon import MENTION, NEVER, RENEWAL, REPAIR, Lexicon, Row, read_lexicon
from pipelines.register.words import plain

NONE = "none"
WEAK = ("new", "fault")
SENTENCE = re.compile(r"(?:\.(?!\d)|[;!?\n\r])+")
CLAUSE = re.compile(r"\s*(?:,|\+|/|&|:|\s[-–]+\s|\b(?:and|then|also|plus)\b)\s*")
TOGETHER = ("&", "+", "/", "and", "plus")
ABBREVIATION = re.compile(r"\b(\w)(?:\.| ?[/&] ?)(?=\w\b)")
AGAIN = re.compile(r"\bre[- ]([a-z]{3,})")
SPARED = -1
COLUMNS = pa.schema(
    {
        "work_type": pa.string(),
        "description": pa.string(),
        "trade": pa.string(),
        "n_rows": pa.int64(),
        "work_types": pa.list_(pa.string()),
        "opens": pa.bool_(),
    }
)
ITSELF, LEAST_THING = 5, 3  # standings: the act itself, and things as against surfaces and rooms


@dataclass(frozen=True)
class Clause:
    """What a clause says: acts, things worked on, things that are places or company, and all its words."""

    acts: frozenset[str] = frozenset()
    things: tuple[str, ...] = ()
    aside: tuple[str, ...] = ()
    beside: frozenset[str] = frozenset()
    ends_aside: bool = False
    is_linked: bool = False
    is_together: bool = False
    sentence: int = 0


@dataclass(frozen=True)
class Works:
    """The works of a job; `none` where it touches no fabric, nothing where it is unknown. `opens`: an act says so."""

    work_types: tuple[str, ...]
    opens: bool


def recognise(con: duckdb.DuckDBPyConnection) -> None:
    """Make `recognised_jobs`: one row per distinct work type, description and trade, with its works."""
    written = queries.tuples(con, "register", "written_jobs")
    lexicon = read_lexicon(
        queries.tuples(con, "register", "job_words"),
        queries.tuples(con, "register", "job_objects"),
    )
    names = {plain(name): work_type for work_type, name in queries.tuples(con, "register", "work_type_names")}
    found = [
        recognise_job(work_type or "", description or "", trade or "", names, lexicon)
        for work_type, description, trade, _ in written
    ]
    rows = [
        dict(zip(COLUMNS.names, (*words, works.work_types, works.opens), strict=True))
        for words, works in zip(written, found, strict=True)
    ]
    queries.insert(con, "recognised_jobs", pa.Table.from_pylist(rows, COLUMNS))


def recognise_job(work_type: str, description: str, trade: str, names: Mapping[str, str], lexicon: Lexicon) -> Works:
    """The works of a job: the work type or description where it is the name of one of ours, else what the words say.

    `names` holds our work types by their names in plain letters. A work type that is none of them helps like a trade.
    """
    for written in (work_type, description):
        if plain(written) in names:
            return Works((names[plain(written)],), opens=True)
    works = read_job(description, f"{work_type} {trade}", lexicon)
    return works if works.work_types else read_job(work_type, trade, lexicon)


def read_job(description: str, trade: str, lexicon: Lexicon) -> Works:
    """The works of a description, in alphabetical order."""
    clauses = _completed(list(_clauses(description, lexicon)))
    if trade not in lexicon.trades:
        marks = _marks(trade.lower(), lexicon)
        lexicon.trades[trade] = frozenset(term for kind, term in marks if kind in ("object", "place"))
    elsewhere = frozenset(term for clause in clauses for term in clause.beside)
    acted = any(clause.acts - {"fault"} for clause in clauses)
    works: set[str] = set()
    opens = objectless = known = False
    for clause in clauses:
        grade = _grade(clause.acts, acted)
        found = _works(clause, grade, (clause.beside, elsewhere, lexicon.trades[trade]), lexicon)
        works |= found or set()
        opens |= grade == RENEWAL
        objectless |= grade == RENEWAL and found is None
        known |= found is not None or bool(clause.acts)
    if works:
        return Works(tuple(sorted(works)), opens=True)
    return Works((NONE,) if known and not objectless else (), opens)


def _clauses(description: str, lexicon: Lexicon) -> Iterator[Clause]:
    text = AGAIN.sub(lambda found: lexicon.again(*found.group(0, 1)), ABBREVIATION.sub(r"\1", description.lower()))
    for number, sentence in enumerate(SENTENCE.split(text)):
        clauses, quoted = [], False
        for part, joint in _parts(" ".join(sentence.split())):
            clause, quoted = _clause(list(_marks(part, lexicon)), quoted, lexicon)
            clauses.append(replace(clause, is_together=joint in TOGETHER, sentence=number))
        for clause in clauses:
            if quoted and "new" in clause.acts:
                clause = replace(clause, acts=clause.acts - {"new"} | {"sparing"})
            if clause.acts or clause.beside:
                yield clause


def _parts(sentence: str) -> Iterator[tuple[str, str]]:
    """The clauses of a sentence, each with what joins it to the one before."""
    joint, start = "", 0
    for found in CLAUSE.finditer(sentence):
        yield sentence[start : found.start()], joint
        joint, start = found.group().strip(), found.end()
    yield sentence[start:], joint


def _marks(text: str, lexicon: Lexicon) -> Iterator[tuple[str, str]]:
    """Kind and term of the known phrases of a text, the longest first; an act before what it acts on."""
    words = [lexicon.word(word) for word in plain(text).split()]
    at = 0
    while at < len(words):
        for length in range(min(lexicon.reach.get(words[at], 1), len(words) - at), 0, -1):
            meanings = lexicon.meanings.get(" ".join(words[at : at + length]))
            if meanings:
                yield from meanings
                break
        at += length


def _clause(marks: Sequence[tuple[str, str]], quoted: bool, lexicon: Lexicon) -> tuple[Clause, bool]:
    """The clause of some marks, and whether a quote or survey governs what follows it."""
    acts: set[str] = set()
    runs: list[tuple[bool, list[str]]] = [(False, [])]
    skip = ""
    for kind, term in marks:
        if kind == "act":
            if skip == "since":
                runs.append((True, []))
            else:
                acts |= {"sparing"} if skip or quoted or term == "quoting" else {term}
                quoted |= term == "quoting" and not skip
                runs.append((runs[-1][0] and term in WEAK, []))
            skip = ""
        elif kind == "link":
            runs.append((True, []))
        elif kind in ("since", "denial"):
            skip = kind
            runs.append((kind == "since", []))
        elif kind in ("object", "place"):
            runs[-1][1].append(term)
    things = [(is_aside, head) for is_aside, run in runs for head in _head(run, lexicon)]
    return Clause(
        frozenset(acts),
        tuple(head for is_aside, head in things if not is_aside),
        tuple(head for is_aside, head in things if is_aside),
        frozenset(term for _, run in runs for term in run),
        ends_aside=bool(things) and things[-1][0],
        is_linked=any(is_aside for is_aside, _ in runs),
    ), quoted


def _head(run: Sequence[str], lexicon: Lexicon) -> list[str]:
    """Of things standing together, the last of those that stand highest, after any parts that never count."""
    known = [term for term in run if term in lexicon.standing]
    highest = max((lexicon.standing[term] for term in known), default=0)
    heads = [term for term in known if lexicon.standing[term] == highest]
    return [term for term in heads[:-1] if _is_part(term, lexicon)] + heads[-1:]


def _completed(clauses: Sequence[Clause]) -> list[Clause]:
    """Clauses that lack an act or a thing, with those of their neighbours."""
    completed: list[Clause] = []
    for at, clause in enumerate(clauses):
        before, after = completed[-1] if completed else None, clauses[at + 1] if at + 1 < len(clauses) else None
        if not clause.acts:
            clause = _with_act(clause, before, after)
        elif not clause.things and not clause.aside:
            clause = _with_thing(clause, [*reversed(completed), *clauses[at + 1 :]])
        completed.append(clause)
    return completed


def _with_act(clause: Clause, before: Clause | None, after: Clause | None) -> Clause:
    if before and before.sentence == clause.sentence and before.acts:
        if before.ends_aside and not clause.is_linked:
            return replace(clause, things=(), ends_aside=True)
        itself = tuple(thing for thing in before.things if thing in ("decorating", "demolishing"))
        beside = clause.beside | before.beside
        return replace(clause, acts=before.acts, things=(*itself, *clause.things), beside=beside)
    if after and after.sentence == clause.sentence and (after.is_together or not after.things):
        return replace(clause, acts=after.acts)
    return clause


def _with_thing(clause: Clause, others: Iterable[Clause]) -> Clause:
    for other in others:
        if other.things or other.aside:
            return replace(clause, things=other.things, aside=other.aside, beside=clause.beside | other.beside)
    return clause


def _grade(acts: frozenset[str], acted: bool) -> int:
    """How far the acts of a clause go; `acted`: an act beside faults stands somewhere in the description."""
    if "renewal" in acts:
        return RENEWAL
    if "repair" in acts:
        return REPAIR
    if "sparing" in acts:
        return SPARED
    if "new" in acts:
        return RENEWAL
    if "fault" in acts:
        return SPARED if acted else REPAIR
    return MENTION


def _works(clause: Clause, grade: int, scopes: Sequence[frozenset[str]], lexicon: Lexicon) -> set[str] | None:
    """The works that a clause is; None where it names no thing whose work is known."""
    for things in _by_standing(clause, lexicon):
        rows = [row for thing in things if (row := _row(thing, scopes, lexicon))]
        if rows:
            parts = {row.work_type for row in rows if row.counts_from == NEVER}
            return {row.work_type for row in rows if grade >= row.counts_from and row.work_type not in parts}
    return None


def _by_standing(clause: Clause, lexicon: Lexicon) -> Iterator[list[str]]:
    """The things of a clause in the order in which they are meant: those worked on first, of them the highest."""
    for things in (clause.things, clause.aside):
        for least, most in ((ITSELF, ITSELF), (ITSELF - 1, ITSELF - 1), (LEAST_THING, LEAST_THING), (0, 2)):
            yield [thing for thing in things if least <= lexicon.standing[thing] <= most]


def _row(thing: str, scopes: Sequence[frozenset[str]], lexicon: Lexicon) -> Row | None:
    rows = lexicon.rows[thing]
    for scope in scopes:
        for row in rows:
            if row.beside and row.beside in scope:
                return row
    return next((row for row in rows if not row.beside), None)


def _is_part(thing: str, lexicon: Lexicon) -> bool:
    return all(row.counts_from == NEVER and row.work_type for row in lexicon.rows[thing])
