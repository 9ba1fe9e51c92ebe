"""Results that a register says in several columns. Which of them stands is common practice, no source; that what was
not reached, or only presumed, is not cleared is CAR 2012 reg 5 (from memory)."""

from pathlib import Path

import pytest

from tests import portfolios

ANSWERS = ("Sampled?", "Access (Y/N)", "Asbestos present?", "Lab outcome", "How decided", "Asbestos Type")
CASES = {
    # answers as above, identification, whether it is doubted
    "Hall": (("Y", "Y", "", "No asbestos detected", "Sampled", ""), "not_detected", None),
    "Loft": (("Y", "Y", "", "Amosite detected", "Sampled", ""), "identified", None),
    "Bathroom": (("N", "Y", "", "", "Presumed", ""), "presumed", False),
    "Kitchen": (("N", "Y", "", "Not sampled", "Strongly presumed", ""), "strongly_presumed", False),
    "WC": (("N", "N", "", "", "", ""), "presumed", True),
    "Porch": (("Y", "Y", "N", "", "", ""), "not_detected", True),
    "Garage": (("Y", "Y", "Y", "", "", "Chrysotile"), "identified", True),
    "Lounge": (("Y", "Y", "", "No asbestos detected", "Presumed", ""), "not_detected", True),
    "Stairs": (("N", "Y", "", "No asbestos detected", "Presumed", ""), "presumed", True),
    "Bed 1": (("Y", "Y", "Y", "NAD", "", ""), "presumed", True),
    "Bed 2": (("N", "N", "", "", "Not suspect", ""), "presumed", True),
}


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[str, bool]]:
    rows = [
        {"Property Ref": "H1", "Survey Date": "2025-03-01", "Location": room, "Material": "AIB"}
        | dict(zip(ANSWERS, answers, strict=True))
        for room, (answers, _, _) in CASES.items()
    ]
    result = portfolios.read(portfolios.write(tmp_path_factory.mktemp("columns"), {"register.csv": rows}))
    entries = portfolios.ask(result, "select room_text, identification, doubts from entries")
    return {room: (identification, "identification" in doubts) for room, identification, doubts in entries}


def test_a_result_in_the_notes_is_taken_with_a_doubt_and_clears_only_with_its_sample(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    said = {
        "Hall": ("Presumed asbestos", "presumed"),
        "Loft": ("Sampled - chrysotile detected", "identified"),
        "Bathroom": ("Tested negative, S12", "not_detected"),
        "Kitchen": ("Tested negative", "presumed"),
    }
    rows = [
        {
            "Property Ref": "H1",
            "Survey Date": "2025-03-01",
            "Location": room,
            "Material": "AIB",
            "Result": "",
            "Notes": note,
        }
        for room, (note, _) in said.items()
    ]
    result = portfolios.read(portfolios.write(tmp_path_factory.mktemp("notes"), {"register.csv": rows}))
    entries = portfolios.ask(result, "select room_text, identification from entries")
    assert dict(entries) == {room: identification for room, (_, identification) in said.items()}
    doubts = portfolios.ask(result, "select reason from doubts where row_number = 3 and field = 'identification'")
    assert doubts == [("no result is given; what the notes say was taken (identified)",)]


@pytest.mark.parametrize("room", CASES)
def test_columns_of_results_are_read_together(read: dict[str, tuple[str, bool]], room: str) -> None:
    _, identification, is_doubted = CASES[room]
    assert read[room][0] == identification
    assert is_doubted in (None, read[room][1])


def test_codes_of_an_unknown_column_are_no_samples_where_another_names_them_and_a_reference_to_none_is_doubted(
    tmp_path: Path,
) -> None:
    said = {"Hall": "S09/001 amosite", "Loft": "S20/002 NAD", "Bed 1": "as S20/002", "Bed 2": "Presumed"}
    rows = [
        {
            "Zzq code": f"F{nth}",
            "Property Ref": "H1",
            "Survey Date": "2025-03-01",
            "Location": room,
            "Material": "Textured coating",
            "Sample no. / result": result,
        }
        for nth, (room, result) in enumerate(said.items(), start=1)
    ]
    result = portfolios.read(portfolios.write(tmp_path, {"register.csv": rows}))
    assert dict(portfolios.ask(result, "select room_text, sample_ref from entries")) == {
        "Hall": "S09/001",
        "Loft": "S20/002",
        "Bed 1": "S20/002",
        "Bed 2": None,
    }
    assert portfolios.ask(result, "select identification from entries where room_text = 'Bed 1'") == [
        ("strongly_presumed",)
    ]
    ((doubt,),) = portfolios.ask(result, "select reason from doubts where row_number = 4 and field = 'identification'")
    assert "too little to clear this row" in doubt


@pytest.mark.parametrize("heading", ["Tested?", "Sampled?", "Test taken"])
def test_an_answer_to_whether_there_is_a_sample_may_go_on_with_what_was_found(tmp_path: Path, heading: str) -> None:
    said = {
        "Hall": ("yes, T/101 – white", "identified", "T/101"),
        "Loft": ("no", "presumed", None),
        "Kitchen": ("NO, as T/101", "strongly_presumed", "as T/101"),
        "Bathroom": ("yes, T/107 – clear", "not_detected", "T/107"),
        "Bed 1": ("YES - BROWN", "identified", None),
        "Bed 2": ("YES - NONE FOUND", "not_detected", None),
        "Porch": ("NO - ASSUME", "presumed", None),
    }
    rows = [
        {
            "Property Ref": "H1",
            "Survey Date": "2025-03-01",
            "Location": room,
            "Material": "AIB",
            heading: answer,
        }
        for room, (answer, _, _) in said.items()
    ]
    result = portfolios.read(portfolios.write(tmp_path, {"register.csv": rows}))
    entries = portfolios.ask(result, "select room_text, identification, sample_ref from entries")
    read = {room: (identification, sample) for room, identification, sample in entries}
    wanted = {room: identification for room, (_, identification, _) in said.items()}
    assert {room: identification for room, (identification, _) in read.items()} == wanted
    assert {room: sample for room, (_, sample) in read.items() if room != "Kitchen"} == {
        room: sample for room, (_, _, sample) in said.items() if room != "Kitchen"
    }
    types = dict(portfolios.ask(result, "select room_text, asbestos_types from entries"))
    assert types["Hall"] == types["Kitchen"] == ["chrysotile"]
    assert types["Bed 1"] == ["amosite"]


def test_what_is_as_in_another_home_is_of_the_type_that_was_found_there(tmp_path: Path) -> None:
    homes = {"H1": "YES - BROWN", "H2": "NO - SAME AS NO 1"}
    rows = [
        {
            "Property Ref": ref,
            "Survey Date": "2025-03-01",
            "Location": "Airing cupboard",
            "Material": "AIB",
            "Tested?": answer,
        }
        for ref, answer in homes.items()
    ]
    result = portfolios.read(portfolios.write(tmp_path, {"register.csv": rows}))
    said = portfolios.ask(result, "select identification, asbestos_types from entries order by row_number")
    assert said == [("identified", ["amosite"]), ("strongly_presumed", ["amosite"])]
    doubted = portfolios.ask(result, "select field from doubts where row_number = 3 and path like 'reg%'")
    assert {"identification", "asbestos_types"} <= {field for (field,) in doubted}


def test_references_of_samples_may_stand_below_the_question_whether_there_is_one(tmp_path: Path) -> None:
    said = {"Hall": ("S1", "Chrysotile"), "Loft": ("no", "Presumed"), "Bath": ("S2", "NAD"), "WC": ("no", "Presumed")}
    rows = [
        {
            "Property Ref": "H1",
            "Survey Date": "2025-03-01",
            "Location": room,
            "Material": "AIB",
            "Tested?": sample,
            "Result": result,
        }
        for room, (sample, result) in said.items()
    ]
    result = portfolios.read(portfolios.write(tmp_path, {"register.csv": rows}))
    samples = portfolios.ask(result, "select sample_ref from entries order by row_number")
    assert [sample for (sample,) in samples] == ["S1", None, "S2", None]
