"""Words of surveyors that name several things: what stands is never milder than the worst of them.

That a worse condition goes before a better one is the reader's own rule; presuming where nothing was sampled is that of
HSG264 (2012, on presumption; from memory).
"""

import pytest

from pipelines.register import columns
from pipelines.register.meanings import BY_LAST, Column
from pipelines.register.terms import parts
from pipelines.register.words import recognise_word

WORST_FIRST = (
    *("insulating_board", "asbestos_cement", "crocidolite", "amosite", "chrysotile"),
    *("high", "poor", "medium", "fair", "low", "good", "unsealed", "sealed"),
)


@pytest.mark.parametrize(
    ("field", "written", "term"),
    [
        ("damage", "badly damaged; frame in good condition", "high"),
        ("damage", "low damage to high level panel", "low"),
        ("damage", "Medium - corner broken", "medium"),
        ("damage", "worse - m", "medium"),
        ("damage", "Got worse, now poor", "poor"),
        ("damage", "improved to good", "good"),
        ("damage", "worse", None),
        ("damage", "Slight damage, frayed", "low"),
        ("product", "Nosings, plastic", "reinforced_plastic"),
        ("product", "Panel, AIB", "insulating_board"),
        ("identification", "No - sampled", "not_detected"),
        ("identification", "Strongly presumed - same as an item already sampled", "strongly_presumed"),
        ("identification", "NIL-SUSPECT", "not_suspect"),
        ("identification", "NO ASB. DETECTED", "not_detected"),
        ("identification", "No asb. fibres found", "not_detected"),
        ("identification", "No loose asb. detected", "identified"),
        ("place", "EXT. - PANEL UNDER LOUNGE WINDOW", "external_wall"),
        ("place", "Ext. - garage", "garage"),
        ("asbestos_type", "Brwon", "amosite"),
        ("asbestos_type", "ID - Chrysotlie (T0370)", "chrysotile"),
        ("place", "Riser cupboard, 1st floor landing", "riser"),
        ("place", "Communal - riser cupboard", "riser"),
        ("product", "Ceiling tiles, AIB", "insulating_board"),
        ("product", "No access - height / no boarding", None),
        ("product", "2 no. boarding panels", "insulating_board"),
        ("product", "Cement flue, no lagging", "asbestos_cement"),
        ("identification", "nothing, it’s fibreglass", "no"),
        ("identification", "Nothing - presumed clear", "presumed"),
        ("identification", "nothing in it", "not_detected"),
        ("identification", "sure by eye", "strongly_presumed"),
        ("identification", "Y as U/01", "strongly_presumed"),
        ("identification", "sampled, none in it", "not_detected"),
        ("identification", "Presumed (not sampled)", "presumed"),
        ("identification", "Not suspect, not sampled", "not_suspect"),
        ("identification", "Sampled - no asbestos detected", "not_detected"),
        ("identification", "No sample taken (not asbestos trained)", "presumed"),
        ("identification", "NO_ACC", "no_access"),
        ("identification", "NO_ACX", None),
        ("identification", "SMP_NEG", "not_detected"),
        ("identification", "NOT_SMP", "presumed"),
        ("identification", "Not sampled - no asbestos warning label seen", "presumed"),
        ("identification", "B - Extrapolated from analysed sample", "strongly_presumed"),
        ("identification", "no bulk here, equated to the positive bulk in like_bulk", "strongly_presumed"),
        ("identification", "Goes with another slip", "strongly_presumed"),
        ("identification", "Piece lifted here and the lab found none.", "not_detected"),
        ("identification", "bulk taken at this spot, asbestos not reported", "not_detected"),
        ("identification", "Read across from bag 12", "strongly_presumed"),
        ("identification", "D - Analysed, no asbestos", "not_detected"),
        ("identification", "C - Suspected, sample not taken", "presumed"),
        ("identification", "Lab - clear", "not_detected"),
        ("identification", "Lab result awaited, no asbestos seen", "not_suspect"),
        ("identification", "Not got in", "no_access"),
        ("identification", "Could not get in, tenant ill", "no_access"),
        ("accessibility", "1 - Seldom disturbed", "1"),
        ("accessibility", "2 - easily disturbed", "2"),
        ("place", "Pitched roof void", "loft"),
        ("place", "Riser off lobby, 1st floor", "riser"),
        ("place", "Riser 2nd floor landing", "riser"),
        ("place", "Duct on 1st landing, pipes", "riser"),
        ("place", "Meter cupboard, roof of", "meter_cupboard"),
        ("place", "Back of the meter cupboard", "meter_cupboard"),
        ("place", "Cupboard with the boiler in", "airing_cupboard"),
        ("damage", "Cover torn off and bits of it on the floor", "high"),
        ("damage", "worn but whole", "low"),
        ("damage", "one sheet broken", "low"),
        ("identification", "lab found nothing", "not_detected"),
        ("identification", "Never been tested so treat as asbestos", "presumed"),
        ("identification", "nothing found anywhere", "not_suspect"),
        ("place", "Hall - Elec Cupd", "meter_cupboard"),
        ("asbestos_type", "NONE DETECTED (ref. T-007)", "none"),
        ("asbestos_type", "Amosite (ref. T-006)", "amosite"),
        ("asbestos_type", "No asbestos dectected", "none"),
        ("asbestos_type", "No asbestos inspected", None),
        ("place", "WC off hall", "wc"),
        ("place", "Stairs GF-3F soffits", "stair_core"),
        ("place", "Hall - service duct panel", "hall_landing"),
        ("place", "Lobby - riser cpd doors", "riser"),
        ("place", "O/house", "garage"),
        ("product", "lino tiles", "floor_tile"),
        ("product", "Felt to pipes", "thermal_insulation"),
        ("product", "Felt to roof", "roofing_felt"),
        ("place", "LANDG", "hall_landing"),
    ],
)
def test_of_several_words_the_cautious_one_stands(
    terms: dict[str, dict[str, str]], field: str, written: str, term: str | None
) -> None:
    assert recognise_word(field, written, terms[field])[0] == term


def test_who_could_not_get_in_may_say_so_in_place_of_a_material(terms: dict[str, dict[str, str]]) -> None:
    results = terms["identification"]
    assert recognise_word("result_in_product", "Couldn't get up, hatch screwed down", results)[0] == "no_access"
    assert recognise_word("result_in_product", "Panel nobody could reach round", results)[0] is None


@pytest.mark.parametrize(
    ("written", "term"),
    [
        ("Black bitumen adhesive to floor tiles", "mastic_putty"),
        ("Adhesive under vinyl floor tiles", "mastic_putty"),
        ("floor tiles under lino", "floor_tile"),
        ("Rope seal to AC flue", "gasket_rope"),
        ("Lagging to cement flue pipe", "thermal_insulation"),
        ("Panel to riser, asbestos cement", "asbestos_cement"),
        ("Textured coating to AIB ceiling tiles", "insulating_board"),
        ("Asbestos cement - soffit board", "asbestos_cement"),
        ("Vinyl floor covering, paper backed", "paper_felt"),
        ("Lino, felt backed", "paper_felt"),
        ("Modern vinyl sheet to floor", "not_asbestos"),
        ("Modern vinyl sheet beside AIB", "insulating_board"),
    ],
)
def test_what_joins_or_wraps_is_meant_rather_than_what_it_is_on(
    terms: dict[str, dict[str, str]], written: str, term: str
) -> None:
    assert recognise_word("product", written, terms["product"], terms["element"])[0] == term


@pytest.mark.parametrize(
    ("written", "layers"),
    [
        ("Thermoplastic f/tiles & black bitumen adhesive", ["Thermoplastic f/tiles", "black bitumen adhesive"]),
        ("Floor tiles/bitumen adhesive", ["Floor tiles", "bitumen adhesive"]),
        ("Felt, bituminous roofing", []),
        ("Adhesive, floor tile", ["Adhesive", "floor tile"]),
        ("f/tiles", []),
        ("Vinyl / thermoplastic tiles on bitumen adhesive", ["Vinyl / thermoplastic tiles", "bitumen adhesive"]),
    ],
)
def test_a_stroke_within_a_shortened_word_parts_no_layers(
    terms: dict[str, dict[str, str]], written: str, layers: list[str]
) -> None:
    assert parts("product", written, terms["product"], terms["element"]) == layers


@pytest.mark.parametrize(
    ("field", "written", "term"),
    [
        ("product", "artexed ceiling", "textured_coating"),
        ("product", "AC rwg", "asbestos_cement"),
        ("product", "thermo f/tiles", "floor_tile"),
        ("product", "bitumastic", "mastic_putty"),
        ("product", "Compressed asbestos fibre gasket", "gasket_rope"),
        ("product", "hardset pipe lagging", "thermal_insulation"),
        ("product", "boxing to SVP", "insulating_board"),
        ("product", "hard plastic nosings", "reinforced_plastic"),
        ("place", "Coal hole", "garage"),
        ("place", "lift mtr rm", "plant_room"),
        ("place", "U/S cup", "under_stairs"),
        ("damage", "sl. damage", "low"),
        ("damage", "Mod.", "medium"),
        ("damage", "sev dam", "high"),
        ("damage", "Broken in several places", "medium"),
        ("damage", "one corner gone", "medium"),
        ("damage", "one or two scrapes", "low"),
        ("surface", "Yes", "sealed"),
        ("surface", "No", "unsealed"),
        ("surface", "Part", "part_sealed"),
        ("surface", "never been properly sealed", "unsealed"),
        ("surface", "no longer painted", "unsealed"),
        ("surface", "papered over", "sealed"),
        ("surface", "no damage", None),
        ("surface", "part of the ceiling", None),
        ("accessibility", "within reach", "3"),
        ("extent_unit", "sq mtr", "m2"),
        ("extent_unit", "pnls", "nr"),
        ("place", "Cupboard below the staircase - underside of treads", "under_stairs"),
        ("place", "Void beneath hall floor, old pipe", "floor_void"),
        ("place", "Side wall, 1.5 m above ground", "external_low"),
        ("place", "Front elevation, soffit", "eaves"),
        ("place", "Front elevation, panel below lounge window", "external_wall"),
        ("place", "Ext. rear, panel below lounge window", "external_wall"),
        ("damage", "Low level cistern. Sound.", "good"),
        ("damage", "lid cracked across, only slight damage", "low"),
        ("place", "Side wall, 2.5 m above ground", "external_wall"),
        ("place", "Hall cupboard with the fuse board", "meter_cupboard"),
        ("asbestos_type", "clear, no asbestos", "none"),
        ("asbestos_type", "nothing found by lab", "none"),
        ("asbestos_type", "no asbestos looked for", None),
        ("accessibility", "0 UNLIKELY", "0"),
        ("accessibility", "3 unlikely", None),
        ("accessibility", "Nobody can get to it", "0"),
        ("accessibility", "Only now and then", "1"),
        ("accessibility", "Easy to knock", "2"),
        ("accessibility", "Knocked every day", "3"),
        ("extent_unit", "boilers", "nr"),
    ],
)
def test_words_that_surveyors_write(
    terms: dict[str, dict[str, str]], field: str, written: str, term: str | None
) -> None:
    assert recognise_word(field, written, terms[field])[0] == term


@pytest.mark.parametrize(
    ("field", "written", "term", "how"),
    [
        ("accessibility", "easy/medium", "3", "alternatives"),
        ("accessibility", "Difficult to moderate", "2", "alternatives"),
        ("accessibility", "2,1,3", "1", "of three"),
        ("extent_unit", "m2/lm", None, "unknown"),
        ("extent_unit", "sqm / m2", "m2", "within"),
    ],
)
def test_the_easiest_reach_stands_and_a_unit_left_open_is_none(
    terms: dict[str, dict[str, str]], field: str, written: str, term: str | None, how: str
) -> None:
    assert recognise_word(field, written, terms[field], worst_first=("3", "2", "1", "0")) == (term, how)


@pytest.mark.parametrize(
    ("field", "written", "term"),
    [
        ("product", "AIB or cement", "insulating_board"),
        ("product", "cement or AIB", "insulating_board"),
        ("product", "Presumed AIB/plasterboard", "insulating_board"),
        ("product", "cement, AIB or plasterboard", "insulating_board"),
        ("product", "floor tile and/or adhesive", "floor_tile"),
        ("asbestos_type", "amosite or chrysotile", "amosite"),
        ("asbestos_type", "chrysotile or crocidolite", "crocidolite"),
        ("damage", "good to fair", "fair"),
        ("damage", "Low-Medium", "medium"),
        ("surface", "sealed or unsealed", "unsealed"),
        ("place", "Kitchen or bathroom", "kitchen"),
    ],
)
def test_of_alternatives_the_worst_stands_and_of_places_the_first(
    terms: dict[str, dict[str, str]], field: str, written: str, term: str
) -> None:
    assert recognise_word(field, written, terms[field], worst_first=WORST_FIRST) == (term, "alternatives")


@pytest.mark.parametrize(
    ("field", "written", "term", "how"),
    [
        ("product", "gasket or rope", "gasket_rope", "known"),
        ("product", "gasket or rope seal", "gasket_rope", "within"),
        ("product", "plastic or resin", "reinforced_plastic", "known"),
        ("place", "Staircase, lobby or corridor of block", "stair_core", "within"),
        ("product", "textured coating to walls or ceiling", "textured_coating", "within"),
        ("product", "None seen or suspected", "none", "within"),
        ("product", "T/C", "textured_coating", "known"),
        ("product", "a thing or plaster", None, "unknown"),
        ("asbestos_type", "chrysotile/amosite", "amosite+chrysotile", "known"),
        ("damage", "slight damage to corner", "low", "within"),
        ("place", "cupboard or store", None, "unknown"),
        ("place", "Bedroom 1 or 2", "bedroom", "within"),
    ],
)
def test_what_only_looks_like_alternatives_is_read_whole_and_the_unknown_is_not_cleared(
    terms: dict[str, dict[str, str]], field: str, written: str, term: str | None, how: str
) -> None:
    assert recognise_word(field, written, terms[field], worst_first=WORST_FIRST) == (term, how)


def test_that_all_was_looked_at_stands_in_a_column_of_materials(terms: dict[str, dict[str, str]]) -> None:
    looked = recognise_word("result_in_product", "Had a good look, nothing found", terms["identification"])
    assert looked == ("not_suspect", "within")


def test_of_two_columns_that_mean_one_field_by_their_last_words_neither_is_used() -> None:
    columns_read = [
        Column(heading, "damage", 0.8, f"{BY_LAST}, 'damage', and its contents fit")
        for heading in ("Observed damage", "Decoration damage")
    ]
    assert [column.field for column in columns._without_ties(columns_read)] == [None, None]
    assert columns._without_ties(columns_read[:1]) == columns_read[:1]


@pytest.mark.parametrize(
    ("field", "written", "term"),
    [
        ("damage", "minor damage to screw holes", "low"),  # not the holes alone
        ("identification", "Sampled, no asbestos found", "not_detected"),  # not `asbestos found`
        ("product", "Ceiling tiles (AIB)", "insulating_board"),  # not the tiles of a floor
    ],
)
def test_words_within_a_longer_phrase_say_nothing_by_themselves(
    terms: dict[str, dict[str, str]], field: str, written: str, term: str
) -> None:
    """Common practice, no source."""
    assert recognise_word(field, written, terms[field], terms["element"] if field == "product" else None)[0] == term
