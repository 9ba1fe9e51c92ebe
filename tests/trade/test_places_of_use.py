"""Twelve kinds of place where asbestos is met in homes, in surveyors' words: all common practice, no source."""

import csv
from pathlib import Path

import pandas as pd
import pytest

from pipelines import queries
from pipelines.exposure.chances import CONTROL_LIMIT, p_over
from tests import portfolios

# Kind: the contact codes that the words may rightly lead to, and why more than one.
CODES: dict[str, set[str]] = {
    "Roof tiles, rectangular or diamond": {"AC4"},
    # A soffit said to be board, or of which nothing is said, counts as insulating board until sampled.
    "Soffit": {"AC1", "IB3"},
    "Gutter and downpipe": {"AC2"},
    "Outdoor flue": {"AC3"},
    "Soil and vent pipe": {"AC6"},
    "Garage or shed of corrugated sheet": {"AC5"},
    "Boiler flue that rises through the house to a cowl": {"AC3"},
    "Textured coating on a ceiling": {"TC"},
    "Thermoplastic floor tiles": {"FT"},
    "Board under the stairs": {"IB1"},
    "Airing-cupboard door": {"IB1"},
    # Sheets of a garage or outhouse are those of the outbuilding.
    "Cement sheet ceiling": {"AC6", "AC5"},
}
BLANK = {"Extent": "", "Accessibility": ""}


def kinds() -> dict[str, tuple[str, list[str], list[str]]]:
    """The contact code, the words for the product and the words for the room of each kind."""
    with Path(__file__).with_name("places_of_use.csv").open(encoding="utf-8", newline="") as opened:
        rows = list(csv.DictReader(opened))
    found = {}
    for row in rows:
        products, rooms = ([word.strip() for word in part.split(";")] for part in row["words"].split("|"))
        found[row["kind"]] = row["contact_code"], products, rooms
    return found


def homes(names: list[str], year: str = "1965") -> list[portfolios.Row]:
    return [
        {"Property Ref": name, "Address": f"{number} Elm Road", "Post Code": "ZZ1 1AA", "Area": "North"}
        | {"Dwelling Type": "House", "Year Built": year}
        for number, name in enumerate(names, start=1)
    ]


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Each kind in a home of its own, K0 to K11, in all its words; and homes for what is within reach, or by looks."""
    register = [
        portfolios.row(Property_Ref=f"K{number}", Material=product, Location=room, **BLANK)
        for number, (_, products, rooms) in enumerate(kinds().values())
        for product in products
        for room in rooms
    ]
    for name, cells in REACH.items():
        for reach in ("0", "3"):
            register.append(portfolios.row(Property_Ref=f"{name}{reach}", **BLANK | cells | {"Accessibility": reach}))
    for number, words in enumerate(LOOKS):
        nothing = {"Status": "", "Asbestos_Type": "", "Sample_Ref": ""}
        register.append(portfolios.row(Property_Ref=f"L{number}", **BLANK | nothing | {"Material": words}))
    soffit = BLANK | {"Material": "AC soffit", "Location": "Eaves"}
    soffits = [portfolios.row(Property_Ref=f"Y{year}", **soffit) for year in YEARS]
    names = [f"K{number}" for number in range(12)] + [f"L{number}" for number in range(len(LOOKS))]
    names += [f"{name}{reach}" for name in REACH for reach in ("0", "3")]
    stock = homes(names) + [homes([f"Y{year}"], year)[0] for year in YEARS]
    folder = portfolios.write(tmp_path_factory.mktemp("kinds"), {"register.csv": register + soffits}, stock)
    return portfolios.build(folder)


# The same thing out of reach and within reach: an outdoor downpipe or flue where children play, boards where goods are
# kept.
REACH: dict[str, dict[str, str]] = {
    "PIPE": {"Material": "AC downpipe", "Location": "External low level"},
    "FLUE": {"Material": "AC flue pipe", "Location": "External low level"},
    "BOARD": {"Material": "AIB panel", "Location": "Under stairs"},
}
# What a thing looks or sounds like proves nothing.
LOOKS = (
    "Painted pipe",
    "Pipe, metallic ring when tapped",
    "Board like plasterboard",
    "Panel, looks like plasterboard",
    "Plasterboard-like panel",
    "Flue, sounds metallic",
    "Soffit looks like timber",
    "Ceiling board similar to plasterboard",
)
# Years of building outside the usual era of cement soffits (1950s to 1970s), all before 2000.
YEARS = ("1890", "1935", "1988", "1998")


def test_there_are_twelve_kinds() -> None:
    assert list(kinds()) == list(CODES)


@pytest.mark.parametrize("kind", CODES)
def test_a_kind_is_recognised_from_the_words_of_surveyors(kind: str, built: Path) -> None:
    number = list(kinds()).index(kind)
    wrong = [
        row
        for row in portfolios.ask(
            built,
            "select product_text, room_text, product, contact_code from entries "
            f"where property_ref = 'K{number}' order by all",
        )
        if row[3] not in CODES[kind]
    ]
    assert wrong == []


@pytest.mark.parametrize("kind", CODES)
def test_no_word_of_a_kind_is_dropped_or_taken_for_free_of_asbestos(kind: str, built: Path) -> None:
    number, (_, products, rooms) = list(kinds()).index(kind), kinds()[kind]
    rows = portfolios.ask(
        built, f"select identification, item_id is not null from entries where property_ref = 'K{number}'"
    )
    assert rows == [("identified", True)] * len(products) * len(rooms)


@pytest.mark.parametrize("kind", CODES)
def test_a_kind_has_release_for_each_of_its_contacts_and_guidance(kind: str) -> None:
    contacts, release, guidance, codes = (
        pd.read_csv(queries.REFERENCE / f"{name}.csv") for name in ("contacts", "release", "guidance", "contact_codes")
    )
    code = kinds()[kind][0]
    (product,) = codes.query("contact_code == @code")["product"]
    tasks = set(contacts.query("contact_code == @code")["task"])
    assert tasks
    assert tasks <= set(release.query("product == @product and control == 'uncontrolled'")["task"])
    rules = guidance[
        (guidance["product"] == product)
        & (guidance["element_or_place_code"].isna() | (guidance["element_or_place_code"] == code))
    ]
    assert rules[["may", "must_not", "ask_first"]].notna().any(axis=None)


@pytest.mark.parametrize("year", YEARS)
def test_eras_are_tendencies_and_never_filters(year: str, built: Path) -> None:
    ((scored, ranked, exceedances),) = portfolios.ask(
        built,
        "select material_score is not null, rank is not null, exceedances from items "
        f"inner join item_ranking using (item_id) where items.property_ref = 'Y{year}'",
    )
    assert (scored, ranked) == (True, True)
    assert exceedances > 0


@pytest.mark.parametrize("number", range(len(LOOKS)), ids=LOOKS)
def test_looks_never_identify(number: int, built: Path) -> None:
    ((identification, product, item_id),) = portfolios.ask(
        built, f"select identification, product, item_id from entries where property_ref = 'L{number}'"
    )
    assert identification in {"presumed", "strongly_presumed"}
    assert product is not None
    assert item_id is not None


# Contacts that leave the material whole, and those that cut into it or take it off.
PASSIVE = {"knock", "cover", "air_movement"}
ROUGH = {
    "sand", "power_sand", "scrape", "scrape_lift", "drill", "nail_screw", "lift", "lift_whole", "break",
    "break_once_outdoors", "hand_saw", "power_cut", "cut_out", "take_down", "chip_edge", "brush_dry",
}  # fmt: skip


@pytest.mark.parametrize("kind", CODES)
def test_left_in_place_and_whole_it_releases_far_less_than_when_worked_on(kind: str) -> None:
    release, codes = (pd.read_csv(queries.REFERENCE / f"{name}.csv") for name in ("release", "contact_codes"))
    product = codes.loc[codes["contact_code"] == kinds()[kind][0], "product"].item()
    lines = release[(release["product"] == product) & (release["control"] == "uncontrolled")].set_index("task")
    over = pd.Series(
        p_over(lines["gm_f_per_ml"], lines["gsd"], lines["gm_uncertainty_factor"], 30, CONTROL_LIMIT), lines.index
    )
    passive, rough = over[over.index.isin(PASSIVE)], over[over.index.isin(ROUGH)]
    assert len(passive) > 0
    assert len(rough) > 2
    # Judgement: the middle one of the rough contacts is at least ten times as likely to pass the limit as any passive
    # one, and even the mildest has twice as many fibres in the air.
    assert rough.median() > 10 * passive.max()
    assert lines.loc[rough.index, "gm_f_per_ml"].min() > 2 * lines.loc[passive.index, "gm_f_per_ml"].max()


def test_whole_and_undamaged_none_of_them_is_exposed_by_ordinary_use(built: Path) -> None:
    assert portfolios.ask(built, "select * from exposures where work_type = 'ordinary_use'") == []


@pytest.mark.parametrize("name", REACH)
def test_within_reach_of_play_or_stored_goods_ranks_above_out_of_reach(name: str, built: Path) -> None:
    rows = portfolios.ask(
        built,
        "select items.property_ref, rank_by_exposure, rank, priority_score from item_ranking "
        "inner join items using (item_id, property_ref) "
        f"where items.property_ref in ('{name}0', '{name}3') order by items.property_ref",
    )
    (_, out_by_exposure, out_by_score, out_priority), (_, in_by_exposure, in_by_score, in_priority) = rows
    assert in_by_exposure < out_by_exposure
    assert in_by_score < out_by_score
    assert in_priority >= out_priority


@pytest.mark.parametrize("name", REACH)
def test_play_and_storing_meet_what_is_within_reach_more_often(name: str, built: Path) -> None:
    work = "storing_and_clearing_cupboards" if name == "BOARD" else "outdoor_play_garden"
    rows = portfolios.ask(
        built,
        "select encounters_per_year from exposures inner join items using (item_id, property_ref) "
        f"where property_ref in ('{name}0', '{name}3') and work_type = '{work}' order by property_ref",
    )
    (out_of_reach,), (within_reach,) = rows
    assert within_reach > 1.9 * out_of_reach
