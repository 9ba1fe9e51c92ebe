"""Codes with their meanings, and what explains them. The texts are invented."""

import pytest

from pipelines.register.key import Key
from pipelines.register.keys import keys_beside, keys_of, keys_said, keys_unmarked


def meanings(texts: list[str]) -> dict[str, dict[str, str]]:
    return {key.name: key.meanings for key in keys_said(texts)}


def test_a_line_explains_codes_by_signs_and_names_each_group() -> None:
    line = "Visual only. Condition: G = good, L = low damage; U/C = unchanged. Surface: S = sealed, U = unsealed."
    assert meanings([line]) == {
        "Condition": {"G": "good", "L": "low damage", "U/C": "unchanged"},
        "Surface": {"S": "sealed", "U": "unsealed"},
    }


def test_a_gap_names_the_next_codes_some_of_which_need_no_meaning() -> None:
    line = "COND: G = GOOD   P = POOR (BROKEN)      SEALED: Y / N / PTD. = PAINTED   N.A.D. = NO ASB. DETECTED"
    assert meanings([line]) == {
        "COND": {"G": "GOOD", "P": "POOR (BROKEN)"},
        "SEALED": {"PTD.": "PAINTED", "N.A.D.": "NO ASB. DETECTED"},
    }


def test_a_line_explains_codes_with_wide_gaps_between_them() -> None:
    line = "SAMP_STAT: S sampled  X cross-ref to sample quoted  P presumed"
    assert meanings([line]) == {"SAMP_STAT": {"S": "sampled", "X": "cross-ref to sample quoted", "P": "presumed"}}


def test_the_cell_before_codes_names_them_and_two_codes_may_have_one_meaning() -> None:
    assert meanings(["Mat", "TX = textured coating   TT = floor tile / vinyl"]) == {
        "Mat": {"TX": "textured coating", "TT": "floor tile / vinyl"}
    }
    assert meanings(["Cond: G / good = no damage   L / low = some"]) == {
        "Cond": {"G": "no damage", "good": "no damage", "L": "some", "low": "some"}
    }


def test_what_is_explained_behind_a_code_without_being_one_is_not_its_meaning() -> None:
    line = 'Lab: Am = amosite   Pres = not sampled, presumed   "As A1" = same material as that sample'
    assert meanings([line]) == {"Lab": {"Am": "amosite", "Pres": "not sampled, presumed"}}


def test_several_codes_in_a_cell_keep_one_material_each() -> None:
    key = Key("Mat", {"TT": "vinyl / thermoplastic tile", "BT": "bitumen (glue, sink pad)"})
    assert key.decode("TT+BT") == "vinyl or thermoplastic tile & bitumen (glue or sink pad)"
    assert key.decode("TT / BT") == "vinyl or thermoplastic tile / bitumen (glue or sink pad)"


@pytest.mark.parametrize(
    "text", ["area = length x width", "Call the office: A. Person", "Note: see photo 4  and plan 2", "x = 1, y = 2"]
)
def test_what_explains_no_codes_gives_none(text: str) -> None:
    assert meanings([text]) == {}


def test_a_code_may_stand_before_the_sample_that_it_is_of() -> None:
    key = Key("", {"A": "amosite", "C": "chrysotile"})
    assert key.decode("A as HC2") == "amosite as HC2"
    assert key.decode("A+C - HC3") == "amosite & chrysotile - HC3"
    assert key.decode("Board - HC3") is None
    assert key.decode("C (TRACE)") == "chrysotile (TRACE)"


def test_each_layer_may_have_its_code_behind_it() -> None:
    key = Key("", {"W": "white", "N.A.D.": "no asb. detected"})
    assert key.decode("TILE W / ADH. N.A.D.") == "TILE: white; ADH: no asb detected"
    assert key.decode("TILE W / ADH. NOT TAKEN") is None
    assert key.decode("SEE W") is None


def test_a_code_may_stand_before_the_layer_that_it_is_of() -> None:
    assert Key("", {"C": "chrysotile"}).decode("C (adhesive)") == "chrysotile (adhesive)"


def test_one_cell_may_explain_all_codes_of_a_column_and_a_list_have_a_heading() -> None:
    rows = [
        *(["Source", "Who"], ["AB", "First Surveys"], ["CD", "Second Surveys"], ["Codes"]),
        *(["Fibre", "C = chrysotile, A = amosite"], ["Surface", "S = sealed, U = unsealed"]),
    ]
    assert {key.name: key.meanings for key in keys_of("Key", rows)} == {
        "Source": {"AB": "First Surveys", "CD": "Second Surveys"},
        "Fibre": {"C": "chrysotile", "A": "amosite"},
        "Surface": {"S": "sealed", "U": "unsealed"},
    }


def test_lists_of_a_sheet_are_called_by_what_stands_beside_the_word_over_their_meanings() -> None:
    rows = [
        *(["Abbreviation", "Meaning"], ["AC", "Asbestos cement"], ["FT", "Floor tile"], ["TC", "Textured coating"]),
        *(["Status", "Meaning"], ["S", "Sampled"], ["P", "Presumed"]),
    ]
    assert {key.name: key.meanings for key in keys_of("Notes", rows)} == {
        "Abbreviation": {"AC": "Asbestos cement", "FT": "Floor tile", "TC": "Textured coating"},
        "Status": {"S": "Sampled", "P": "Presumed"},
    }


def test_a_code_may_be_of_two_words_and_begin_its_line_in_capitals() -> None:
    line = "Ins bd = insulating board, t/ctg = textured coating, A/C = asbestos cement, th. tile = thermoplastic tile"
    (key,) = keys_said([line])
    assert key.meanings == {
        "Ins bd": "insulating board",
        "t/ctg": "textured coating",
        "A/C": "asbestos cement",
        "th. tile": "thermoplastic tile",
    }
    assert key.decode("ins bd") == "insulating board"
    assert key.is_plainly_in("ins bd panel") and not key.is_plainly_in("vinyl tile")


def test_codes_side_by_side_are_read_and_words_among_them_stand() -> None:
    key = Key("", {"A": "good", "B": "low damage", "ptd": "painted or sealed"})
    assert key.decode("B ptd") == "low damage, ptd"
    assert key.decode("A encapsulated") == "good, encapsulated"
    assert key.decode("No access") is None


def test_a_row_of_three_cells_opens_a_group_of_a_key() -> None:
    rows = [["Key"], ["Cond:", "A", "Good"], ["", "B", "Low damage"], ["Status:", "S", "Sampled"], ["", "B", "Board"]]
    assert {key.name: key.meanings for key in keys_of("KEY", rows)} == {
        "Cond:": {"A": "Good", "B": "Low damage"},
        "Status:": {"S": "Sampled", "B": "Board"},
    }


def test_codes_in_one_cell_have_the_words_of_the_next_in_their_order_and_a_scale_has_its_steps() -> None:
    rows = [
        ["CHR AMO CRO", "white brown blue"],
        ["BD BE", "Bedroom"],
        ["Cond / dam", "0 good  1 slight  2 medium  3 bad"],
        ["Surf", "0 to 3 as the book"],
        ["n/c", "no change - last time's score still stands"],
    ]
    found = {key.name: key.meanings for key in keys_of("KEY", rows)}
    assert found[""] == {
        "CHR": "white",
        "AMO": "brown",
        "CRO": "blue",
        "BD": "Bedroom",
        "BE": "Bedroom",
        "Surf": "0 to 3 as the book",
        "n/c": "no change",
    }
    assert found["Cond / dam"] == {"0": "good", "1": "slight", "2": "medium", "3": "bad"}


def test_several_codes_of_one_cell_have_their_meanings_in_order() -> None:
    rows = [
        ["chr  am  cr", "white (chrysotile)  brown (amosite)  blue (crocidolite)"],
        ["NAD NADIS", "none found in the sample"],
        ["P", "presumed"],
    ]
    (key,) = keys_of("Key", rows)
    assert key.decode("P am+cr") == "presumed, brown (amosite) & blue (crocidolite)"
    assert key.meanings == {
        "chr": "white (chrysotile)",
        "am": "brown (amosite)",
        "cr": "blue (crocidolite)",
        "NAD": "none found in the sample",
        "NADIS": "none found in the sample",
        "P": "presumed",
    }


def test_a_key_says_that_it_is_one_and_a_code_means_one_thing() -> None:
    rows = [["Condition", ""], ["P", "Presumed"], ["G", "Good"], ["F", "Fair"], ["H", "High"], ["P", "Poor"]]
    assert keys_of("lists", rows) == []
    (key,) = keys_of("Key", rows)
    assert key.meanings == {"G": "Good", "F": "Fair", "H": "High"}
    assert key.is_for("Cond.")
    assert not Key("All of this must be presumed to contain asbestos until it is seen").is_for("Asb. Type")
    assert not Key("Product score").is_for("Condition score")


def test_a_table_that_speaks_of_the_key_of_a_door_is_no_key_to_codes() -> None:
    rows = [["Where", "Item", "Cond", "Cover"], ["Lobby", "AIB", "1", "P"], ["Lobby", "Felt", "2", "B"]]
    rows += [["Bin", "Rope", "1", "P"], ["Roof", "Felt", "3", "P"]]
    assert keys_of("Blocks", [*rows, ["Tank", "LOCKED - council has no key"]]) == []
    assert keys_of("Blocks", [*rows, ["No key", "Tank"]]) == keys_of("Blocks", [*rows, ["Key with caretaker"]]) == []
    assert keys_of("Blocks", [*rows, ["Key safe code 4711", "Tank"]]) == []
    assert keys_of("Blocks", [*rows, ["Tank", "Locked, the office lost its key for it"]]) == []
    assert keys_of("Blocks", [*rows, ["Code", "What it stands for"]]) != []


@pytest.mark.parametrize(
    ("cell", "meaning"),
    [("W", "Chrysotile"), ("W+B", "Chrysotile & Amosite"), ("WB", "Chrysotile & Amosite"), ("WW", None), ("WA", None)],
)
def test_codes_may_stand_together(cell: str, meaning: str | None) -> None:
    assert Key("ASB", {"W": "Chrysotile", "B": "Amosite"}).decode(cell) == meaning


def test_codes_between_strokes_have_the_meanings_between_strokes() -> None:
    rows = [
        ["Shorthand"],
        ["P / SP", "presumed / strongly presumed"],
        ["G / L / M / H", "damage in the report: good (none) / low / medium / high. I overtype if it changes"],
        ["NC", "no change"],
    ]
    found = {key.name: key.meanings for key in keys_of("key", rows)}
    assert found["damage in the report"] == {"G": "good (none)", "L": "low", "M": "medium", "H": "high"}
    assert found["Shorthand"] == {"P": "presumed", "SP": "strongly presumed", "NC": "no change"}
    assert Key("", {"SP": "strongly presumed", "am": "brown"}).decode("SP am (as no. 2)") == (
        "strongly presumed, brown (as no. 2)"
    )


def test_lists_side_by_side_tell_what_the_codes_of_one_mean() -> None:
    rows = [
        ["LISTS - do not edit"],
        ["Type", "Type means", "Unit", "Basis"],
        ["AIB", "Insulating board", "m2", "S"],
        ["TEX", "Textiles, flash guards", "m", "P"],
        ["OTH", "Other", "", ""],
        ["", "", "", "NA"],
    ]
    (key,) = keys_beside(rows)
    assert (key.name, key.meanings) == (
        "Type",
        {"AIB": "Insulating board", "TEX": "Textiles, flash guards", "OTH": "Other"},
    )
    assert key.is_for("Type")
    assert not key.is_for("Type of survey")
    assert keys_beside([["Type", "Means of escape"], ["AIB", "Board"], ["TEX", "Rope"], ["OTH", "Other"]]) == []


def test_a_mark_that_is_said_to_be_a_ditto_is_no_code() -> None:
    assert meanings(["pres = presumed, s.p. = strongly presumed, do. = ditto. NB: month first"]) == {
        "": {"pres": "presumed", "s.p.": "strongly presumed"}
    }


def test_codes_of_large_and_small_letters_are_read_among_words() -> None:
    key = Key("Material", {"VFT": "Vinyl floor tile", "BitA": "Bitumen adhesive", "RPl": "Plastic"})
    assert key.decode("VFT on BitA") == "Vinyl floor tile on Bitumen adhesive"
    assert key.decode("Lid, RPl") == "Lid, Plastic"


def test_scores_behind_a_code_and_words_between_codes_mean_nothing() -> None:
    rows = [
        *(["Key"], ["Band"], ["HIGH", "16 and over"], ["MED", "11 - 15"], ["V LOW", "6 and under"]),
        *(
            ["NIL", "no asbestos"],
            ["TBC", "to be confirmed"],
            ["N/A", "not assessed"],
            ["- or 0 in scores", "not scored"],
        ),
        ["Type", "1 chrysotile / 2 amphibole / 3 crocidolite"],
    ]
    assert {key.name: key.meanings for key in keys_of("Key", rows)} == {
        "Band": {"NIL": "no asbestos", "TBC": "to be confirmed", "N/A": "not assessed"},
        "Type": {"1": "chrysotile", "2": "amphibole", "3": "crocidolite"},
    }


def test_a_scale_in_a_sentence_of_its_own_is_a_key_whatever_signs_stand_before_it() -> None:
    line = "S = sampled   X = could not get at.  State: 1 good, 2 minor damage, 3 damaged, 4 bad"
    assert meanings([line]) == {
        "State": {"1": "good", "2": "minor damage", "3": "damaged", "4": "bad"},
        "": {"S": "sampled", "X": "could not get at"},
    }
    assert meanings(["Photos: 1 front, 3 rear"]) == {}


def test_codes_with_a_star_are_codes_and_those_that_nobody_explains_are_no_meaning() -> None:
    line = "Result: POS = sample, POS* = goes with another, PRES, NEG, NAC = no access"
    assert meanings([line]) == {"Result": {"POS": "sample", "POS*": "goes with another", "NAC": "no access"}}


def test_a_heading_of_signs_is_their_key_and_letters_stand_right_before_types() -> None:
    [signs] = keys_unmarked(["Room", "+/-", "Type"])
    assert [signs.decode(cell) for cell in ("+", "-", "+ (as T/1)", "presume")] == [
        "positive",
        "negative",
        "positive (as T/1)",
        None,
    ]
    [letters] = keys_unmarked(["C chrysotile, A amosite, X crocidolite.   Dmg: 0 to 3"])
    assert letters.meanings == {"C": "chrysotile", "A": "amosite", "X": "crocidolite"}
    assert letters.decode("A, X") == "amosite & crocidolite"
    assert keys_unmarked(["to chrysotile, of amosite", "+", "Tile chrysotile, C amosite"]) == []


def test_words_in_one_cell_are_an_answer_and_no_codes_side_by_side() -> None:
    rows = [["Key to results"], ["Nil", "sampled, no asbestos"], ["not taken", "treat as asbestos"], ["A B", "sealed"]]
    (key,) = keys_of("KEY", rows)
    assert key.meanings == {
        **{"Nil": "sampled, no asbestos", "not taken": "treat as asbestos"},
        **{"A": "sealed", "B": "sealed"},
    }


def test_a_code_that_ends_with_a_dash_stands_before_another() -> None:
    key = Key("", {"W": "white", "B": "brown", "L-": "like one sampled next door"})
    assert key.decode("L-W") == "like one sampled next door: white"
    assert key.decode("L-W+B") == "like one sampled next door: white & brown"
    assert key.decode("L-") == "like one sampled next door"
    assert key.decode("L-X") is None


def test_what_marks_of_repetition_mean_is_no_code() -> None:
    (key,) = keys_said(['PG = Priory Gate, HR = Hoppers Rise.  " or do. = same as line above.'])
    assert key.meanings == {"PG": "Priory Gate", "HR": "Hoppers Rise"}
