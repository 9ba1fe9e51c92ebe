"""A person decides on a page; it stands as decided until a build has read it, and then holds."""

import os
import shutil
from pathlib import Path
from typing import Any

import pytest
from markupsafe import Markup
from streamlit.testing.v1 import AppTest

from dashboard import actions, decisions, parts
from pipelines import run
from tests import portfolios
from tests.dashboard.pages import HOSTILE, page, said

QUESTIONS = {
    "heading": ("registers/2020.csv", "", "Zzq"),
    "property": ("", "", "3 Ash Lnae, Birch", ""),
    "term": ("product", "Stuffo"),
    "item link": ("registers/2024.csv", "", "2", "1"),
}


@pytest.fixture(scope="module")
def asking(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A portfolio, built, that asks a question of each kind."""
    cells = {"Address": "", "Comments": ""}
    rows = {
        "2020.csv": [
            portfolios.row(Survey_Date="2020-01-01", Location="Bedroom 1", Zzq="", **cells),
            portfolios.row(Survey_Date="2020-01-01", Location="Bedroom 2", Zzq="", **cells),
            portfolios.row(Survey_Date="2020-01-01", Location="Garage", Material="Stuffo", Zzq="q", **cells),
        ],
        "2024.csv": [
            portfolios.row(Survey_Date="2024-01-01", Location="Back bedroom", Condition="", **cells),
            portfolios.row(Survey_Date="2024-01-01", Property_Ref="", **cells | {"Address": "3 Ash Lnae, Birch"}),
        ],
    }
    folder = portfolios.write(tmp_path_factory.mktemp("asking"), rows)
    portfolios.build(folder)
    return folder


@pytest.fixture
def folder(asking: Path, tmp_path: Path) -> Path:
    """That portfolio, to write to."""
    return Path(shutil.copytree(asking, tmp_path / "portfolio"))


def opened(app: AppTest, kind: str) -> str:
    """The name of the widgets of a question, opened."""
    name = decisions.name_of(kind, QUESTIONS[kind])
    app.session_state[f"question {name}"] = True
    app.run()
    assert not app.exception
    return name


def sign(app: AppTest, name: str, button: str, who: str = "A. Person", why: str = "") -> None:
    """Fill in who and why, and press the button."""
    app.text_input(key=f"{name} who").input(who)
    app.text_input(key=f"{name} why").input(why)
    press(app, button)


def press(app: AppTest, button: str) -> None:
    """Press the only button of that name."""
    (one,) = (each for each in app.button if each.label == button)
    one.click().run()
    assert not app.exception


@pytest.mark.parametrize(
    "answers",
    [
        {
            "heading": (("none",), "Nothing that is needed"),
            "property": (("H3",), "Property H3"),
            "term": (("textile",), "Textile"),
            "item link": (("registers/2020.csv", "", "3", "1"), "The item of registers/2020.csv, row 3"),
        },
        {"item link": (decisions.NEW_ITEM, "Another item, none of these")},
    ],
    ids=["each kind", "new item"],
)
def test_an_answer_is_written_shows_as_waiting_and_settles_the_question(
    answers: dict[str, tuple[tuple[str, ...], str]], folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for kind, (answer, spoken) in answers.items():
        app = page(folder, monkeypatch, "data_in")
        name = opened(app, kind)
        app.selectbox(key=f"{name} answer").set_value(answer).run()
        sign(app, name, "Write this answer", why="asked")
        (kept,) = actions.answers(folder, kind).items()
        assert kept[0] == QUESTIONS[kind]
        assert (kept[1].cells, kept[1].who, kept[1].why) == (answer, "A. Person", "asked")
        text = said(app)
        assert f"<b>{spoken}</b>, said A. Person on {kept[1].on} (asked)" in text
        assert f"undisturbed build {folder}" in text
    open_ones = "select kind, asked from open_questions"
    settled = {(kind, QUESTIONS[kind]) for kind in answers}
    assert settled <= {(kind, tuple(asked)) for kind, asked in portfolios.ask(folder / run.RESULT, open_ones)}
    portfolios.build(folder)
    assert settled.isdisjoint((kind, tuple(asked)) for kind, asked in portfolios.ask(folder / run.RESULT, open_ones))
    assert portfolios.ask(folder / run.RESULT, "from set_aside_rows where path like 'corrections/%'") == []
    assert "said A. Person" not in said(page(folder, monkeypatch, "data_in"))


def test_a_question_leads_to_the_home_that_may_be_meant_or_to_the_items_that_may_be_one(
    asking: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = said(page(asking, monkeypatch, "data_in"))
    home = parts.link("building", building="H3", property="H3")
    assert Markup('See <a href="{}" target="_self">3 Ash Lane, Birch (H3)</a>').format(home) in text
    items = portfolios.ask(
        asking / run.RESULT,
        "select item_id from items where place = 'bedroom' order by last_surveyed_on desc, item_id",
    )
    linked = [parts.link("building", building="H1", property="H1", item=item) for (item,) in items]
    assert [text.count(f'href="{Markup.escape(link)}"') for link in linked] == [1] * 3
    assert text.index("the item of this row") < text.index("what it may be")


def test_a_property_is_found_by_its_address(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    app = page(folder, monkeypatch, "data_in")
    name = opened(app, "property")
    app.text_input(key=f"{name} find").input("2 elm").run()
    assert "H2, 2 Elm Road, Alder, ZZ1 1AA" in app.selectbox(key=f"{name} answer").options
    app.selectbox(key=f"{name} answer").set_value(("H2",)).run()
    sign(app, name, "Write this answer")
    portfolios.build(folder)
    assert portfolios.ask(folder / run.RESULT, "select path, row_number from entries where property_ref = 'H2'") == [
        ("registers/2024.csv", 3)
    ]


def test_the_likeliest_term_is_offered_first_and_every_other_one_after_it(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ((nearest,),) = portfolios.ask(folder / run.RESULT, "select candidates from open_questions where kind = 'term'")
    app = page(folder, monkeypatch, "data_in")
    name = opened(app, "term")
    options = app.selectbox(key=f"{name} answer").options
    assert options[: len(nearest)] == [term.replace("_", " ") for term in nearest]
    assert len(options) == len(set(options)) > 10


def test_a_name_is_asked_for_once_and_an_answer_can_be_taken_back(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = page(folder, monkeypatch, "data_in")
    name = opened(app, "term")
    app.selectbox(key=f"{name} answer").set_value(("textile",)).run()
    sign(app, name, "Write this answer", who=" ")
    assert "it does not say who decided" in said(app)
    sign(app, name, "Write this answer", who=HOSTILE)
    other = opened(app, "heading")
    app.selectbox(key=f"{other} answer").set_value(("none",)).run()
    assert "Signed &lt;script&gt;" in said(app)
    assert "<script>" not in said(app)
    press(app, "Write this answer")
    assert actions.answers(folder, "heading")[QUESTIONS["heading"]].who == HOSTILE
    press(app, "Take it back")
    assert not (folder / "corrections/headings.csv").exists()
    assert actions.answers(folder, "term").keys() == {QUESTIONS["term"]}


def test_where_nothing_can_be_written_the_line_to_append_stays(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for kind in ("stock", "registers"):
        shutil.rmtree(folder / kind)
    app = page(folder, monkeypatch, "data_in")
    assert "Answers cannot be written here: the files that these figures were made from are not here" in said(app)
    name = opened(app, "term")
    assert [box for box in app.selectbox if box.key == f"{name} answer"] == []
    assert [each for each in app.button if each.label == "Write this answer"] == []
    assert any('product,"Stuffo",,,,' in code.value for code in app.code)


def item_of(folder: Path, place: str) -> Any:
    """The item of a place: its name, and the row that its condition comes from."""
    question = (
        "select item_id, i.damage_score, i.material_low, i.material_high from items as i "
        f"where i.property_ref = 'H1' and i.place = '{place}' order by i.last_surveyed_on desc, item_id"
    )
    return portfolios.ask(folder / run.RESULT, question)[0]


def test_a_doubt_is_accepted_and_a_score_corrected_on_the_building_page(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    item_id, damage, *_ = item_of(folder, "bedroom")
    assert damage is None
    app = page(folder, monkeypatch, "building", building="H1")
    app.session_state[f"decide {item_id}"] = True
    app.run()
    app.selectbox(key=f"accept {item_id}").set_value("product_type_derived").run()
    sign(app, f"accept {item_id}", "Accept this doubt", why="usual")
    assert "accepted by A. Person, from the next build on" in said(app)
    app.selectbox(key=f"correct {item_id}").set_value("damage_score").run()
    app.selectbox(key=f"damage_score {item_id}").set_value("2").run()
    press(app, "Write this correction")
    assert "<b>Damage score is 2</b>, said A. Person" in said(app)
    portfolios.build(folder)
    assert item_of(folder, "bedroom")[:2] == (item_id, 2)
    text = said(page(folder, monkeypatch, "building", building="H1"))
    assert "a person corrected the reading: 2, by A. Person" in text
    assert "; accepted by A. Person, " in text


def test_a_doubt_about_the_property_list_is_accepted_on_the_building_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    homes = [portfolios.HOMES[0] | {"Year Built": "c1965"}]
    folder = portfolios.write(tmp_path, {"register.csv": [portfolios.row()]}, homes)
    portfolios.build(folder)
    app = page(folder, monkeypatch, "building", building="H1")
    assert "not a year that can be" in said(app)
    app.session_state["decide H1"] = True
    app.run()
    app.selectbox(key="accept H1").set_value("built_year_impossible").run()
    sign(app, "accept H1", "Accept this doubt", why="as good as we have it")
    portfolios.build(folder)
    assert portfolios.ask(
        folder / run.RESULT, "select accepted_by from doubts where path = 'stock/homes.csv' and field = 'built_year'"
    ) == [("A. Person",)]
    assert "; accepted by A. Person, " in said(page(folder, monkeypatch, "building", building="H1"))


def test_a_product_is_corrected_in_every_row_of_the_item(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    register = [
        portfolios.row(Survey_Date="2020-01-01", Location="Kitchen"),
        portfolios.row(Survey_Date="2024-01-01", Location="Kitchen"),
    ]
    portfolios.write(folder, {"kitchen.csv": register})
    portfolios.build(folder)
    item_id, *_ = item_of(folder, "kitchen")
    app = page(folder, monkeypatch, "building", building="H1")
    app.session_state[f"decide {item_id}"] = True
    app.run()
    app.selectbox(key=f"correct {item_id}").set_value("product").run()
    app.selectbox(key=f"product {item_id}").set_value("asbestos_cement").run()
    sign(app, f"correct {item_id}", "Write this correction")
    portfolios.build(folder)
    assert portfolios.ask(
        folder / run.RESULT, "select product, n_entries from items where place = 'kitchen' and property_ref = 'H1'"
    ) == [("asbestos_cement", 2)]


@pytest.mark.parametrize("kind", QUESTIONS)
@pytest.mark.parametrize("text", ["", HOSTILE])
def test_whatever_people_wrote_by_hand_breaks_no_page(
    kind: str, text: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    form = actions.KINDS[kind]
    cells = ['"' + cell.replace('"', '""') + '"' for cell in QUESTIONS[kind]] + [f'"{text}"'] * (len(form.answer) + 3)
    (folder / "corrections").mkdir()
    heading = ",".join(form.columns)
    (folder / "corrections" / form.file).write_text(f"{heading}\n{','.join(cells)}\n", encoding="utf-8")
    text_shown = said(page(folder, monkeypatch, "data_in"))
    assert "the next build reads it" in text_shown
    assert "<script>" not in text_shown


def test_an_answer_that_a_build_has_read_in_vain_asks_again(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (folder / "corrections").mkdir()
    file = folder / "corrections/terms.csv"
    file.write_text("field,written,term,who,on,why\nproduct,Stuffo,textile,A. Person,2026-09-01,\n", encoding="utf-8")
    assert "<b>Textile</b>, said A. Person" in said(page(folder, monkeypatch, "data_in"))
    built = (folder / run.RESULT).stat().st_mtime
    os.utime(file, (built - 60, built - 60))
    assert "said A. Person" not in said(page(folder, monkeypatch, "data_in"))
