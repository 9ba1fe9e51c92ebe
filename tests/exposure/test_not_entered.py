"""What could not be entered may hold what such places hold: shares of materials by place are judgement, no source."""

import pandas as pd
import pytest

from pipelines import queries
from tests import portfolios

# What could not be entered, in surveyors' words, and contact codes that it brings, of several kinds of product each.
SHUT = {
    "Airing cupboard": {"IB1", "PI", "GK", "AC3"},
    "Meter cupboard": {"IB1", "GK"},
    "Under stairs": {"IB1"},
    "Bedroom 1": {"TC", "FT", "IB2"},
    "Hall": {"TC", "FT", "IB2"},
    "Kitchen": {"TC", "FT", "IB2", "BM", "PF", "GK"},
    "Loft": {"IB4", "PI", "AC6", "LF"},
    "Garage": {"AC5", "IB4", "RF"},
    "Pipe boxing": {"IB2", "PI"},
    "Boxing": {"IB2", "PI"},
    "Boxed-in services": {"IB2", "PI"},
    "Service boxing": {"IB2", "PI"},
    "Kitchen, boxing": {"IB2", "PI"},
}
NOWHERE = "Rm 7 zzgl"


@pytest.fixture(scope="module")
def brought(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, tuple[float, float]]]:
    """The chance and the exceedances a year of each code that each shut place brings to a surveyed home of 1966."""
    rooms = [*SHUT, NOWHERE]
    stock = [
        {"Property Ref": f"H{number}", "Address": f"{number} Elm Road", "Post Code": "ZZ1 1AA", "Area": "North"}
        | {"Dwelling Type": "House", "Year Built": "1966"}
        for number in range(len(rooms) + 1)
    ]
    register = [portfolios.row(Property_Ref=f"H{number}", Location="WC") for number in range(len(rooms))]
    register += [
        portfolios.row(Property_Ref=f"H{number}", Location=room, Material="", Status="No access", Asbestos_Type="")
        for number, room in enumerate(rooms)
    ]
    database = portfolios.build(portfolios.write(tmp_path_factory.mktemp("shut"), {"register.csv": register}, stock))
    rows = portfolios.ask(
        database,
        "select property_ref, contact_code, p_present, exceedances from possible_items "
        "inner join possible_exposures using (property_ref, contact_code, place)",
    )
    names = {f"H{number}": room for number, room in enumerate(rooms)} | {f"H{len(rooms)}": "never surveyed"}
    found: dict[str, dict[str, tuple[float, float]]] = {room: {} for room in names.values()}
    for ref, code, chance, exceedances in rows:
        found[names[ref]][code] = chance, exceedances
    return found


@pytest.mark.parametrize("room", SHUT)
def test_a_place_not_entered_brings_what_such_places_hold(
    room: str, brought: dict[str, dict[str, tuple[float, float]]]
) -> None:
    assert brought[room].keys() >= SHUT[room]
    assert len(brought[room]) < 12


def test_boxing_in_a_room_is_boxing_and_not_the_room(brought: dict[str, dict[str, tuple[float, float]]]) -> None:
    assert brought["Kitchen, boxing"].keys() == brought["Boxing"].keys()


def test_a_place_not_recognised_brings_the_whole_list_at_a_tenth(
    brought: dict[str, dict[str, tuple[float, float]]],
) -> None:
    every = brought["never surveyed"]
    assert brought[NOWHERE].keys() == every.keys()
    for code, (chance, exceedances) in brought[NOWHERE].items():
        assert (chance, exceedances) == pytest.approx((every[code][0] / 10, every[code][1] / 10), rel=1e-6, abs=1e-12)


def test_no_shut_place_brings_more_than_a_home_that_was_never_surveyed(
    brought: dict[str, dict[str, tuple[float, float]]],
) -> None:
    every = brought["never surveyed"]
    for room in SHUT:
        for code, (chance, exceedances) in brought[room].items():
            assert 0 < chance <= every[code][0]
            assert 0 < exceedances <= every[code][1]
    # Judgement: one cupboard or room is a minor part of what a home may hold.
    assert all(sum(x for _, x in brought[room].values()) < sum(x for _, x in every.values()) / 2 for room in SHUT)


def test_the_rooms_of_a_code_hold_all_of_it_and_things_within_them_a_part() -> None:
    shares, places = (pd.read_csv(queries.REFERENCE / f"{name}.csv") for name in ("place_shares", "places"))
    assert shares["share"].between(0.01, 1).all()
    rooms = shares[shares["place"].isin(places["place"]) & (shares["place"] != "other")]
    assert rooms.groupby(["part", "contact_code"])["share"].sum().to_numpy() == pytest.approx(1)
    usual = pd.read_csv(queries.REFERENCE / "usual_places.csv")
    assert set(zip(usual["part"], usual["contact_code"], strict=True)) == set(
        zip(rooms["part"], rooms["contact_code"], strict=True)
    )
