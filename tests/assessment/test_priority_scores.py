"""The priority assessment of HSG227 (2002), from memory: no worked example is printed, so the sums are ours."""

from collections.abc import Sequence
from itertools import product

import pytest

from tests.conftest import World

# The ten factors in the order of the four groups of HSG227 (2002), from memory.
GROUPS = (
    ("main_activity", "secondary_activity"),
    ("location", "accessibility", "extent"),
    ("occupants", "frequency", "time"),
    ("maintenance_type", "maintenance_frequency"),
)
Scores = Sequence[Sequence[int]]

# Scores by group, and the priority with group averages rounded to the nearest (halves up) and rounded up. Made up here
# to tell the two readings of HSG227 apart; which of them is printed could not be checked.
WORKED: tuple[tuple[Scores, int, int], ...] = (
    (((1, 1), (2, 1, 2), (3, 3, 3), (1, 1)), 7, 7),
    (((3, 3), (2, 3, 1), (3, 3, 3), (2, 2)), 10, 10),
    (((0, 0), (0, 0, 3), (0, 0, 0), (0, 0)), 1, 1),
    (((1, 0), (2, 1, 1), (2, 3, 3), (0, 0)), 5, 6),
    (((0, 0), (1, 0, 0), (1, 0, 0), (0, 1)), 1, 3),
    (((2, 1), (1, 2, 2), (1, 1, 2), (1, 2)), 7, 8),
    (((3, 3), (3, 3, 3), (3, 3, 3), (3, 3)), 12, 12),
    (((0, 0), (0, 0, 0), (0, 0, 0), (0, 0)), 0, 0),
)
# A group's sum of scores to its rounded average: arithmetic. Halves go up; half to even would give 0 for (0, 1) and 2
# for (2, 3).
ROUNDED = {
    ("nearest", 2): (0, 1, 1, 2, 2, 3, 3),
    ("up", 2): (0, 1, 1, 2, 2, 3, 3),
    ("nearest", 3): (0, 0, 1, 1, 1, 2, 2, 2, 3, 3),
    ("up", 3): (0, 1, 1, 1, 2, 2, 2, 3, 3, 3),
}
ROUNDINGS = ("nearest", "up")


def priorities(world: World, items: Sequence[Scores], rounding: str) -> list[int]:
    """The priority of each item, every factor known."""
    factors = [
        {"item_id": f"{number:03}", "factor": factor}
        | {end: str(score) for end in ("score", "low", "high")}
        | {"is_assumed": "false"}
        for number, groups in enumerate(items)
        for names, scores in zip(GROUPS, groups, strict=True)
        for factor, score in zip(names, scores, strict=True)
    ]
    answer = world.answer(
        "assessment", "priority_scores", {"priority_factors": factors}, {"priority_rounding": rounding}
    ).sort_values("item_id")
    assert (answer["priority_low"] == answer["priority_score"]).all()
    assert (answer["priority_high"] == answer["priority_score"]).all()
    return [int(score) for score in answer["priority_score"]]


@pytest.mark.parametrize("rounding", ROUNDINGS)
def test_group_averages_add_up_as_worked_by_hand(world: World, rounding: str) -> None:
    wanted = [nearest if rounding == "nearest" else up for _, nearest, up in WORKED]
    assert priorities(world, [groups for groups, _, _ in WORKED], rounding) == wanted


@pytest.mark.parametrize("rounding", ROUNDINGS)
def test_every_combination_of_a_group_rounds_as_the_table_says(world: World, rounding: str) -> None:
    pairs, triples = list(product(range(4), repeat=2)), list(product(range(4), repeat=3))
    none: Scores = ((0, 0), (0, 0, 0), (0, 0, 0), (0, 0))
    items = [
        *([pair, *none[1:]] for pair in pairs),
        *([*none[:3], pair] for pair in pairs),
        *([none[0], triple, *none[2:]] for triple in triples),
        *([*none[:2], triple, none[3]] for triple in triples),
    ]
    wanted = [ROUNDED[rounding, 2][sum(pair)] for pair in pairs * 2]
    wanted += [ROUNDED[rounding, 3][sum(triple)] for triple in triples * 2]
    assert priorities(world, items, rounding) == wanted


def test_an_assumed_factor_moves_the_ends_and_is_named(world: World) -> None:
    factors = [
        {"item_id": "i", "factor": factor, "score": "1", "low": low, "high": high, "is_assumed": assumed}
        for factor, low, high, assumed in (
            ("main_activity", "0", "2", "true"),
            ("secondary_activity", "1", "1", "false"),
        )
    ]
    answer = world.answer("assessment", "priority_scores", {"priority_factors": factors}, {"priority_rounding": "up"})
    row = answer.iloc[0]
    # Sums 2, 1 and 3 of two factors: averages 1, 0.5 and 1.5, each rounded up.
    assert (row["priority_score"], row["priority_low"], row["priority_high"]) == (1, 1, 2)
    assert list(row["priority_assumed"]) == ["main_activity"]


# HSG227 (2002), from memory: small items 0, up to 10 m2 (or m) 1, over 10 to 50 2, over 50 3.
EXTENTS = (("10", "m2", 1), ("10.01", "m2", 2), ("50", "m2", 2), ("50.01", "m2", 3), ("60", "m", 3), ("1", "nr", 0))
# HSG227 (2002), from memory: none 0, 1 to 3 people 1, 4 to 10 2, over 10 3.
OCCUPANTS = (("0", 0), ("1", 1), ("3", 1), ("4", 2), ("10", 2), ("11", 3))


def factors(
    world: World, conditions: list[dict[str, str]], properties: list[dict[str, str]]
) -> dict[str, dict[str, int]]:
    """The score of each factor by item."""
    answer = world.answer("assessment", "priority_factors", {"item_conditions": conditions, "properties": properties})
    found: dict[str, dict[str, int]] = {}
    for item, factor, score in zip(answer["item_id"], answer["factor"], answer["score"], strict=True):
        found.setdefault(item, {})[factor] = int(score)
    return found


def test_extent_falls_in_its_band(world: World) -> None:
    conditions = [
        {
            "item_id": f"{extent} {unit}",
            "property_ref": "H1",
            "is_suspect": "true",
            "extent": extent,
            "extent_unit": unit,
        }
        for extent, unit, _ in EXTENTS
    ]
    found = factors(world, conditions, [{"property_ref": "H1", "part": "home"}])
    assert {item: scores["extent"] for item, scores in found.items()} == {
        f"{extent} {unit}": score for extent, unit, score in EXTENTS
    }


def test_the_number_of_occupants_falls_in_its_band(world: World) -> None:
    conditions = [{"item_id": number, "property_ref": number, "is_suspect": "true"} for number, _ in OCCUPANTS]
    properties = [{"property_ref": number, "part": "home", "occupants": number} for number, _ in OCCUPANTS]
    found = factors(world, conditions, properties)
    assert {item: scores["occupants"] for item, scores in found.items()} == dict(OCCUPANTS)


def test_the_total_is_material_plus_priority(world: World) -> None:
    # Bare board with low damage and amosite is 7 (2 + 1 + 2 + 2, HSG264 (2012), from memory); with priority 7 that is
    # 14 of 24.
    answer = world.answer(
        "assessment",
        "items",
        {
            "item_conditions": [{"item_id": "i", "product": "insulating_board", "is_suspect": "true"}],
            "material_scores": [{"id": "i", "material_score": "7"}],
            "priority_scores": [{"item_id": "i", "priority_score": "7"}],
        },
    )
    assert list(answer["total_score"]) == [14]


def test_without_a_material_score_there_is_no_total(world: World) -> None:
    answer = world.answer(
        "assessment",
        "items",
        {
            "item_conditions": [{"item_id": "i", "product": "insulating_board", "is_suspect": "true"}],
            "material_scores": [{"id": "i", "material_high": "9"}],
            "priority_scores": [{"item_id": "i", "priority_score": "7"}],
        },
    )
    assert answer["total_score"].isna().all()
