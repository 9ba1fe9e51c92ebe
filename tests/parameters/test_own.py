"""A landlord's own parameters and job list in a real build: they go before the defaults, and show it."""

import csv
from pathlib import Path

import pytest

from tests import portfolios

STOCK = [
    {"Property Ref": ref, "Address": f"{ref} Elm Road", "Post Code": "ZZ1 1AA", "Area": area}
    | {"Dwelling Type": "House", "Year Built": "1966", "Archetype": "semi"}
    for ref, area in (("N1", "North"), ("N2", "North"), ("S1", "South"))
]
REGISTER = [portfolios.row(Property_Ref=ref) for ref in ("N1", "N2", "S1")] + [
    portfolios.row(Property_Ref="N1", Location="Hall", Status="Presumed", Asbestos_Type="", Sample_Ref="")
]
NAMES = ("Name", "Work Type", "Dwelling", "Area", "Contact Code", "Product", "Task", "Control", "Point", "Low", "High")
OWN = (
    ("rate", "rewire", "", "", "", "", "", "", "0.2", "", ""),
    ("rate", "rewire", "house", "North", "", "", "", "", "0.5", "0.4", "0.6"),
    ("rate", "plumbing_repair", "", "South", "", "", "", "", "2", "", ""),
    ("contact", "rewire", "", "", "IB2", "", "lift_whole", "", "0.5", "", ""),
    ("release", "", "", "", "", "insulating_board", "lift_whole", "", "1", "0.5", "2"),
    ("positive share", "", "", "", "IB2", "", "", "", "0.9", "", ""),
    ("rate", "rewiring everything", "", "", "", "", "", "", "1", "", ""),
    ("wishes", "rewire", "", "", "", "", "", "", "1", "", ""),
    ("positive share", "", "", "", "IB1", "", "", "", "1.4", "", ""),
    ("rate", "rewire", "", "", "", "", "", "", "0.3", "", ""),
)
FIRST_ROW = 2
JOBS = [
    ("N1", "01/03/2024", "Plumbing repair"),
    ("N1", "05/09/2024", "Plumbing repair"),
    ("N2", "01/02/2025", "Plumbing repair"),
    ("N2", "01/03/2026", "Kitchen refit"),
    ("N1", "01/04/2025", "Putting up shelves"),
]


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = portfolios.write(tmp_path_factory.mktemp("own"), {"register.csv": REGISTER}, STOCK)
    jobs = [("Property Ref", "Completed", "Job Description"), *JOBS]
    for path, rows in (("parameters/own.csv", (NAMES, *OWN)), ("works/jobs.csv", jobs)):
        (folder / path).parent.mkdir()
        with (folder / path).open("w", encoding="utf-8", newline="") as opened:
            csv.writer(opened).writerows(rows)
    return portfolios.build(folder)


def parameter(built: Path, name: str, **keys: str) -> tuple[float, float, float, str]:
    """Point, low, high and basis of one parameter."""
    found = " and ".join(f"keys ->> '{key}' = '{value}'" for key, value in keys.items())
    ((point, low, high, basis),) = portfolios.ask(
        built,
        f"select point, low, high, basis from parameters where name = '{name}' and {found}",
    )
    return point, low, high, basis


def test_an_own_rate_goes_before_the_default_and_the_nearer_one_before_the_wider(built: Path) -> None:
    assert parameter(built, "rate", work_type="rewire", dwelling="house", area="South") == (0.2, 0.1, 0.4, "own")
    assert parameter(built, "rate", work_type="rewire", dwelling="house", area="North") == (0.5, 0.4, 0.6, "own")


def test_an_own_rate_goes_before_what_jobs_teach(built: Path) -> None:
    assert parameter(built, "rate", work_type="plumbing_repair", dwelling="house", area="South")[0::3] == (2, "own")
    north = parameter(built, "rate", work_type="plumbing_repair", dwelling="house", area="North")
    assert north[3] == "learned from history"
    # Three jobs in two homes in two years lie near the default of 0.9 a year and home (judgement).
    assert 0.5 < north[0] < 1.1


def test_own_contact_release_and_share_go_before_the_defaults(built: Path) -> None:
    contact = parameter(built, "contact", work_type="rewire", contact_code="IB2", task="lift_whole")
    assert (contact[0], contact[3]) == (0.5, "own")
    release = parameter(built, "release", product="insulating_board", task="lift_whole", control="uncontrolled")
    assert release == (1, 0.5, 2, "own")
    share = parameter(built, "positive share", contact_code="IB2", era="built to 1985 or unknown")
    assert (share[0], share[3]) == (0.9, "own")
    assert parameter(built, "positive share", contact_code="IB2", era="built 1986 to 1999")[0] == pytest.approx(0.18)


def test_own_parameters_reach_the_exposures(built: Path) -> None:
    ((rate, presence, over),) = portfolios.ask(
        built,
        "select encounters_per_year, p_present, p_over_control_limit from exposures "
        "inner join items using (item_id, property_ref) "
        "where property_ref = 'S1' and work_type = 'rewire'",
    )
    # 0.2 rewires a year touch it in half; lifting at GM 1, GSD 2.5, factor 2, 20 of 240 minutes: the task must reach
    # 1.2 f/ml. ln 2.5 0.9163, ln 2 / 1.645 0.4214, together 1.0085; -ln 1.2 / 1.0085 = -0.1808, so 0.428.
    assert (rate, presence, over) == pytest.approx((0.1, 1, 0.428), abs=1e-3)
    ((presumed,),) = portfolios.ask(built, "select p_present from item_presence where p_present < 1")
    assert presumed == pytest.approx(0.9)


def test_rows_that_name_no_parameter_or_no_possible_value_are_set_aside(built: Path) -> None:
    rows = portfolios.ask(
        built, "select row_number, reason_code from set_aside_rows where path = 'parameters/own.csv' order by all"
    )
    assert rows == [
        (FIRST_ROW + 6, "unknown_parameter"),
        (FIRST_ROW + 7, "unknown_parameter"),
        (FIRST_ROW + 8, "parameter_out_of_range"),
        (FIRST_ROW + 9, "duplicate_row"),
    ]


def test_work_that_no_job_speaks_of_keeps_its_default(built: Path) -> None:
    # 0.045 bathroom refits a house and year, factor 2 (judgement).
    bathroom = parameter(built, "rate", work_type="bathroom_refit_adaptation", dwelling="house", area="North")
    assert bathroom == (0.045, 0.0225, 0.09, "default (J)")


def test_what_occupants_do_themselves_is_not_learned_from_jobs(built: Path) -> None:
    shelves = parameter(built, "rate", work_type="putting_up_shelves_pictures_rails", dwelling="house", area="North")
    assert shelves == (2, 1, 4, "default (J)")


def test_work_that_jobs_speak_of_is_learned_in_every_area(built: Path) -> None:
    for area in ("North", "South"):
        assert parameter(built, "rate", work_type="kitchen_refit", dwelling="house", area=area)[3] == (
            "learned from history"
        )
