"""The material assessment against published values and against every combination there is."""

from collections import Counter
from itertools import product

import pytest

from tests import portfolios
from tests.conftest import World

PARTS = {
    "product_type": (1, 2, 3),
    "damage": (0, 1, 2, 3),
    "surface_treatment": (0, 1, 2, 3),
    "asbestos_type": (1, 2, 3),
}

# No worked example is printed by HSE. The words are scored by the table of HSG264 (2012) appendix 4, from memory; the
# sums are ours. Bands: 10 high, 9 and 7 medium, 6 and 5 low, 4 very low, as three survey firms' published pages agree.
Words = tuple[str, str, str, str]
WORKED: dict[Words, tuple[tuple[int, ...], int, str]] = {
    ("AC sheet", "Good", "Painted", "Chrysotile"): ((1, 0, 1, 1), 3, "very low"),
    ("Vinyl tile", "Good", "Composite", "Chrysotile"): ((1, 0, 0, 1), 2, "very low"),
    ("AIB", "Few scratches", "Painted", "Chrysotile"): ((2, 1, 1, 1), 5, "low"),
    ("AIB", "Good", "Painted", "Amosite"): ((2, 0, 1, 2), 5, "low"),
    ("AIB", "Low", "Bare", "Amosite"): ((2, 1, 2, 2), 7, "medium"),
    ("AIB", "Medium", "Bare", "Crocidolite"): ((2, 2, 2, 3), 9, "medium"),
    ("Lagging", "Low", "Encapsulated", "Amosite"): ((3, 1, 2, 2), 8, "medium"),
    ("Lagging", "Medium", "Bare", "Amosite"): ((3, 2, 3, 2), 10, "high"),
    ("Sprayed coating", "High", "Bare", "Crocidolite"): ((3, 3, 3, 3), 12, "high"),
    ("AIB", "Good", "Painted", "Chrysotile & amosite"): ((2, 0, 1, 2), 5, "low"),
    ("AIB", "Good", "Painted", "Amosite + crocidolite"): ((2, 0, 1, 3), 6, "low"),
}


FIRST_ROW = 2


@pytest.fixture(scope="module")
def scored(tmp_path_factory: pytest.TempPathFactory) -> dict[int, tuple[object, ...]]:
    """Parts, total, least, most and band of each row of a register that holds the worked cases."""
    headings = ("Material", "Condition", "Surface_Treatment", "Asbestos_Type")
    register = [portfolios.row(**dict(zip(headings, words, strict=True))) for words in WORKED]
    folder = portfolios.write(tmp_path_factory.mktemp("worked"), {"register.csv": register})
    rows = portfolios.ask(
        portfolios.read(folder),
        "select row_number, [product_type_score, damage_score, surface_treatment_score, asbestos_type_score], "
        "material_score, material_low, material_high, material_band from entries",
    )
    return {row[0]: row[1:] for row in rows}


@pytest.mark.parametrize(("row", "words"), list(enumerate(WORKED, start=FIRST_ROW)))
def test_words_of_a_register_score_as_worked_by_hand(
    row: int, words: Words, scored: dict[int, tuple[object, ...]]
) -> None:
    parts, total, band = WORKED[words]
    assert scored[row] == (list(parts), total, total, total, band)


def test_all_144_combinations_have_their_total_and_band(world: World) -> None:
    combinations = [dict(zip(PARTS, scores, strict=True)) for scores in product(*PARTS.values())]
    readings = [
        {"entry_id": str(number)}
        | {f"{part}_{end}": str(score) for part, score in parts.items() for end in ("score", "low", "high")}
        for number, parts in enumerate(combinations)
    ]
    answer = world.answer("assessment", "material_scores", {"sub_scores": readings})
    totals = dict(zip(answer["id"].astype(int), answer["material_score"], strict=True))
    assert totals == {number: sum(parts.values()) for number, parts in enumerate(combinations)}
    # Counted by hand from the ranges of the four parts.
    assert Counter(answer["material_band"]) == {"very low": 15, "low": 43, "medium": 71, "high": 15}
    counts = Counter(answer["material_score"])
    assert [counts[total] for total in range(2, 13)] == [1, 4, 10, 18, 25, 28, 25, 18, 10, 4, 1]
    assert (answer["material_low"] == answer["material_score"]).all()
    assert (answer["material_high"] == answer["material_score"]).all()


def test_a_worse_digit_in_a_register_never_lowers_the_score(world: World) -> None:
    combinations = product(*((None, *scores) for scores in PARTS.values()))
    asked = [(found, digits) for digits in combinations for found in ("identified", "presumed")]
    sub_scores = world.answer(
        "assessment",
        "sub_scores",
        {
            "readings": [reading(number, *said) for number, said in enumerate(asked)],
            "surface_ranges": [{"product": "insulating_board", "surface_low": "1", "surface_high": "2"}],
        },
    )
    least, most = (
        dict(
            zip(
                sub_scores["entry_id"].astype(int),
                sub_scores[[f"{part}_{end}" for part in PARTS]].sum(axis=1),
                strict=True,
            )
        )
        for end in ("low", "high")
    )
    raised = [
        (number, asked.index((found, (*digits[:part], digit + 1, *digits[part + 1 :]))))
        for number, (found, digits) in enumerate(asked)
        for part, digit in enumerate(digits)
        if digit in (0, 1, 2)
    ]
    assert [
        asked[before] for before, worse in raised if least[before] > least[worse] or most[before] > most[worse]
    ] == []


def reading(number: int, found: str, digits: tuple[int | None, ...]) -> dict[str, str | None]:
    """A board with these digits of its register for its four parts."""
    said = ("product_type_digit", "damage_digit", "surface_digit", "asbestos_type_digit")
    board = {"product": "insulating_board", "is_suspect": "true", "is_debris": "false", "asbestos_types": "[]"}
    known = {name: str(digit) for name, digit in zip(said, digits, strict=True) if digit is not None}
    return dict.fromkeys(said) | board | known | {"entry_id": str(number), "identification": found}
