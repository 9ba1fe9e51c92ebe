"""The Data in page says what became of every row, every column and every doubt."""

import re
from pathlib import Path

import pytest

from tests.dashboard.pages import one, page, said, tables


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
    assert len(app.dataframe[3].value) == counts[1] - counts[0] + counts[3] - counts[2]
    area = shares[0][0][0]
    (never,) = one(
        sample_result,
        "select count(*) from properties left join surveyed_properties using (property_ref) "
        f"where area = '{area}' and is_surveyed is not true",
    )
    assert len(page(sample_folder, monkeypatch, "data_in", never_area=area).dataframe[3].value) == never
