"""The Building page says what the result holds of a building, a home and an item, and what their figures rest on."""

import re
from collections import Counter
from collections.abc import Callable
from csv import DictReader
from io import StringIO
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
import streamlit as st

from dashboard import data
from pipelines import queries, run
from tests import portfolios
from tests.dashboard.pages import number, one, page, said, tables, unfold


def listening(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The questions that a page asks, as it asks them."""
    asked: list[str] = []
    ask = data.ask

    def heard(name: str, **parameters: Any) -> pd.DataFrame:
        asked.append(name)
        return ask(name, **parameters)

    monkeypatch.setattr(data, "ask", heard)
    return asked


def test_a_building_page_shows_its_rank_and_every_item_of_its_worst_home(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    building_ref, why = one(sample_result, "select building_ref, score_reason from building_ranking where rank = 1")
    (buildings,) = one(sample_result, "select count(*) from buildings")
    (items,) = one(
        sample_result,
        "select count(*) from items where property_ref = (select i.property_ref from items as i "
        "inner join building_ranking as b on i.item_id = b.worst_item_id where b.rank = 1)",
    )
    app = page(sample_folder, monkeypatch, "building", building=building_ref)
    assert f"Number 1 of {buildings:,} in the order in which to act." in said(app)
    (remaining,) = one(
        sample_result,
        "select remaining(exceedances_controlled, exceedances_controlled_low, exceedances_controlled_high) "
        "from building_ranking where rank = 1",
    )
    assert "(90 % range" in remaining
    assert f". {remaining}." in said(app)
    assert f"{why}." in said(app)
    assert len([box for box in app.expander if box.label.startswith("History and source rows")]) == items


def test_a_building_stands_where_most_of_it_is_listed_and_says_what_is_listed_elsewhere(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ref, building_ref, other = one(
        sample_result,
        "select property_ref, building_ref, p.area from properties as p inner join buildings as b using (building_ref) "
        "where b.properties > 9 and p.area <> b.area order by property_ref limit 1",
    )
    (most,) = one(
        sample_result,
        f"select area from properties where building_ref = '{building_ref}' group by area "
        "order by count(*) desc, area limit 1",
    )
    app = page(sample_folder, monkeypatch, "building", building=building_ref, property=ref)
    assert f"{most}, as most of its homes and parts are listed; 1 in {other}. Reference {building_ref}." in said(app)
    assert f"most properties of the building are listed in {most}, this one in {other}; the building" in said(app)
    assert f"on the map the property stands in {most}, listed in {other}; the property list" in said(app)
    neighbour = page(sample_folder, monkeypatch, "building", building=building_ref)
    assert "on the map the property stands in" not in said(neighbour)


def test_a_building_page_takes_as_long_as_what_it_shows(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = portfolios.ask(
        sample_result,
        "select building_ref, n_items from building_ranking inner join (select building_ref, count(*) as n_items "
        "from items where status = 'present' group by building_ref having count(distinct property_ref) = 1) "
        "using (building_ref) where properties = 1 order by n_items, building_ref",
    )
    (few, n_few), (many, n_many) = found[0], found[-1]
    assert (n_few, n_many > 10) == (1, True)
    asked = listening(monkeypatch)
    for building_ref in (few, many):
        app = page(sample_folder, monkeypatch, "building", building=building_ref)
        asked.clear()
        app.run()
        folded, questions = said(app), Counter(asked)
        assert max(questions.values()) <= 2  # whatever the number of its items
        asked.clear()
        assert len(said(unfold(app))) > 5 * len(folded)
        assert set(asked) > set(questions)


def test_the_queries_behind_all_figures_of_a_building_page_are_one_click_away(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (building_ref,) = one(sample_result, "select building_ref from building_ranking where rank = 1")
    asked = listening(monkeypatch)
    app = unfold(page(sample_folder, monkeypatch, "building", building=building_ref))
    shown = {tuple(where.split("/")) for where in re.findall(r">queries/(\w+/\w+)[.]sql<", said(app))}
    of_the_frame = {"latest_run", "correctable_fields"}
    assert {name for stage, name in shown if stage == "answers"} >= set(asked[asked.index("building") :]) - of_the_frame
    of_scores = {"item_ranking", "building_ranking", "priority_factors", "item_conditions", "sub_scores"}
    assert {name for stage, name in shown if stage != "answers"} >= of_scores | {"exposures", "item_exposures"}
    texts = {code.value for code in app.code}
    assert {(queries.load(*where).text.strip() in texts) for where in shown} == {True}


def test_each_table_of_a_building_page_can_be_taken_away(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    building_ref, property_ref, items = one(
        sample_result,
        "select building_ref, property_ref, (select count(*) from items where building_ref = e.building_ref) "
        "from entries as e inner join possible_items using (property_ref) where e.building_ref <> e.property_ref "
        "group by all having count(*) filter (where item_id is null) > 0 and count(item_id) > 0 order by all limit 1",
    )
    offered: dict[str, Callable[[], str]] = {}
    draw = st.download_button

    def noted(label: str, write: Callable[[], str], **how: Any) -> bool:
        offered[how["file_name"]] = write
        return draw(label, write, **how)

    monkeypatch.setattr(st, "download_button", noted)
    app = unfold(page(sample_folder, monkeypatch, "building", building=building_ref, property=property_ref))
    taken = {name: list(DictReader(StringIO(write()))) for name, write in offered.items()}
    assert len(taken[f"items_{building_ref}.csv"]) == items
    tables_of = {
        "Visit": ("visits", "no_items"),
        "Heading": ("source_rows",),
        "Group": ("priority_factors", "priority_groups"),
        "Activity": ("activities", "exposure"),
        "Act": ("guidance",),
        "Material": ("possible",),
        "Sample": ("results",),
    }
    shown, written = Counter[str](), Counter[str]()
    for head, rows in tables(app):
        total = sum(row[0] == "all four" for row in rows)
        shown[head[0]] += len(rows) * (1 if head[-1] != "Minutes" else 0) - total
    for name, lines in taken.items():
        for first, kinds in tables_of.items():
            written[first] += len(lines) * name.startswith(kinds)
    assert written == shown
    assert len(shown) >= 6


def test_what_was_identified_stands_with_the_day_of_its_analysis(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    building_ref, ref, item_id, sample, day = one(
        sample_result,
        "select i.building_ref, i.property_ref, i.item_id, e.sample_ref, strftime(s.analysed_on, '%-d %b %Y') "
        "from items as i inner join entries as e on i.evidence_entry_id = e.entry_id inner join samples as s "
        "on i.property_ref = s.property_ref and s.entry_ids = [e.entry_id] where i.identification = 'identified' "
        "and len(s.asbestos_types) > 0 and s.analysed_on is not null order by item_id limit 1",
    )
    app = page(sample_folder, monkeypatch, "building", building=building_ref, property=ref, item=item_id)
    assert f"(analysed {day}, sample {sample})." in said(app)


def test_a_building_page_tells_why_rows_are_one_item_and_what_they_contradict(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    visits = {
        "2020.csv": [portfolios.row(Survey_Date="2020-01-01", Location="Lounge", Extent="2 m2", Comments="")],
        "2022.csv": [portfolios.row(Survey_Date="2022-01-01", Location="Lounge", Extent="8 m2", Comments="")],
        "2024.csv": [
            portfolios.row(
                Survey_Date="2024-01-01", Location="Living room", Extent="8 m2", Comments="Removed, says tenant"
            )
        ],
    }
    portfolios.build(portfolios.write(tmp_path, visits))
    text = said(unfold(page(tmp_path, monkeypatch, "building", building="H1"), "History"))
    assert "Said to be removed, but no evidence is named: presume that it is there until that is shown." in text
    assert "Sources contradict each other: its extent changes far between two visits (2 to 8 m2)" in text
    assert "Same property, room, product and kind of place (100\N{NO-BREAK SPACE}% sure)" in text
    assert "same extent" in text


def test_a_building_page_shows_what_laboratories_found_beside_what_the_register_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    register = {"r.csv": [portfolios.row(Status="NAD", Asbestos_Type="")]}
    usual = {"Property Ref": "H1", "Date Analysed": "2025-03-09", "Laboratory": "Merely Analytical"}
    lab = [usual | {"Sample": "S1", "Result": "Amosite"}, usual | {"Sample": "S7", "Result": "NADIS"}]
    portfolios.build(portfolios.write(tmp_path, register, samples={"lab.csv": lab}))
    text = said(unfold(page(tmp_path, monkeypatch, "building", building="H1"), "History"))
    assert "Laboratory: amosite in sample S1 (9 Mar 2025 by Merely Analytical; samples/lab.csv, row 2)." in text
    assert "identified by the laboratory; register: not detected" in text
    assert "Sources contradict each other: a register and the laboratory differ" in text
    assert "Results of laboratories about no item" in text
    assert "samples/lab.csv, row 3" in text


def test_a_building_page_lists_what_cannot_wait_and_what_each_work_adds_up_to(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (building_ref,) = one(
        sample_result,
        "select building_ref from building_ranking where properties > 1 order by items_act_now desc, rank limit 1",
    )
    urgent = portfolios.ask(
        sample_result,
        "select i.item_id, i.property_ref, i.act_now_why from items as i inner join item_ranking using (item_id) "
        f"where act_now and building_ref = '{building_ref}' order by rank",
    )
    app = page(sample_folder, monkeypatch, "building", building=building_ref)
    listed = re.findall(r'<li><a href="building\?building=\w+&amp;property=(\w+)&amp;item=(\w+)"', said(app))
    assert listed == [(property_ref, item_id) for item_id, property_ref, _ in urgent]
    (known, possible, controlled) = one(
        sample_result,
        "select exceedances_known, exceedances_possible, exceedances_controlled from building_ranking "
        f"where building_ref = '{building_ref}'",
    )
    unfold(app, "Exposure by activity in the whole building")
    works = next(rows for head, rows in tables(app) if "Of that, at recorded items" in head)
    for column, total in ((1, known + possible), (2, known), (3, possible), (4, controlled)):
        assert sum(number(row[column].lstrip("<")) for row in works) == pytest.approx(total, rel=0.05)
    for row in works:
        for cell in (row[1], row[4]):
            point, *ends = map(float, re.findall(r"[\d.]+", cell))
            assert ends == sorted([*ends, point])[::2] or cell == "<0.0001"


def test_one_is_said_in_the_singular_and_each_home_by_what_is_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stock = [
        home | {"Address": f"Flat {n}, Elm Court, Alder", "Block": "Elm Court"}
        for n, home in enumerate(portfolios.HOMES[:2], start=1)
    ]
    portfolios.build(portfolios.write(tmp_path, {"r.csv": [portfolios.row(Extent="1 nr")]}, stock))
    (building_ref,) = one(tmp_path / run.RESULT, "select building_ref from buildings")
    app = page(tmp_path, monkeypatch, "building", building=building_ref)
    assert "1 of its 2 homes and parts was surveyed; recorded there: 1 item, none to act on now." in said(app)
    assert "Written as “Kitchen”. Extent 1 piece." in said(app)
    assert [box.label for box in app.expander if box.label.startswith("History")] == ["History and source rows (1 row)"]
    (homes,) = (box.options for box in app.selectbox if box.label == "Home or part")
    assert homes[0].startswith("Flat 1: 1 item, worst material score")
    assert homes[1] == "Flat 2: never surveyed"


def test_an_address_names_a_home_and_one_item_in_it(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    building_ref, property_ref, item_id = one(
        sample_result,
        "select building_ref, property_ref, max(item_id) from items where building_ref <> property_ref "
        "group by building_ref, property_ref having count(*) > 2 order by building_ref, property_ref desc limit 1",
    )
    where = {"building": building_ref, "property": property_ref, "item": item_id, "back": "area=North&by=exposure"}
    app = page(sample_folder, monkeypatch, "building", **where)
    assert f"Reference {property_ref}" in said(app)
    assert len([box for box in app.expander if box.label.startswith("History and source rows")]) == 1
    assert '<a href=".?area=North&amp;by=exposure" target="_self">Back to the list</a>' in said(app)
    app = page(sample_folder, monkeypatch, "building", **where | {"property": "nowhere", "back": "javascript:alert(1)"})
    assert "There is no home or part nowhere in this building" in said(app)
    assert 'href=".?" target' in said(app)
    assert 'href="javascript' not in said(app)


def test_a_search_for_a_flat_opens_that_flat_in_its_block(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    uprn, property_ref = one(
        sample_result,
        "select max(uprn), max(property_ref) from properties where part = 'home' and building_ref <> property_ref "
        "group by building_ref, property_ref order by building_ref, property_ref desc limit 1",
    )
    app = page(sample_folder, monkeypatch, "building", find=str(uprn))
    assert f"Reference {property_ref}, UPRN {uprn}" in said(app)


def test_a_converted_home_says_how_old_its_oldest_part_is(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    building_ref, property_ref, built, oldest = one(
        sample_result,
        "select building_ref, property_ref, built_year, oldest_year from properties where oldest_year < built_year "
        "order by property_ref limit 1",
    )
    text = said(page(sample_folder, monkeypatch, "building", building=building_ref, property=property_ref))
    assert f"built {built}, oldest part {oldest}" in text
