"""Which columns the keys of a workbook decode, and what they leave as it stands. The texts are invented."""

from pipelines.register.coded_columns import meant
from pipelines.register.key import Key
from pipelines.register.keys import keys_of, keys_said
from pipelines.register.legends import as_known, is_whole, named_above, without_scores


def test_codes_of_one_surveyor_are_read_among_the_words_of_others() -> None:
    words = [(n, ["Hall", "chrysotile" if n % 2 else "1.0"]) for n in range(5, 30)]
    rows = [(1, ["Room", "Fibre"]), (2, ["Loft", "C"]), (3, ["Hall", "A"]), (4, ["Hall", "C"]), *words]
    key = Key("Fibre", {"C": "chrysotile", "A": "amosite"})
    assert dict(meant(rows, [key])) == {2: ["Loft", "chrysotile"], 3: ["Hall", "amosite"], 4: ["Hall", "chrysotile"]}
    assert not dict(meant(rows, [Key("Surface", key.meanings)]))


def test_codes_of_layers_keep_their_order_and_what_is_known_without_a_key_stays() -> None:
    words = {
        "identification": {
            "nad": "not_detected",
            "none found": "not_detected",
            "nsm": "not_suspect",
            "nil": "not_suspect",
        },
        "asbestos_type": {"nil": "none", "nad": "none", "white": "chrysotile"},
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
    assert key.decode("Cnf S1 blue") == "sampled, found, S1, blue"


def test_only_columns_of_codes_are_read_by_their_meanings() -> None:
    rows = [(1, ["Room", "Cond"]), (2, ["G", "G"]), (3, ["Hall", "L"]), (4, ["Loft", "G"]), (5, ["Shed", "?"])]
    key = Key("Condition", {"G": "good", "L": "low damage"})
    assert dict(meant(rows, [key])) == {2: ["G", "good"], 3: ["Hall", "low damage"], 4: ["Loft", "good"]}


def test_codes_that_are_no_words_are_read_among_many_words() -> None:
    words = ["t/ctg", "vinyl tile", "lagging", "ins bd", "rope", "t/ctg", "felt"]
    rows = list(enumerate([["What"], *([word] for word in words)]))
    key = Key("", {"t/ctg": "textured coating", "ins bd": "insulating board"})
    assert dict(meant(rows, [key])) == {1: ["textured coating"], 4: ["insulating board"], 6: ["textured coating"]}
    key = Key("", {"rope": "a rope seal", "felt": "roofing felt", "lagging": "thermal insulation"})
    assert not dict(meant(rows, [key]))


def test_codes_in_capitals_before_other_words_are_read_among_many_words() -> None:
    words = ["VT, brown", "PI", "sink pad", "felt", "AC roof", "flue rope", "cistern"]
    rows = list(enumerate([["What"], *([word] for word in words)]))
    key = Key("", {"VT": "vinyl tiles", "PI": "pipe insulation", "AC": "cement"})
    assert dict(meant(rows, [key])) == {1: ["vinyl tiles, brown"], 2: ["pipe insulation"], 5: ["cement, roof"]}
    key = Key("", key.meanings, words_too=frozenset({"AC"}))
    assert dict(meant(rows, [key])) == {1: ["vinyl tiles, brown"], 2: ["pipe insulation"]}
    key = Key("", {"V": "vinyl tiles", "P": "pipe insulation", "A": "cement"})
    assert not dict(meant([(at, [word[:1]]) if at in (1, 2, 5) else (at, [word]) for at, (word,) in rows], [key]))


def test_codes_of_materials_that_are_known_stand_and_others_without_the_kinds_that_a_bracket_lists() -> None:
    words = {"product": {"tc": "textured_coating", "textured coating": "textured_coating", "floor tile": "floor_tile"}}
    said = {"TC": "textured coating", "VT": "floor tile (vinyl or asphalt)"}
    key = as_known(Key("", said), words)
    assert (key.meanings, key.among_words().meanings) == (said, said | {"TC": "TC"})
    assert (key.decode("VT, red"), key.decode("VT")) == ("floor tile, red", said["VT"])
    assert as_known(Key("", {"TC": "floor tile"}), words).among_words().meanings == {"TC": "floor tile"}


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


def test_letters_of_a_code_stand_side_by_side_where_a_column_has_it() -> None:
    key = Key("ASB", {"W": "Chrysotile", "B": "Amosite", "U": "Crocidolite"})
    rows = [(1, ["ASB"]), (2, ["W"]), (3, ["B"]), (4, ["U"]), (5, ["WB"]), (6, ["WW"]), (7, ["OB"])]
    assert [cells[0] for _, cells in meant(rows, [key])] == [
        *("Chrysotile", "Amosite", "Crocidolite", "Chrysotile & Amosite")
    ]


def test_a_key_names_columns_of_scores_and_tells_what_stands_for_no_value() -> None:
    rows = [(1, ["QTY", "UNIT", "MA_DM"]), (2, ["999.0", "M2", "2"]), (3, ["12", "999", "1"])]
    keys = [Key("QTY", {"999": "NOT RECORDED"}), Key("MA_DM", {"0-3": "DAMAGE SCORE (HSG264)"})]
    assert dict(meant(rows, keys)) == {
        1: ["QTY", "UNIT", "DAMAGE SCORE"],
        2: ["NOT RECORDED", "M2", "2"],
    }


def test_codes_that_run_on_are_told_one_by_one() -> None:
    listed = [["FIELD", "CODE", "MEANING"], ["LOC", "KIT", "KITCHEN"], ["LOC", "BD1-BD3", "BEDROOM 1 TO 3"]]
    (key,) = [one for one in keys_of("CODES", listed) if one.name == "LOC"]
    assert key.meanings == {"KIT": "KITCHEN", "BD1": "BEDROOM 1", "BD2": "BEDROOM 2", "BD3": "BEDROOM 3"}


def test_a_line_of_codes_below_others_goes_on_with_them() -> None:
    above = [Key("Mat", {"TX": "textured coating"})]
    assert (
        named_above(["", "", "ROP = rope   X = no access"], [Key("", {"ROP": "rope", "X": "no access"})], above) == []
    )
    assert above == [Key("Mat", {"TX": "textured coating", "ROP": "rope", "X": "no access"})]
    assert named_above(["Lab", "A = amosite"], [Key("Lab", {"A": "amosite"})], above) == [Key("Lab", {"A": "amosite"})]


def test_a_code_of_accessibility_stands_for_the_score_behind_its_meaning() -> None:
    assert as_known(Key("Acc", {"U": "out of reach (0)", "E": "easy"}), {}).meanings == {"U": "0", "E": "easy"}


def test_a_heading_that_lists_the_codes_is_called_by_what_they_mean() -> None:
    words = {"identification": {"sampled": "identified", "presumed": "presumed", "no access": "no_access"}}
    key = as_known(Key("", {"S": "sampled", "P": "presumed", "X": "no access", "N": "none in it"}), words)
    rows = [(1, ["S/P/X"]), (2, ["S"]), (3, ["P"]), (4, ["X"]), (5, ["S/P/X"])]
    read = [cells[0] for _, cells in meant(rows, [key])]
    assert read == ["Result", "sampled", "presumed", "no access", "sampled & presumed & no access"]


def test_a_code_may_stand_one_column_to_the_right_of_its_own() -> None:
    key = Key("Result", {"POS": "sample", "POS*": "as another", "NEG": "none"})
    rows = [(1, ["Result", "Sample"]), (2, ["POS", "T1"]), (3, ["NEG", "T2"]), (4, ["POS*", "T1"]), (5, ["", "POS*"])]
    assert dict(meant(rows, [key]))[5] == ["", "as another"]


def test_a_meaning_stands_without_what_its_codes_are_called_and_with_the_sample_that_speaks_for_it() -> None:
    words = {"accessibility": {"easily disturbed": "2"}, "identification": {"presumed": "presumed"}}
    words["identification"] |= {"not sampled": "presumed", "no sample taken": "presumed"}
    said = {"H2": "Accessibility (of the priority assessment): easily disturbed", "P": "Presumed: no sample taken"}
    said |= {"XR": "Not sampled; same material as the sample quoted", "NP": "Not sampled; out of the scope"}
    assert as_known(Key("HA", said), words).meanings == {
        "H2": "easily disturbed",
        "P": said["P"],
        "XR": said["XR"],
        "NP": "Not sampled",
    }


def test_forms_in_brackets_are_none_of_each_item_and_a_dash_that_is_said_to_be_nothing_stays() -> None:
    words = {"product": {"asbestos cement": "asbestos_cement", "tile": "floor_tile", "vinyl": "floor_tile"}}
    key = Key("Matl", {"AC": "asbestos cement (sheet, slate, pipe)", "T": "old tile (vinyl or asphalt)"})
    assert as_known(key, words).meanings == {"AC": "asbestos cement", "T": "old tile (vinyl or asphalt)"}
    finish = as_known(Key("Fin", {"P": "painted", "-": "not noted"}), words)
    assert finish.decode("-") is None
    assert as_known(Key("Result", {"-": "negative"}), words).decode("-") == "negative"


def test_a_sample_stands_among_codes_as_it_is() -> None:
    key = Key("Lab", {"SP": "strongly presumed", "Am": "amosite", "Ch": "chrysotile"})
    assert key.decode("SP HR/02 Am") == "strongly presumed, HR/02, amosite"
    assert key.decode("SP S4 Ch") == "strongly presumed, S4, chrysotile"


def test_a_sentence_whose_codes_are_not_all_understood_is_no_key() -> None:
    told = "Lab = own sample analysed. As PH ... = same as that sample. Taken as asb. = not sampled."
    assert not any(map(is_whole, keys_said(["How we know", told])))
    assert all(map(is_whole, keys_said(["Lab", "Ch = chrysotile, SP = strongly presumed from the sample named"])))
