"""Keys to codes: on sheets of their own and in lines of the register itself. The texts are invented."""

import pytest

from pipelines.register.legends import Key, as_known, keys_of, keys_said, meant, without_scores


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


def test_codes_of_one_surveyor_are_read_among_the_words_of_others() -> None:
    words = [(n, ["Hall", "chrysotile" if n % 2 else "1.0"]) for n in range(5, 30)]
    rows = [(1, ["Room", "Fibre"]), (2, ["Loft", "C"]), (3, ["Hall", "A"]), (4, ["Hall", "C"]), *words]
    key = Key("Fibre", {"C": "chrysotile", "A": "amosite"})
    assert dict(meant(rows, [key])) == {2: ["Loft", "chrysotile"], 3: ["Hall", "amosite"], 4: ["Hall", "chrysotile"]}
    assert not dict(meant(rows, [Key("Surface", key.meanings)]))


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


def test_codes_of_layers_keep_their_order_and_what_is_known_without_a_key_stays() -> None:
    words = {
        "identification": {
            "nad": "not_detected",
            "none found": "not_detected",
            "nsm": "not_suspect",
            "nil": "not_suspect",
        },
        "asbestos_type": {"nil": "none", "white": "chrysotile"},
    }
    # in a column of types `NSM` is not known, though `nil` is
    assert as_known(Key("", {"NSM": "nil"}), words).meanings == {"NSM": "nil"}
    key = as_known(Key("", {"NAD": "none found", "Cnf": "sampled, found", "SPR": "as the other"}), words)
    assert key.decode("Cnf / NAD") == "sampled, found / NAD"
    assert key.decode("Cnf / -") == "sampled, found / -"
    assert key.decode("tiles SPR; glue NAD S3") == "tiles as the other; glue NAD S3"
    assert (
        as_known(Key("", {"C": "white"}), {"asbestos_type": {"c": "x", "white": "x"}}).decode("C as S1")
        == "white as S1"
    )
    assert as_known(Key("", {"Q": "nil - as the one sampled"}), words).meanings == {"Q": "nil"}
    sampled = {"identification": {"sampled": "identified", "no asbestos detected": "not_detected"}}
    whole = {"2": "Sampled - no asbestos detected"}
    assert as_known(Key("Find", whole), sampled).meanings == whole
    assert key.decode("Cnf S1 blue") == "sampled, found S1 blue"


def test_only_columns_of_codes_are_read_by_their_meanings() -> None:
    rows = [(1, ["Room", "Cond"]), (2, ["G", "G"]), (3, ["Hall", "L"]), (4, ["Loft", "G"]), (5, ["Shed", "?"])]
    key = Key("Condition", {"G": "good", "L": "low damage"})
    assert dict(meant(rows, [key])) == {2: ["G", "good"], 3: ["Hall", "low damage"], 4: ["Loft", "good"]}


def test_a_key_that_only_explains_scores_leaves_them_as_they_stand() -> None:
    types = {"asbestos_type": {"chrysotile": "chrysotile", "amosite": "amosite", "crocidolite": "crocidolite"}}
    access = Key("Acc.", {"0": "unlikely", "1": "occasionally", "3": "routinely", "S/P": "strongly presumed"})
    assert without_scores(access, types).meanings == {"S/P": "strongly presumed"}
    graded = Key("Asb. type", {"1": "Chrysotile", "2": "Amphibole but crocidolite", "3": "Crocidolite, or unknown"})
    assert without_scores(graded, types).meanings == {}
    for codes in (
        Key("Asb type", {"1": "Chrysotile", "2": "Amosite", "3": "Crocidolite"}),
        Key("Condition", {"0": "bad", "1": "poor", "2": "fair", "3": "good"}),
        Key("Condition", {"1": "good", "2": "fair", "3": "poor"}),
        Key("Result", {"1": "positive", "2": "negative", "3": "presumed"}),
    ):
        assert without_scores(codes, types) == codes


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
