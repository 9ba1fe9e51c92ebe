"""Every page shows text of registers as text, has a state for nothing to show, and says its cautions."""

import os
from pathlib import Path

import pytest

from dashboard import parts
from tests import portfolios
from tests.dashboard.pages import HOSTILE, one, page, said, unfold

PAGES = ("portfolio", "act_now", "building", "activities", "data_in")
WITH_TEXT_OF_REGISTERS = ("portfolio", "building", "data_in")
ESCAPED = "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; [link](http://example.org) **bold** $x^2$"


def test_sentences_of_sql_and_pages_write_a_figure_alike(sample_result: Path) -> None:
    values = [0, 0.00005, 0.0001, 0.00123, 0.0084, 0.5, 1, 9.94, 9.96, 10, 12.5, 99.5, 123, 1234.5, 123456.7]
    written = [one(sample_result, f"select figure({value}::double)")[0] for value in values]
    assert written == [parts.figure(value).replace("<", "under ") for value in values]


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
    if name == "building":
        unfold(app)
    assert "<script>" not in said(app)
    assert ESCAPED in said(app)
    labels = [str(getattr(element, "label", "")) for element in app.main]  # drawn as Markdown, as nothing else is
    assert len(labels) > 5 and len(app.markdown) == 0
    assert [label for label in labels if HOSTILE in label] == []


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


def test_what_an_address_asks_for_in_vain_is_told(sample_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = said(page(sample_folder, monkeypatch, product="Lagging", area="Merrowhythe"))
    assert "Product: the address asks for “Lagging”, which is none of the choices" in text
    assert "Area: the address asks" not in text
    text = said(page(sample_folder, monkeypatch, "activities", work="Juggling"))
    assert "One activity: the address asks for “Juggling”" in text


@pytest.mark.parametrize("name", PAGES)
def test_every_page_has_the_cautions_in_short_above_and_in_full_below(
    name: str, sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = said(page(sample_folder, monkeypatch, name))
    assert text.index("presume asbestos and do not disturb it.") < text.index("<h1>")
    assert text.rindex("have it sampled; sight never identifies") > text.rindex("<h1>")
