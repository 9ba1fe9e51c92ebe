"""The page of what cannot wait lists every such item, of the whole and of what is chosen, each a link."""

import re
from html import unescape
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest

from dashboard import addresses
from tests import portfolios
from tests.dashboard.pages import one, page, said, tables

CHOSEN: tuple[dict[str, str], ...] = (
    {},
    {"area": "Merrowhythe"},
    {"product": "insulating board"},
    {"work_type": "Demolition"},
    {"dwelling_type": "flat", "known": "recorded"},
    {"era": "1965 to 1974", "product": "textured coating"},
)


def test_every_item_that_cannot_wait_is_listed_with_its_reason_and_a_link(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = portfolios.ask(
        sample_result,
        "select i.item_id, i.building_ref, i.property_ref, if(b.properties = 1, in_area(b.name, b.area), p.address), "
        "i.act_now_why from items as i inner join properties as p using (property_ref) "
        "inner join buildings as b on i.building_ref = b.building_ref inner join item_ranking using (item_id) "
        "where act_now order by rank",
    )
    app = page(sample_folder, monkeypatch, "act_now")
    buildings = len({building for _, building, *_ in found})
    assert f"{len(found)} items in {buildings} buildings to act on now." in said(app)
    ((_, rows),) = tables(app)
    assert [(row[5] or row[4], row[7]) for row in rows] == [(address, why) for *_, address, why in found]
    asked = [parse_qs(urlsplit(unescape(link)).query) for link in re.findall(r'href="([^"]*item=[^"]*)"', said(app))]
    assert [(one["item"], one["building"], one["property"]) for one in asked] == [
        ([item], [building], [home]) for item, building, home, *_ in found
    ]


@pytest.mark.parametrize("chosen", CHOSEN, ids=str)
def test_the_portfolio_page_leads_to_as_many_items_as_it_counts(
    chosen: dict[str, str], sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = page(sample_folder, monkeypatch, **chosen)
    told = said(app).partition("Of what is chosen: " if chosen else "<h1>")[2]
    (counted, link) = re.findall(r'^(\d+) items? in .*?<a href="(act-now[^"]*)"', told, re.DOTALL)[0]
    asked = {name: values[0] for name, values in parse_qs(urlsplit(unescape(link)).query).items()}
    assert asked == chosen
    ((_, rows),) = tables(page(sample_folder, monkeypatch, "act_now", **asked))
    assert len(rows) == int(counted)


def test_what_is_only_possible_is_no_item_to_act_on(sample_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    app = page(sample_folder, monkeypatch, "act_now", known="possible")
    assert "What is only possible is no item" in said(app)
    assert tables(app) == []


def test_a_building_leads_back_to_the_list_that_it_came_from(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (ref,) = one(sample_result, "select building_ref from building_ranking where rank = 1")
    back = "list=act-now&area=Merrowhythe"
    assert addresses.came_from(back) == ("act-now", {"area": "Merrowhythe"})
    assert addresses.came_from("list=//example.org&area=North") == ("", {"area": "North"})
    text = said(page(sample_folder, monkeypatch, "building", building=ref, back=back))
    assert '<a href="act-now?area=Merrowhythe" target="_self">Back to the list</a>' in text
