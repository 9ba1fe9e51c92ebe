"""The Data in page says what became of every row, every column and every doubt."""

import json
import re
from pathlib import Path

import pytest

from dashboard import parts
from pipelines import queries
from tests import portfolios
from tests.dashboard.pages import one, page, said, tables, unfold

NARROW_SCREEN_PX = 358
"""What is left of 390 between the margins."""


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
    folders = next(rows for head, rows in tables(app) if head[0] == "Folder")
    assert [row[2:5] for row in folders if row[0] == "all"] == [[f"{read:,}", f"{used:,}", f"{aside:,}"]]
    for row in folders:
        counts = [int(cell.replace(",", "")) for cell in row[2:5]]
        assert counts[0] == counts[1] + counts[2]
    reasons = next(rows for head, rows in tables(app) if head[0] == "Reason")
    assert sum(int(row[2].replace(",", "")) for row in reasons) == aside


def test_on_a_narrow_screen_the_reason_of_a_row_set_aside_is_in_sight_first(
    sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = page(sample_folder, monkeypatch, "data_in").dataframe[1].proto
    assert table.column_order[0] == "reason"
    assert json.loads(table.columns)["reason"]["width"] < NARROW_SCREEN_PX


def test_every_table_of_the_data_page_can_be_taken_away_and_leads_to_its_queries(
    sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = page(sample_folder, monkeypatch, "data_in")
    shown = len(app.dataframe) + len(tables(app))
    without_csv_of_their_own = ["Folder", "Reason", "row"]
    """Sums of the table of files and of rows set aside; the first rows of a file, whose columns can be taken away."""
    assert [head[0] for head, _ in tables(app) if head[0] in without_csv_of_their_own] == ["Folder", "row", "Reason"]
    lists = 1
    """Questions are a list, with a csv."""
    columns_as_read = 1
    assert len(app.get("download_button")) == shown - len(without_csv_of_their_own) + lists + columns_as_read
    code = "\n".join(element.value for element in unfold(app, "Where these figures come from").code)
    asked = ["folder_totals", "file_totals", "files", "file_headings", "file_first_rows"]
    asked += ["reasons_to_mend", "set_aside", "question_kinds", "open_questions", "question_places"]
    asked += ["doubt_counts", "doubt_rows", "contradictions", "unknown_words", "coverage", "never_surveyed"]
    assert [name for name in asked if queries.load("answers", name).text not in code] == []


def test_rows_of_the_data_page_lead_to_the_home_that_they_are_about(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = page(sample_folder, monkeypatch, "data_in")
    known = portfolios.ask(sample_result, "select distinct building_ref, property_ref from properties")
    addresses = {parts.link("building", building=building, property=ref) for building, ref in known}
    for table in (1, 2, 4):
        linked = set(app.dataframe[table].value["property_ref"].dropna())
        assert linked and linked <= addresses
    items = portfolios.ask(
        sample_result,
        "select building_ref, property_ref, item_id from item_contradictions join items using (item_id, property_ref)",
    )
    assert list(app.dataframe[3].value["property_ref"].sort_values()) == sorted(
        parts.link("building", building=building, property=ref, item=item) for building, ref, item in items
    )


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
    assert "Assumed: the register does not say; a stated assumption stands in." in said(app)
    doubt, rows = one(sample_result, "select doubt, count(*) from doubts group by doubt order by count(*) desc, doubt")
    assert app.selectbox(key="doubt").value == doubt
    assert len(app.dataframe[2].value) == rows


def test_the_data_page_says_how_much_was_surveyed_and_lists_what_never_was(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    counts = one(
        sample_result,
        "select count(*) filter (where part = 'home' and is_surveyed), count(*) filter (where part = 'home'), "
        "count(*) filter (where part <> 'home' and is_surveyed), count(*) filter (where part <> 'home') "
        "from properties left join surveyed_properties using (property_ref)",
    )
    app = page(sample_folder, monkeypatch, "data_in")
    shares = [rows for head, rows in tables(app) if "Homes surveyed" in head]
    assert len(shares) == 2
    for rows in shares:
        cells = [
            [int(n.replace(",", "")) for at in (1, 3) for n in (row[at] or "0 of 0").split(" of ")] for row in rows
        ]
        assert [sum(column) for column in zip(*cells, strict=True)] == list(counts)
    assert len(app.dataframe[4].value) == counts[1] - counts[0] + counts[3] - counts[2]
    area = shares[0][0][0]
    (never,) = one(
        sample_result,
        "select count(*) from properties as p join buildings as b using (building_ref) "
        f"left join surveyed_properties using (property_ref) where b.area = '{area}' and is_surveyed is not true",
    )
    assert len(page(sample_folder, monkeypatch, "data_in", never_area=area).dataframe[4].value) == never
