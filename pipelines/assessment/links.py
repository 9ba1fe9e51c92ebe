"""Which things of a later visit are items of an earlier one, written otherwise.

Rows that name a thing alike are one item already (queries/assessment/item_rows.sql). What is left is a choice among
candidates: things no longer named, and things named for the first time. Each pair has odds from what agrees
(reference/link_evidence.csv); its strength is its share among everything that competes for either, "neither" included,
so two that look alike are never linked by chance. Visits are gone through in their order, so a later file changes no
earlier choice.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from itertools import groupby
from math import fsum, isclose
from typing import Any, NamedTuple

import duckdb
import pandas as pd
from rapidfuzz import fuzz

from pipelines import queries

STAGE = "assessment"
DECIDED = "a person said so"
SPLIT = "one item, now named in parts whose extents add up to it"
MERGED = "parts of one item, now named together with their extents added up"
LINKS = {"thing_id": "string", "root_id": "string", "kind": "string", "reason": "string", "strength": "float64"}
DOUBTS = {"thing_id": "string", "root_id": "string", "reason": "string", "strength": "float64"}


class Pair(NamedTuple):
    """An earlier and a later thing that may be one: odds and why, extents, and whether one may be part of the other."""

    property_ref: str
    visit_on: date
    earlier_id: str
    later_id: str
    odds: float
    why: str
    earlier_extent: float
    later_extent: float
    may_split: bool
    may_merge: bool


@dataclass
class Items:
    """Things as they are joined to items: a thing's root is the item's first thing."""

    days: Mapping[str, list[date]]
    days_least: int
    roots: dict[str, str] = field(default_factory=dict)
    links: list[tuple[str, str, str, str, float]] = field(default_factory=list)

    def root(self, thing: str) -> str:
        """The first thing of the item that a thing is."""
        while thing in self.roots:
            thing = self.roots[thing]
        return thing

    def join(self, one: str, other: str, kind: str, reason: str, strength: float) -> None:
        """Make two things one item; the one seen first, or first by name, stays its root."""
        first, later = sorted({self.root(one), self.root(other)}, key=lambda thing: (self.days[thing][0], thing))
        self.roots[later] = first
        self.links.append((later, first, kind, reason, strength))

    def is_named(self, item: str, day: date) -> bool:
        """Whether a visit of about that day names a thing of an item."""
        return any(
            abs((visit - day).days) < self.days_least
            for thing, visits in self.days.items()
            if self.root(thing) == item
            for visit in visits
        )


def link(con: duckdb.DuckDBPyConnection) -> None:
    """Make `thing_links` (which thing is which item) and `link_doubts` (what a person could decide)."""
    rooms = queries.rows(con, STAGE, "link_wordings")
    alike = [
        fuzz.token_sort_ratio(one, other) for one, other in zip(rooms["earlier_room"], rooms["later_room"], strict=True)
    ]
    likenesses = rooms.assign(likeness=alike).astype(
        {"earlier_room": "string", "later_room": "string", "likeness": float}
    )
    queries.insert(con, "room_likenesses", likenesses, is_step=True)
    named: dict[str, dict[str, list[date]]] = defaultdict(lambda: defaultdict(list))
    for property_ref, thing, day in queries.tuples(con, STAGE, "things_decided"):
        named[property_ref][thing].append(day)
    decided: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for property_ref, thing, same_as in queries.tuples(con, STAGE, "decided_links"):
        decided[property_ref].append((thing, same_as))
    pairs = {
        property_ref: list(of_property)
        for property_ref, of_property in groupby(
            (Pair(*row) for row in queries.tuples(con, STAGE, "link_pairs")), key=lambda pair: pair.property_ref
        )
    }
    links: list[tuple[Any, ...]] = []
    doubts: list[tuple[Any, ...]] = []
    limits = queries.limits(con)
    for property_ref in sorted(pairs.keys() | decided.keys()):
        found, asked = link_property(pairs.get(property_ref, []), named[property_ref], decided[property_ref], limits)
        links += found
        doubts += asked
    queries.insert(con, "thing_links", pd.DataFrame(links, columns=list(LINKS)).astype(LINKS), is_step=True)
    queries.insert(con, "link_doubts", pd.DataFrame(doubts, columns=list(DOUBTS)).astype(DOUBTS), is_step=True)


def link_property(
    pairs: Iterable[Pair],
    days: Mapping[str, list[date]],
    decided: Iterable[tuple[str, str]],
    limits: Mapping[str, float],
) -> tuple[list[tuple[str, str, str, str, float]], list[tuple[str, str, str, float]]]:
    """The links of one property, each thing with its root, and the pairs too unsure to link, to be asked about."""
    items = Items(days, int(limits["link_days_least"]))
    answered = set()
    for thing, same_as in decided:
        answered |= {thing, same_as}
        if items.root(thing) != items.root(same_as):
            items.join(thing, same_as, "decided", DECIDED, 1.0)
    asked = []
    for day, of_visit in groupby(pairs, key=lambda pair: pair.visit_on):
        visit = Visit(items, limits, [pair for pair in of_visit if pair.later_id not in answered], day)
        visit.link_best(limits["link_strength_sure"])
        visit.link_parts()
        visit.link_best(limits["link_strength_least"])
        asked += list(visit.left())
    links = [(thing, items.root(root), kind, why, strength) for thing, root, kind, why, strength in items.links]
    return links, [(later, items.root(earlier), why, strength) for later, earlier, why, strength in asked]


class Visit:
    """What one visit names for the first time in a property, and which items of before it may be."""

    def __init__(self, items: Items, limits: Mapping[str, float], pairs: list[Pair], day: date) -> None:
        self.items = items
        self.limits = limits
        self.pairs: dict[tuple[str, str], Pair] = {}
        roots = {pair.earlier_id: items.root(pair.earlier_id) for pair in pairs}
        free = {root for root in set(roots.values()) if not items.is_named(root, day)}
        for pair in sorted(pairs, key=lambda pair: (-pair.odds, pair.earlier_id, pair.later_id)):
            if roots[pair.earlier_id] in free:
                self.pairs.setdefault((roots[pair.earlier_id], pair.later_id), pair)

    def strengths(self) -> dict[tuple[str, str], float]:
        """How sure each pair is: its odds among those of all that compete for either, and of neither."""
        rivals: dict[str, list[float]] = defaultdict(list)
        for names, pair in self.pairs.items():
            for name in names:
                rivals[name].append(pair.odds)
        return {
            (item, later): pair.odds / (1 + fsum((*rivals[item], *rivals[later], -pair.odds)))
            for (item, later), pair in self.pairs.items()
        }

    def link_best(self, least: float) -> None:
        """Link what is at least so sure, over and over, as what is linked competes no more."""
        while sure := [(names, strength) for names, strength in self.strengths().items() if strength >= least]:
            for (item, later), strength in sorted(sure):
                pair = self.pairs[item, later]
                self.items.join(later, item, "renamed", pair.why, round(strength, 4))
            self._settle({name for names, _ in sure for name in names})

    def link_parts(self) -> None:
        """Link an item with the parts that it is named in now, and parts with what names them together now."""
        for whole_is_later, kind, reason in ((False, "split", SPLIT), (True, "merged", MERGED)):
            parts: dict[str, dict[str, float]] = defaultdict(dict)
            wholes: dict[str, float] = {}
            for (item, later), pair in sorted(self.pairs.items()):
                if pair.may_merge if whole_is_later else pair.may_split:
                    whole, part = (later, item) if whole_is_later else (item, later)
                    extents = (pair.later_extent, pair.earlier_extent)
                    wholes[whole], parts[whole][part] = extents if whole_is_later else extents[::-1]
            settled: set[str] = set()
            for whole, extents_of in sorted(parts.items()):
                if (
                    len(extents_of) > 1
                    and settled.isdisjoint({whole, *extents_of})
                    and isclose(fsum(extents_of.values()), wholes[whole], rel_tol=self.limits["link_extent_alike"])
                ):
                    for part in sorted(extents_of):
                        self.items.join(whole, part, kind, reason, self.limits["link_split_strength"])
                    settled |= {whole, *extents_of}
            self._settle(settled)

    def left(self) -> Iterator[tuple[str, str, str, float]]:
        """Pairs that were not linked, yet are likely enough to ask about."""
        for (item, later), strength in sorted(self.strengths().items()):
            if strength >= self.limits["link_asked_least"]:
                yield later, item, self.pairs[item, later].why, round(strength, 4)

    def _settle(self, names: set[str]) -> None:
        """Let what is linked compete no more."""
        self.pairs = {pair: said for pair, said in self.pairs.items() if names.isdisjoint(pair)}
