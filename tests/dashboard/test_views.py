"""Each page says what the result holds, shows text of registers as text, and has a state for nothing to show."""

import os
import re
from html import unescape
from math import log, sqrt
from pathlib import Path
from statistics import NormalDist
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

import dashboard
from dashboard import data, parts
from tests import portfolios

APP = Path(dashboard.__file__).with_name("app.py")
PAGES = ("portfolio", "building", "activities", "data_in")
WITH_TEXT_OF_REGISTERS = ("portfolio", "building", "data_in")
HOSTILE = "<script>alert('x')</script> [link](http://example.org) **bold** $x^2$"
ESCAPED = "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; [link](http://example.org) **bold** $x^2$"


def page(folder: Path, monkeypatch: pytest.MonkeyPatch, name: str = "portfolio", **parameters: str) -> AppTest:
    """A page of the dashboard of a portfolio, as first drawn."""
    monkeypatch.setenv(data.FOLDER, str(folder))
    app = AppTest.from_file(str(APP), default_timeout=30)
    if name != "portfolio":
        app.run()
        app.switch_page(f"views/{name}.py")
    app.query_params.update(parameters)
    app.run()
    assert not app.exception
    return app


def said(app: AppTest) -> str:
    """Everything that a page wrote as markup, but for its style sheet."""
    written = [element.proto.body for element in app.get("html")]
    return "\n".join(body for body in written if not body.startswith("<style>"))


def tables(app: AppTest) -> list[tuple[list[str], list[list[str]]]]:
    """The headings and rows of every table that a page wrote as markup."""
    return [
        (cells(head), [cells(row) for row in re.findall(r"<tr>(.*?)</tr>", body, re.DOTALL)])
        for head, body in re.findall(r"<thead>(.*?)</thead><tbody>(.*?)</tbody>", said(app), re.DOTALL)
    ]


def cells(row: str) -> list[str]:
    return [unescape(re.sub(r"<[^>]+>", "", cell)) for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)]


def number(text: str) -> float:
    """The number that a text begins with."""
    return float(text.split()[0].rstrip(";,"))


def one(database: Path, question: str) -> Any:
    return portfolios.ask(database, question)[0]


def test_the_portfolio_page_counts_what_the_result_holds(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = said(page(sample_folder, monkeypatch))
    items, buildings = one(sample_result, "select count(*), count(distinct building_ref) from items where act_now")
    (present,) = one(sample_result, "select count(*) from items where status not in ('removed', 'not_detected')")
    known, possible = one(
        sample_result, "select sum(exceedances_known), sum(exceedances_possible) from building_ranking"
    )
    (properties,) = one(sample_result, "select count(*) from properties")
    (seen,) = one(
        sample_result,
        "select count(distinct property_ref) from entries as e where identification <> 'no_access' "
        "and not exists (from doubts as d where e.path = d.path and e.sheet is not distinct from d.sheet "
        "and e.row_number = d.row_number and d.reason like '%was not surveyed by it%')",
    )
    assert f"{items:,} items in {buildings:,} buildings need action now." in text
    assert f"{properties - seen:,} properties of {properties:,}" in text
    assert f"{known:,.0f} at {present:,} recorded items and {possible:,.0f} at what was never looked for" in text
    low, high = one(sample_result, "from portfolio_ranges")
    assert f"(90 % range {low:,.0f} to {high:,.0f})" in text
    assert "the truth is likelier to lie above them than below" in text
    assert "as of 1 Oct 2026" in text


def test_the_portfolio_page_of_an_area_counts_its_own(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    area, urgent = one(
        sample_result,
        "select area, count(distinct building_ref) from items inner join buildings using (building_ref) "
        "where act_now group by area order by count(*) desc, area",
    )
    (buildings,) = one(sample_result, f"select count(*) from buildings where area = '{area}'")
    app = page(sample_folder, monkeypatch, area=area)
    assert f"of {buildings:,} buildings ({urgent:,} with something to act on now)" in said(app)


def test_the_portfolio_page_ranks_by_exposure_with_ranges(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    reason, low, high = one(
        sample_result,
        "select exposure_reason, rank_low, rank_high from building_ranking where rank_by_exposure = 1",
    )
    text = said(page(sample_folder, monkeypatch, by="exposure"))
    assert f"{reason}." in text
    place = f"{low}–{high}" if low < high else str(low)
    assert f'<span class="rank">{place}</span>' in text


def test_the_list_by_score_shows_the_total_that_it_is_ordered_by(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    totals = portfolios.ask(
        sample_result, "select worst_total, worst_total_is_sure from building_ranking order by rank limit 40"
    )
    shown = re.findall(r'<span class="chip [^>]*>([^<]*)</span>', said(page(sample_folder, monkeypatch)))
    assert shown[:40] == [f"{total}" if is_sure else f"≤{total}" for total, is_sure in totals]


def test_a_filtered_page_speaks_of_what_is_chosen_and_promises_no_range(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    chosen = "building_parts where product = 'loose_fill' and work_type = 'demolition'"
    (most,) = one(
        sample_result, f"select figure(max(x)) from (select sum(exceedances) as x from {chosen} group by all)"
    )
    (buildings,) = one(sample_result, f"select count(distinct building_ref) from {chosen}")
    app = page(sample_folder, monkeypatch, by="exposure", product="loose fill insulation", work_type="Demolition")
    text = said(app)
    assert f"of {buildings:,} buildings" in text
    assert "they have no range" in text
    assert "90 % range" not in text.partition("Where they stand")[0].rpartition("Buildings by expected exposure")[2]
    reasons = re.findall(r'<span class="why">([^<]*)</span>', text)
    assert reasons[0].startswith("Under 0.0001" if most == "under 0.0001" else f"{most} exceedances")
    assert len(reasons) > 10
    assert all("at possible loose fill" in reason or "at loose fill" in reason for reason in reasons)
    assert all("demolishing" in reason and ";" not in reason for reason in reasons)


def test_sentences_of_sql_and_pages_write_a_figure_alike(sample_result: Path) -> None:
    values = [0, 0.00005, 0.0001, 0.00123, 0.0084, 0.5, 1, 9.94, 9.96, 10, 12.5, 99.5, 123, 1234.5, 123456.7]
    written = [one(sample_result, f"select figure({value}::double)")[0] for value in values]
    assert written == [parts.figure(value).replace("<", "under ") for value in values]


def test_the_activities_page_adds_up_to_the_portfolio(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (total,) = one(sample_result, "select sum(exceedances_known + exceedances_possible) from building_ranking")
    (pairs,) = one(sample_result, "select sum(exceedances) from work_pairs")
    assert pairs == pytest.approx(total, rel=1e-9)
    app = page(sample_folder, monkeypatch, "activities")
    assert f"All work together comes to {total:,.0f} exceedances of the control limit a year" in said(app)


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
    assert f"{why}." in said(app)
    assert len([box for box in app.expander if box.label.startswith("History and source rows")]) == items


def test_the_exposure_of_an_item_can_be_recomputed_from_what_its_page_says(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (building_ref,) = one(
        sample_result,
        "select i.building_ref from items as i inner join building_ranking as b using (building_ref) "
        "where i.identification = 'presumed' and i.status = 'present' and b.properties = 1 and b.items > 1 "
        "order by b.rank limit 1",
    )
    app = page(sample_folder, monkeypatch, "building", building=building_ref)
    chances = [number(text) for text in re.findall(r"Chance of being there: ([^<]*)", said(app))]
    found = tables(app)
    shown = [rows for head, rows in found if head[-2:] == ["Exceedances a year", "With control"]]
    rested = [rows for head, rows in found if head[-1] == "Minutes"]
    assert len(chances) == len(shown) == len(rested) >= 2
    assert min(chances) < 1
    for chance, exposures, bases in zip(chances, shown, rested, strict=True):
        for exposure, (_, rate, contact, reach, share, touched, release, minutes) in zip(exposures, bases, strict=True):
            encounters = number(rate) * (1 - (1 - number(contact)) ** number(reach)) * number(share)
            assert encounters == pytest.approx(number(touched), rel=0.02)
            gm, gsd, factor = (number(text) for text in release.split(";")[:3])
            spread = sqrt(log(gsd) ** 2 + (log(factor) / 1.645) ** 2)
            over = NormalDist().cdf((log(gm * min(number(minutes), 240) / 240) - log(0.1)) / spread)
            if exposure[-2].startswith("<"):
                assert encounters * chance * over < 0.0001
            else:
                assert encounters * chance * over == pytest.approx(number(exposure[-2]), rel=0.07)


def test_the_priority_score_of_an_item_can_be_recomputed_from_what_its_page_says(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (building_ref,) = one(sample_result, "select building_ref from building_ranking where rank = 1")
    found = tables(page(sample_folder, monkeypatch, "building", building=building_ref))
    factors = [rows for head, rows in found if head[:2] == ["Group", "Factor"]]
    averages = [rows for head, rows in found if head[:2] == ["Group", "Average"]]
    assert len(factors) == len(averages) >= 1
    for ten, (*four, total) in zip(factors, averages, strict=True):
        assert (len(ten), len(four)) == (10, 4)
        for group, average, rounded, _ in four:
            scores = [int(score) for of, _, score, *_ in ten if of == group]
            assert average == f"{sum(scores)} / {len(scores)} = {sum(scores) / len(scores):.3g}"
            assert int(rounded) == -(-sum(scores) // len(scores))  # rounded up, as the sample is built
        assert int(total[2]) == sum(int(row[2]) for row in four)


def test_the_data_page_counts_every_row(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = page(sample_folder, monkeypatch, "data_in")
    read, used, aside = one(
        sample_result, "select sum(rows_read), sum(rows_used), sum(rows_set_aside) from source_files"
    )
    (listed,) = one(sample_result, "select count(*) from set_aside_rows")
    assert f"{read:,} rows handed in: {used:,} used, {aside:,} set aside with a reason." in said(app)
    assert app.dataframe[0].value["rows_read"].sum() == read
    assert len(app.dataframe[1].value) == listed
    assert app.dataframe[1].value["n_rows"].sum() == aside
    assert f"{aside:,} rows. A sheet or file set aside whole is one line." in said(app)


def test_the_data_page_shows_how_any_kind_of_table_was_read(
    sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    files = page(sample_folder, monkeypatch, "data_in").selectbox(key="file").options
    assert {name.split("/")[0] for name in files} == {"registers", "samples", "stock", "works"}
    name = next(name for name in files if name.startswith("works/"))
    text = said(page(sample_folder, monkeypatch, "data_in", file=name))
    assert re.search(r"[1-9]\d* of its \d+ columns are read", text)


def test_the_data_page_counts_every_doubt_and_lists_where_one_holds(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (every,) = one(sample_result, "select count(*) from doubts")
    app = page(sample_folder, monkeypatch, "data_in")
    counted = next(rows for head, rows in tables(app) if head[-2:] == ["Open", "Accepted"])
    assert sum(int(row[3].replace(",", "")) for row in counted) == every
    assert f"{every:,} doubts about fields of rows" in said(app)
    doubt, rows = one(sample_result, "select doubt, count(*) from doubts group by doubt order by count(*) desc, doubt")
    assert app.selectbox(key="doubt").value == doubt
    assert len(app.dataframe[2].value) == rows


def test_the_data_page_says_how_much_was_surveyed_and_lists_what_never_was(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (properties,) = one(sample_result, "select count(*) from properties")
    (seen,) = one(sample_result, "select count(*) from surveyed_properties where is_surveyed")
    app = page(sample_folder, monkeypatch, "data_in")
    shares = [rows for head, rows in tables(app) if head[-2:] == ["Share", "Never surveyed"]]
    assert len(shares) == 2
    for rows in shares:
        assert sum(int(row[1].replace(",", "")) for row in rows) == properties
        assert sum(int(row[2].replace(",", "")) for row in rows) == seen
    assert len(app.dataframe[3].value) == properties - seen
    area, never = shares[0][0][0], int(shares[0][0][4])
    assert len(page(sample_folder, monkeypatch, "data_in", never_area=area).dataframe[3].value) == never


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A portfolio whose every text is hostile, built."""
    register = [
        portfolios.row(Location=HOSTILE, Comments=HOSTILE, Surveyor=HOSTILE, Material=f"AIB {HOSTILE}"),
        portfolios.row(Location=HOSTILE, Status="No access", Material="", Comments=HOSTILE, Surveyor=HOSTILE),
        portfolios.row(Property_Ref="X9", Comments=HOSTILE, Surveyor=HOSTILE),
    ]
    stock = [home | {"Address": HOSTILE, "Area": HOSTILE} for home in portfolios.HOMES]
    lab = [
        {"Sample": sample, "Property Ref": "H1", "Result": "Amosite", "Material": HOSTILE, "Laboratory": HOSTILE}
        for sample in ("S1", HOSTILE + "9")
    ]
    folder = portfolios.write(tmp_path_factory.mktemp("hostile"), {"register.csv": register}, stock, {"lab.csv": lab})
    portfolios.build(folder)
    return folder


@pytest.mark.parametrize("name", WITH_TEXT_OF_REGISTERS)
def test_text_of_a_register_is_never_markup(name: str, hostile: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    app = page(hostile, monkeypatch, name, **({"building": "H1"} if name == "building" else {}))
    assert "<script>" not in said(app)
    assert ESCAPED in said(app)
    assert [element.value for element in app.markdown if HOSTILE in element.value] == []


@pytest.mark.parametrize("name", PAGES)
def test_without_a_result_each_page_says_how_to_make_one(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = said(page(tmp_path, monkeypatch, name))
    assert "There is nothing to show yet" in text
    assert f"Run: undisturbed build {tmp_path}" in text
    assert "they do not make a home safe" in text


def test_a_file_changed_after_the_build_is_told(hostile: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "were changed after these figures were made" not in said(page(hostile, monkeypatch))
    register = hostile / "registers" / "register.csv"
    later = (hostile / "portfolio.duckdb").stat().st_mtime + 60
    os.utime(register, (later, later))
    assert "were changed after these figures were made" in said(page(hostile, monkeypatch))


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
    text = said(page(tmp_path, monkeypatch, "building", building="H1"))
    assert "Said to be removed, but no evidence is named: presume that it is there until that is shown." in text
    assert "Sources contradict each other: its extent changes far between two visits (2 to 8 m2)" in text
    assert "Same property, room, product and kind of place (100% sure)" in text
    assert "same extent" in text


def test_a_building_page_shows_what_laboratories_found_beside_what_the_register_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    register = {"r.csv": [portfolios.row(Status="NAD", Asbestos_Type="")]}
    usual = {"Property Ref": "H1", "Date Analysed": "2025-03-09", "Laboratory": "Merely Analytical"}
    lab = [usual | {"Sample": "S1", "Result": "Amosite"}, usual | {"Sample": "S7", "Result": "NADIS"}]
    portfolios.build(portfolios.write(tmp_path, register, samples={"lab.csv": lab}))
    text = said(page(tmp_path, monkeypatch, "building", building="H1"))
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
    (known, possible) = one(
        sample_result,
        f"select exceedances_known, exceedances_possible from building_ranking where building_ref = '{building_ref}'",
    )
    works = next(rows for head, rows in tables(app) if "At recorded items" in head)
    for column, total in ((1, known + possible), (2, known), (3, possible)):
        assert sum(number(row[column].lstrip("<")) for row in works) == pytest.approx(total, rel=0.05)


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


def test_the_activities_page_lists_every_figure_and_finds_them_by_words(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (every,) = one(sample_result, "select count(*) from parameters")
    app = page(sample_folder, monkeypatch, "activities")
    assert len(app.dataframe[0].value) == every
    point, low, high, n = one(
        sample_result,
        "select point, low, high, n from rates where work_type = 'boiler_heating_replacement' and dwelling = 'house' "
        "and area = 'Merrowhythe'",
    )
    found = page(sample_folder, monkeypatch, "activities", words="Boiler/heating replacement, house, Merrowhythe")
    assert found.dataframe[0].value[["point", "low", "high", "n"]].to_numpy().tolist() == [[point, low, high, n]]
    nothing = page(sample_folder, monkeypatch, "activities", words="no such word")
    assert "No figure has these words" in said(nothing)


def test_what_an_address_asks_for_in_vain_is_told(sample_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = said(page(sample_folder, monkeypatch, product="Lagging", area="Merrowhythe"))
    assert "Product: the address asks for “Lagging”, which is none of the choices" in text
    assert "Area: the address asks" not in text
    text = said(page(sample_folder, monkeypatch, "activities", work="Juggling"))
    assert "One kind of work: the address asks for “Juggling”" in text


def test_where_a_part_is_listed_the_headline_says_that_it_is_of_the_whole(
    sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "<h1>Whole portfolio: " in said(page(sample_folder, monkeypatch, area="Merrowhythe"))
    assert "Whole portfolio" not in said(page(sample_folder, monkeypatch))


@pytest.mark.parametrize("name", PAGES)
def test_every_page_has_the_cautions_in_short_above_and_in_full_below(
    name: str, sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = said(page(sample_folder, monkeypatch, name))
    assert text.index("presume asbestos and do not disturb it.") < text.index("<h1>")
    assert text.rindex("have it sampled; sight never identifies") > text.rindex("<h1>")
