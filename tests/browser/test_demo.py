"""The demo in a real browser: what a user sees first, drawn, offline, and true to the files."""

import csv
import re
from io import BytesIO, StringIO
from pathlib import Path
from typing import Literal
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest
from PIL import Image
from playwright.sync_api import Locator

from dashboard import map, theme
from pipelines import run
from tests import portfolios
from tests.browser.conftest import PICTURES, Seen
from tests.browser.scripts import CUT_OR_BROKEN, LOADED, TOPMOST_MARK, ZOOMED
from tests.browser.served import NEEDS_CHROMIUM
from tests.browser.sources import worst_of_a_house, written
from tests.dashboard.test_theme import FOR_TEXT, contrast

LEAST_COLOURS = 5

pytestmark = [NEEDS_CHROMIUM, pytest.mark.usefixtures("offline_and_sound")]


def test_the_map_is_drawn_with_its_areas_and_buildings(seen: Seen) -> None:
    seen.page.goto(seen.root)
    seen.page.wait_for_selector("canvas.maplibregl-canvas")
    seen.page.wait_for_function(LOADED)
    seen.page.wait_for_timeout(1_000)
    picture = seen.page.locator(".js-plotly-plot").screenshot(path=PICTURES / "map.png")
    seen.page.screenshot(path=PICTURES / "portfolio.png")
    colours = Image.open(BytesIO(picture)).convert("RGB").getcolors(1 << 24)
    assert colours is not None
    assert len([colour for pixels, colour in colours if pixels > 50]) >= LEAST_COLOURS


def test_a_score_is_traced_from_an_address_to_its_row_in_the_file(seen: Seen, demo: Path) -> None:
    address, score, path, row_number, room = worst_of_a_house(demo)
    seen.page.goto(f"{seen.root}/building")
    seen.page.get_by_label("Find a building").fill(address)
    seen.page.get_by_label("Find a building").press("Enter")
    seen.page.get_by_role("heading", name=address, level=1).wait_for()
    item = seen.page.locator(".item").filter(has_text=f"Written as “{room}”").first
    assert f"Material score {score} of 12" in item.inner_text()
    seen.page.get_by_text("History and source rows").first.click()
    seen.page.get_by_role("heading", name=f"{path}, row {row_number}", exact=True).first.wait_for()
    table = seen.page.locator(".u", has=seen.page.get_by_role("heading", name=f"{path}, row {row_number}", exact=True))
    rows = table.first.locator("tbody tr").all()
    shown = [[cell.text_content() for cell in row.locator("td").all()][:2] for row in rows]
    seen.page.screenshot(path=PICTURES / "building.png", full_page=True)
    assert shown == written(demo / path, row_number)


def test_a_filter_stands_in_the_address_and_a_link_shows_the_same(seen: Seen, demo: Path) -> None:
    area, buildings = portfolios.ask(
        demo / run.RESULT, "select area, count(*) from buildings group by area order by count(*) desc, area"
    )[0]
    seen.page.goto(seen.root)
    seen.page.get_by_label("Area").click()
    seen.page.get_by_role("option", name=area).click()
    seen.page.wait_for_url(f"{seen.root}/?area={area}")
    seen.page.get_by_text(f"of {buildings} buildings").wait_for()
    seen.page.goto(f"{seen.root}/?area={area}")
    seen.page.get_by_text(f"of {buildings} buildings").wait_for()


def test_a_building_of_the_list_opens_and_back_returns(seen: Seen, demo: Path) -> None:
    ref, name = portfolios.ask(
        demo / run.RESULT,
        "select building_ref, name from building_ranking inner join buildings using (building_ref) where rank = 1",
    )[0]
    seen.page.goto(seen.root)
    seen.page.locator("ol.ranked a").first.click()
    seen.page.wait_for_url(f"{seen.root}/building?building={ref}")
    seen.page.get_by_role("heading", name=name, level=1).wait_for()
    seen.page.go_back()
    seen.page.locator("ol.ranked a").first.wait_for()


def test_a_building_chosen_on_the_map_opens(seen: Seen) -> None:
    seen.page.goto(seen.root)
    seen.page.wait_for_selector("canvas.maplibregl-canvas")
    seen.page.wait_for_function(LOADED)
    seen.page.wait_for_timeout(1_000)
    seen.page.locator(".js-plotly-plot").scroll_into_view_if_needed()
    x, y = seen.page.evaluate(TOPMOST_MARK)
    seen.page.mouse.move(x - 4, y)
    seen.page.mouse.move(x, y)
    said = seen.page.locator(".hoverlayer .hovertext").first.text_content()
    seen.page.mouse.click(x, y)
    seen.page.get_by_text(re.compile(r"Number [\d,]+ of [\d,]+ in the order in which to act\.")).wait_for()
    assert said is not None
    assert said.startswith(f"{seen.page.get_by_role('heading', level=1).first.inner_text()}: ")


def test_a_ground_plan_chosen_when_near_opens_its_building(seen: Seen, demo: Path) -> None:
    ref, longitude, latitude = portfolios.ask(
        demo / run.RESULT,
        "select b.building_ref, b.longitude, b.latitude from buildings as b inner join footprints using (building_ref) "
        "inner join building_ranking using (building_ref) order by homes desc, building_ref limit 1",
    )[0]
    seen.page.goto(seen.root)
    seen.page.wait_for_selector("canvas.maplibregl-canvas")
    seen.page.wait_for_function(LOADED)
    seen.page.locator(".js-plotly-plot").scroll_into_view_if_needed()
    x, y = seen.page.evaluate(ZOOMED, [longitude, latitude])
    seen.page.wait_for_timeout(1_500)
    seen.page.screenshot(path=PICTURES / "near.png")
    beside_the_mark = map.DIAMETER_OF_STEP[-1] + map.RING
    seen.page.mouse.move(x + beside_the_mark - 4, y)
    seen.page.mouse.move(x + beside_the_mark, y)
    seen.page.mouse.click(x + beside_the_mark, y)
    seen.page.wait_for_url(f"{seen.root}/building?building={ref}")


def test_the_figures_of_the_list_are_wholly_in_sight(seen: Seen) -> None:
    seen.page.goto(f"{seen.root}/?work_type=Roof+covering&by=exposure")
    seen.page.locator("ol.ranked a").first.wait_for()
    cut = seen.page.locator("ol.ranked .chip").evaluate_all(
        "chips => chips.filter(chip => chip.scrollWidth > chip.clientWidth || chip.getBoundingClientRect().right > "
        "chip.nextElementSibling.getBoundingClientRect().left).map(chip => chip.textContent)"
    )
    assert cut == []


@pytest.mark.parametrize("name", ["light", "dark"])
def test_the_words_of_a_chart_are_legible_in_each_theme(seen: Seen, name: Literal["light", "dark"]) -> None:
    seen.page.emulate_media(color_scheme=name)
    seen.page.goto(f"{seen.root}/activities")
    seen.page.locator(".js-plotly-plot .ytick text").first.wait_for()
    inks = seen.page.locator(".js-plotly-plot text").evaluate_all(
        "texts => texts.filter(text => text.textContent.trim()).map(text => getComputedStyle(text).fill)"
    )
    seen.page.screenshot(path=PICTURES / f"activities_{name}.png", full_page=True)
    seen.page.emulate_media(color_scheme="light")
    shown = {"#" + "".join(f"{int(part):02x}" for part in re.findall(r"\d+", ink)[:3]) for ink in inks}
    assert [ink for ink in shown if contrast(ink, theme.palette(name).background) < FOR_TEXT] == []


def test_a_home_that_is_chosen_stands_in_the_address_and_the_way_back_keeps_the_filters(seen: Seen, demo: Path) -> None:
    ref, name, area, last = portfolios.ask(
        demo / run.RESULT,
        "select b.building_ref, b.name, b.area, max(p.address) from buildings as b inner join properties as p "
        "using (building_ref) inner join building_ranking as r using (building_ref) "
        "where r.properties > 1 and r.items_act_now > 1 group by all order by min(r.rank) limit 1",
    )[0]
    (chosen,) = portfolios.ask(demo / run.RESULT, f"select property_ref from properties where address = '{last}'")[0]
    seen.page.goto(f"{seen.root}/?{urlencode({'area': area})}")
    seen.page.locator("ol.ranked a").filter(has_text=name).first.click()
    seen.page.get_by_role("heading", name=name, level=1).wait_for()
    seen.page.get_by_label("Home or part").click()
    seen.page.get_by_role("option", name=f"{last.split(', ')[0]}:").click()
    seen.page.get_by_role("heading", name=last, level=2).wait_for()
    asked = parse_qs(urlsplit(seen.page.url).query)
    assert (asked["building"], asked["property"]) == ([ref], [chosen])
    seen.page.reload()
    seen.page.get_by_role("heading", name=last, level=2).wait_for()
    seen.page.locator("ol.urgent a").last.click()
    seen.page.get_by_text("Show all").wait_for()
    assert seen.page.locator(".item").count() == 1
    seen.page.get_by_text("Back to the list").click()
    seen.page.locator("ol.ranked a").first.wait_for()
    assert parse_qs(urlsplit(seen.page.url).query) == {"area": [area]}


@pytest.fixture
def filtered(seen: Seen, demo: Path) -> tuple[str, Locator]:
    """The portfolio page with one area chosen: which, and the words that say how many buildings it has."""
    area, buildings = portfolios.ask(
        demo / run.RESULT, "select area, count(*) from buildings group by area order by count(*) desc, area"
    )[0]
    listed = seen.page.get_by_text(f"of {buildings} buildings")
    seen.page.goto(f"{seen.root}/?{urlencode({'area': area})}")
    listed.wait_for()
    return area, listed


def test_the_tabs_lead_back_to_what_was_chosen_until_it_is_chosen_anew(
    seen: Seen, filtered: tuple[str, Locator]
) -> None:
    area, listed = filtered
    tab(seen, "Activities", "What the total hangs on")
    tab(seen, "Portfolio", "Where they stand")
    listed.wait_for()
    assert parse_qs(urlsplit(seen.page.url).query) == {"area": [area]}
    seen.page.get_by_label("Area").click()
    seen.page.get_by_role("option", name="any", exact=True).click()
    listed.wait_for(state="detached")
    tab(seen, "Activities", "What the total hangs on")
    tab(seen, "Portfolio", "Where they stand")
    assert urlsplit(seen.page.url).query == ""


def test_the_sentence_leads_to_the_items_and_from_one_of_them_back(
    seen: Seen, demo: Path, filtered: tuple[str, Locator]
) -> None:
    area, _ = filtered
    (items,) = portfolios.ask(
        demo / run.RESULT,
        f"select count(*) from items inner join buildings using (building_ref) where act_now and area = '{area}'",
    )[0]
    seen.page.get_by_text("List of the items to act on now").click()
    seen.page.get_by_role("heading", name=f"Of what is chosen: {items} items").wait_for()
    seen.page.get_by_text(f"All as csv ({items} items)").wait_for()  # below the list, so that is drawn
    assert seen.page.locator("tbody tr").count() == items
    seen.page.screenshot(path=PICTURES / "act_now.png")
    item = seen.page.locator("tbody tr").last.locator("a").first
    product = item.inner_text()
    item.click()
    seen.page.get_by_text("Back to the list").wait_for()
    seen.page.locator(".item").first.wait_for()
    assert product.lower() in seen.page.locator(".item").first.inner_text().lower()
    seen.page.get_by_text("Back to the list").click()
    seen.page.get_by_role("heading", name=f"Of what is chosen: {items} items").wait_for()
    assert parse_qs(urlsplit(seen.page.url).query) == {"area": [area]}


def test_each_list_keeps_what_was_chosen_on_it(seen: Seen, filtered: tuple[str, Locator]) -> None:
    area, listed = filtered
    tab(seen, "Act now", "buildings to act on now.")
    assert seen.page.get_by_role("heading", level=1).inner_text()[0].isdigit()
    assert urlsplit(seen.page.url).query == ""
    seen.page.get_by_label("Product").click()
    seen.page.get_by_role("option", name="insulating board", exact=True).click()
    seen.page.get_by_role("heading", name="Of what is chosen").wait_for()
    tab(seen, "Portfolio", "Where they stand")
    listed.wait_for()
    assert parse_qs(urlsplit(seen.page.url).query) == {"area": [area]}
    tab(seen, "Act now", "Of what is chosen")
    assert parse_qs(urlsplit(seen.page.url).query) == {"product": ["insulating board"]}


def test_the_list_goes_on_and_all_of_it_can_be_saved(seen: Seen, demo: Path) -> None:
    (buildings,) = portfolios.ask(demo / run.RESULT, "select count(*) from buildings")[0]
    seen.page.goto(f"{seen.root}/?work_type=Rewire")
    seen.page.get_by_text("Show 40 more").click()
    seen.page.get_by_text("The first 80 of").wait_for()
    seen.page.locator("ol.ranked a").nth(79).wait_for()
    seen.page.reload()
    seen.page.locator("ol.ranked a").nth(79).wait_for()
    assert seen.page.locator("ol.ranked a").count() == 80
    said = seen.page.get_by_text("The first 80 of").inner_text()
    with seen.page.expect_download() as saved:
        seen.page.get_by_text("All as csv").click()
    rows = list(csv.DictReader(StringIO(saved.value.path().read_text("utf-8-sig"), newline="")))
    assert f"of {len(rows):,} buildings" in said
    assert len(rows) < buildings
    assert all(row["reasons"] for row in rows if float(row["exceedances"]) > 0)


def test_the_tabs_lead_from_a_building_to_its_list_and_back(seen: Seen, filtered: tuple[str, Locator]) -> None:
    area, listed = filtered
    # The list's links open a page anew, which knows of the list by the address alone.
    seen.page.locator("ol.ranked a").first.click()
    seen.page.get_by_text("Back to the list").wait_for()
    opened, name = seen.page.url, seen.page.get_by_role("heading", level=1).inner_text()
    tab(seen, "Portfolio", "Where they stand")
    listed.wait_for()
    assert parse_qs(urlsplit(seen.page.url).query) == {"area": [area]}
    tab(seen, "Building", name)
    assert seen.page.url == opened


def tab(seen: Seen, name: str, heading: str) -> None:
    """Follow a tab of the bar on top until a heading of its page is there."""
    seen.page.get_by_test_id("stTopNavLink").filter(has_text=name).click()
    seen.page.get_by_role("heading", name=heading).first.wait_for()


def test_the_items_of_a_block_are_taken_away_and_a_section_opens_where_one_looks(seen: Seen, demo: Path) -> None:
    ref, items = portfolios.ask(
        demo / run.RESULT,
        "select building_ref, count(*) from items inner join buildings using (building_ref) where properties > 1 "
        "group by building_ref order by count(*) desc, building_ref limit 1",
    )[0]
    seen.page.goto(f"{seen.root}/building?building={ref}")
    with seen.page.expect_download() as taken:
        seen.page.get_by_text("All items of this building as csv").click()
    assert len(list(csv.DictReader(StringIO(taken.value.path().read_text("utf-8"))))) == items
    assert seen.page.get_by_text("These factors as csv").count() == 0
    seen.page.get_by_text("its ten factors").first.click()
    seen.page.get_by_text("These factors as csv").wait_for()


@pytest.mark.parametrize("width", [1400, 390])
def test_no_table_of_a_building_is_cut_off_nor_its_words_broken(width: int, seen: Seen, demo: Path) -> None:
    ref, property_ref, item_id = portfolios.ask(
        demo / run.RESULT,
        "select building_ref, property_ref, item_id from items inner join item_ranking using (item_id, property_ref) "
        "inner join buildings using (building_ref) where properties > 1 and n_entries > 2 order by rank limit 1",
    )[0]
    seen.page.set_viewport_size({"width": width, "height": 1000})
    seen.page.goto(f"{seen.root}/building?building={ref}&property={property_ref}&item={item_id}")
    for section in ("Exposure by activity in", "History and source rows", "its ten factors", "What may be done here"):
        seen.page.get_by_text(section).first.click()
    seen.page.get_by_text("Who may disturb it").first.click()
    for last in ("These source rows as csv", "These averages as csv", "These rules as csv", "counts where all of its"):
        seen.page.get_by_text(last).wait_for()
    seen.page.wait_for_timeout(1_000)
    seen.page.screenshot(path=PICTURES / f"building_{width}.png", full_page=True)
    found, texts = seen.page.evaluate(CUT_OR_BROKEN)
    seen.page.set_viewport_size({"width": 1400, "height": 1000})
    assert texts > 300
    assert found == []


def test_a_search_stands_in_the_address(seen: Seen, demo: Path) -> None:
    ref, name = portfolios.ask(
        demo / run.RESULT, "select building_ref, name from buildings order by length(name) desc, name limit 1"
    )[0]
    seen.page.goto(f"{seen.root}/building")
    seen.page.get_by_label("Find a building").fill(name)
    seen.page.get_by_label("Find a building").press("Enter")
    seen.page.get_by_role("heading", name=name, level=1).wait_for()
    seen.page.wait_for_url(lambda url: f"building={ref}" in url)
    assert parse_qs(urlsplit(seen.page.url).query)["find"] == [name]
    seen.page.reload()
    seen.page.get_by_role("heading", name=name, level=1).wait_for()


@pytest.mark.parametrize("name", ["activities", "act-now"])
def test_on_a_phone_no_table_reaches_out_of_sight_and_no_word_is_broken(seen: Seen, name: str) -> None:
    seen.page.set_viewport_size({"width": 390, "height": 844})
    seen.page.goto(f"{seen.root}/{name}")
    seen.page.locator(".u table td").last.wait_for()
    seen.page.screenshot(path=PICTURES / f"{name}_phone.png", full_page=True)
    reach = seen.page.locator(".u .scroll").evaluate_all("boxes => boxes.map(box => box.scrollWidth - box.clientWidth)")
    broken, texts = seen.page.evaluate(CUT_OR_BROKEN)
    seen.page.set_viewport_size({"width": 1400, "height": 1000})
    assert texts > 50
    assert (max(reach), broken) == (0, [])
