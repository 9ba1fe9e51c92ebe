"""Results in the words of surveyors: what was analysed, what was not, and who is sure of it.

That a look or a surveyor's certainty is no analysis is HSG264's (2012, on presumption; from memory).
"""

import pytest

from pipelines.register.spellings import nearest
from pipelines.register.words import CLEARS, recognise_word


def test_a_misspelt_strong_presumption_is_no_mere_one(terms: dict[str, dict[str, str]]) -> None:
    results = terms["identification"]
    assert recognise_word("identification", "Strongy presumed", results) == ("strongly_presumed", "within")
    assert recognise_word("identification", "Slightly presumed", results)[0] == "presumed"


@pytest.mark.parametrize(
    ("field", "written"),
    [
        ("product", "Grey fibrous lumps"),
        ("product", "Wobbleboard"),
        ("asbestos_type", "ID"),
        ("asbestos_type", "Pos"),
        ("asbestos_type", "Identified"),
        ("identification", "lin m"),
    ],
)
def test_what_would_clear_a_material_is_not_offered_for_a_word_that_is_merely_like_it(
    field: str, written: str, terms: dict[str, dict[str, str]]
) -> None:
    assert not CLEARS & set(nearest(written, terms[field]))


def test_a_slip_of_what_clears_a_material_is_offered_as_that(terms: dict[str, dict[str, str]]) -> None:
    assert nearest("None detectedd", terms["identification"])[0] == "not_detected"


@pytest.mark.parametrize(
    ("written", "term"),
    [
        ("Sampled +", "identified"),
        ("Sampled -", "not_detected"),
        ("sampled (–)", "not_detected"),
        ("Sampled", "identified"),
        ("sampled - asbestos", "identified"),
        ("not sampled but no doubt", "strongly_presumed"),
        ("not sampled, no doubt clear", None),
        ("not sampled", "presumed"),
        ("Like one tested", "strongly_presumed"),
        ("As sampled at 2 Orrell Cl", "strongly_presumed"),
        ("like the board that was sampled", "strongly_presumed"),
        ("like the one in the hall", None),
        ("Don't - presume it is until sampled", "presumed"),
        ("Maker's mark or records say asbestos", "strongly_presumed"),
        ("Maker's name not found", None),
        ("sampled - nil", "not_detected"),
        ("not taken", "presumed"),
    ],
)
def test_a_sign_behind_a_sample_is_its_result_and_no_doubt_without_one_is_a_strong_presumption(
    terms: dict[str, dict[str, str]], written: str, term: str | None
) -> None:
    found = recognise_word("identification", written, terms["identification"])[0]
    assert found == term if term else found != "strongly_presumed"


@pytest.mark.parametrize(
    ("written", "term"),
    [
        ("No bulk; same fabric as the bulk quoted, which was positive", "strongly_presumed"),
        ("No bulk; surveyor is in no doubt that it is asbestos", "strongly_presumed"),
        ("No bulk; surveyor is sure that it is asbestos", "strongly_presumed"),
        ("No bulk; taken to be asbestos by default", "presumed"),
        ("No bulk; surveyor is satisfied it is not asbestos", "not_suspect"),
        ("No bulk; considered to contain asbestos", "presumed"),
        ("Bulk taken; laboratory found asbestos", "identified"),
        ("Judged by the surveyor not to contain asbestos, not sampled", "not_suspect"),
        ("Not analysed: not asbestos in the surveyor's view", "not_suspect"),
        ("Surveyor is not satisfied it is not asbestos, not sampled", "presumed"),
        ("Laboratory is satisfied that it is not asbestos", "not_detected"),
        ("Laboratory did not find asbestos", "not_detected"),
    ],
)
def test_who_is_sure_without_a_sample_presumes_strongly_or_clears_as_not_suspect(
    terms: dict[str, dict[str, str]], written: str, term: str
) -> None:
    assert recognise_word("identification", written, terms["identification"])[0] == term


@pytest.mark.parametrize(
    ("written", "term"),
    [
        ("By eye - ACM", "strongly_presumed"),
        ("Asbestos - visual", "strongly_presumed"),
        ("ACM (visual)", "strongly_presumed"),
        ("Not ACM (visual)", "not_suspect"),
    ],
)
def test_asbestos_by_its_look_is_strongly_presumed_and_what_is_none_by_its_look_is_not(
    terms: dict[str, dict[str, str]], written: str, term: str
) -> None:
    assert recognise_word("identification", written, terms["identification"])[0] == term


def test_who_is_not_sure_clears_nothing(terms: dict[str, dict[str, str]]) -> None:
    for written in ("No bulk; not sure it is asbestos", "No sample; cannot be judged not to contain asbestos"):
        found = recognise_word("identification", written, terms["identification"])[0]
        assert found not in ("strongly_presumed", "not_detected", "not_suspect")


@pytest.mark.parametrize(
    ("written", "term"),
    [
        ("Artex bed 1 same as no. 1 (S1), rest of house clear", None),
        ("positive, remainder nothing", "identified"),
        ("NAD; rest clear", "not_detected"),
        ("rest of house clear", "no"),
    ],
)
def test_a_rest_that_is_clear_clears_nothing_that_is_named_before_it(
    terms: dict[str, dict[str, str]], written: str, term: str | None
) -> None:
    assert recognise_word("identification", written, terms["identification"])[0] == term


def test_who_was_not_in_or_gave_no_answer_let_nobody_in(terms: dict[str, dict[str, str]]) -> None:
    """Common practice, no source."""
    for written in ("Not in", "No answer", "No reply", "Tenant changed locks", "No answer, second call. Card left"):
        assert recognise_word("identification", written, terms["identification"])[0] == "no_access"


def test_what_was_not_sampled_again_is_as_what_was(terms: dict[str, dict[str, str]]) -> None:
    said = "Same board as top landing (Amosite), not sampled again"
    assert recognise_word("identification", said, terms["identification"])[0] == "strongly_presumed"


def test_a_result_that_says_of_one_thing_that_it_was_sampled_and_of_another_that_it_was_not_is_of_several(
    terms: dict[str, dict[str, str]],
) -> None:
    said = "Sampled kitchen tile - Chrysotile (PL17/0107); bathroom same tile, not sampled"
    assert recognise_word("identification", said, terms["identification"])[1] == "several"
    said = "Not sampled; same material as sample S12 (amosite)"
    assert recognise_word("identification", said, terms["identification"])[1] == "within"


@pytest.mark.parametrize(
    ("written", "term"),
    [
        ("Sampled - result pending", "presumed"),
        ("sampled - awaiting result", "presumed"),
        ("Sampled, lab result to follow", "presumed"),
        ("Sampled - no result back yet", "presumed"),
        ("Sampled - amosite, fibre count to follow", "identified"),
        ("not sampled - visually identified", "strongly_presumed"),
        ("not sampled - visually not identified", None),
    ],
)
def test_what_the_laboratory_has_yet_to_say_or_nobody_sampled_is_not_identified(
    terms: dict[str, dict[str, str]], written: str, term: str | None
) -> None:
    found = recognise_word("identification", written, terms["identification"])[0]
    assert found == term if term else found != "strongly_presumed"
