"""Seeded histories of homes that are surveyed three times, with the truth: which row is about which item.

It shares nothing with the pipelines. A first firm surveys, inspects again two years later with new item numbers and
some rooms and materials in other words, and another firm surveys everything anew in its own words.
"""

import random
from dataclasses import dataclass, field

from tests import portfolios

ROOMS = {
    "hall": ("Hall", "Entrance hall", "Hallway"),
    "lounge": ("Lounge", "Living room", "Sitting room"),
    "kitchen": ("Kitchen", "Kitchen area", "Kitchen"),
    "bath": ("Bathroom", "Bathroom", "Family bathroom"),
    "bed1": ("Bed 1", "Bedroom 1", "Front bedroom"),
    "bed2": ("Bed 2", "Bedroom 2", "Rear bedroom"),
    "loft": ("Roof void", "Loft", "Loft space"),
    "airing": ("Airing cupboard", "Cylinder cupboard", "Airing cpd"),
    "garage": ("Garage", "Garage", "Garage to rear"),
}
MATERIALS = {
    "board": ("AIB panel", "Insulating board", "Asbestos insulating board"),
    "tile": ("Vinyl floor tiles", "Floor tiles", "Thermoplastic tiles"),
    "coating": ("Textured coating", "Textured coating to ceiling", "Textured decorative coating"),
    "cement": ("Asbestos cement sheet", "Cement sheet", "AC sheet"),
}
HELD = {
    "hall": ("board", "tile", "coating"),
    "lounge": ("tile", "coating"),
    "kitchen": ("board", "tile", "coating"),
    "bath": ("board", "tile", "coating"),
    "bed1": ("coating", "board"),
    "bed2": ("coating", "board"),
    "loft": ("board", "cement"),
    "airing": ("board", "cement"),
    "garage": ("cement",),
}
VISITS = (("2020-05-01", "Management survey", "Firm A"), ("2022-06-01", "Re-inspection", "Firm A"))
ANEW = ("2025-03-01", "Management survey", "Firm B")
REMOVED = {"removed": "Removed 2021, clearance certificate on file", "said_removed": "Said removed by tenant"}


@dataclass
class Histories:
    """Rows by register file, and beside each row the item that it is truly about."""

    homes: list[portfolios.Row] = field(default_factory=list)
    registers: dict[str, list[portfolios.Row]] = field(default_factory=dict)
    truth: dict[str, list[str]] = field(default_factory=dict)
    states: dict[str, str] = field(default_factory=dict)
    parted: set[str] = field(default_factory=set)

    def add(self, file: str, item: str, row: portfolios.Row) -> None:
        """A row of a register, numbered as it comes, and what it is about."""
        rows = self.registers.setdefault(file, [])
        rows.append(row | {"Item No": str(len(rows) + 1)})
        self.truth.setdefault(file, []).append(item)


def make(seed: int, homes: int = 120) -> Histories:
    """Histories of so many homes."""
    chance = random.Random(seed)
    made = Histories()
    for number in range(homes):
        ref = f"P{number:04}"
        address = {"Address": f"{number + 1} Elm Road, Alder", "Post Code": "ZZ1 1AA", "Area": "North"}
        made.homes.append({"Property Ref": ref, "Year Built": "1965"} | address)
        _home(made, ref, chance)
    return made


def _home(made: Histories, ref: str, chance: random.Random) -> None:
    """The items of a home over its three visits."""
    kinds = [(room, material) for room, materials in HELD.items() for material in materials]
    for nth, (room, material) in enumerate(chance.sample(kinds, chance.randint(4, 8))):
        item = f"{ref}-{nth}"
        extent = chance.randint(4, 60) / 2
        seen = chance.choices(
            ("always", "missed", "removed", "said_removed", "not_found", "late"), (70, 8, 6, 4, 4, 8)
        )[0]
        made.states[item] = seen if seen in ("removed", "said_removed", "not_found") else "present"
        if seen != "late":
            made.add("2020.csv", item, _row(ref, VISITS[0], room, material, 0, extent))
        if seen == "missed":
            pass
        elif seen in REMOVED:
            said = {"Comments": REMOVED[seen], "Condition": "", "Extent": ""}
            made.add("2022.csv", item, _row(ref, VISITS[1], room, material, 0, extent) | said)
        elif seen == "not_found":
            said = {"Comments": "Not found at this visit", "Condition": "", "Extent": ""}
            made.add("2022.csv", item, _row(ref, VISITS[1], room, material, 0, extent) | said)
        else:
            wording = chance.choices((0, 1), (80, 20))[0]
            made.add("2022.csv", item, _row(ref, VISITS[1], room, material, wording, extent))
        if seen in ("always", "missed", "late"):
            measured = extent if chance.random() < 0.8 else round(extent * chance.uniform(0.9, 1.1), 1)
            made.add("2025.csv", item, _row(ref, ANEW, room, material, 2, measured))
    if chance.random() < 0.15:
        _parted(made, ref, chance)


def _parted(made: Histories, ref: str, chance: random.Random) -> None:
    """Soffits named throughout at one visit and by their sides at another, or the other way round."""
    item, extent = f"{ref}-parted", chance.randint(10, 30)
    made.states[item] = "present"
    made.parted.add(item)
    whole = [("Throughout", extent)]
    sides = [("Dining room", extent // 2), ("Study", extent - extent // 2)]
    first, then = (whole, sides) if chance.random() < 0.5 else (sides, whole)
    for file, visit, parts in (("2020.csv", VISITS[0], first), ("2025.csv", ANEW, then)):
        for room, part in parts:
            made.add(file, item, _row(ref, visit, room, "paper", 0, part))


def _row(
    ref: str, visit: tuple[str, str, str], room: str, material: str, wording: int, extent: float
) -> portfolios.Row:
    day, kind, firm = visit
    return portfolios.row(
        Property_Ref=ref,
        Survey_Date=day,
        Survey_Type=kind,
        Company=firm,
        Location=ROOMS[room][wording] if room in ROOMS else room,
        Material=MATERIALS[material][wording] if material in MATERIALS else "Paper lining",
        Extent=f"{extent:g} m2",
        Status="Presumed",
        Asbestos_Type="",
        Sample_Ref="",
        Comments="",
    )
