"""What words of a condition say of the surface. Scores are those of HSG264 (2012) appendix 4, from memory."""

from pathlib import Path

from tests import portfolios

SAID = {
    "very bad, hanging off, never sealed": 3,
    "sound, has not been sealed": 3,
    "poor, no longer sealed": 3,
    "good, sealed": 2,
}


def test_what_was_never_sealed_is_not_sealed(tmp_path: Path) -> None:
    rows = [
        {
            "Property Ref": "H1",
            "Survey Date": "2025-03-01",
            "Location": f"Bedroom {nth}",
            "Material": "Pipe lagging",
            "Result": "Amosite",
            "Condition": state,
        }
        for nth, state in enumerate(SAID, start=1)
    ]
    result = portfolios.read(portfolios.write(tmp_path, {"register.csv": rows}))
    scores = portfolios.ask(result, "select surface_treatment_score from entries order by row_number")
    assert [score for (score,) in scores] == list(SAID.values())


def test_board_that_is_papered_over_is_sealed(tmp_path: Path) -> None:
    rows = [
        {
            "Property Ref": "H1",
            "Survey Date": "2025-03-01",
            "Location": "Bedroom 1",
            "Material": "AIB",
            "Result": "Amosite",
            "Condition": "sound, papered over",
        }
    ]
    result = portfolios.read(portfolios.write(tmp_path, {"register.csv": rows}))
    assert portfolios.ask(result, "select surface_treatment_score from entries") == [(1,)]
