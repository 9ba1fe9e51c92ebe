"""A person answers a question in a real browser, builds again, and the answer holds."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page

from pipelines import run
from tests import portfolios
from tests.browser.served import NEEDS_CHROMIUM, command, opened, served

pytestmark = NEEDS_CHROMIUM


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A portfolio with one word that nobody knows, built."""
    register = [portfolios.row(Material="Stuffo"), portfolios.row(Location="Hall", Condition="")]
    folder = portfolios.write(tmp_path_factory.mktemp("decisions"), {"register.csv": register})
    portfolios.build(folder)
    return folder


@pytest.fixture(scope="module")
def root(folder: Path) -> Iterator[str]:
    """The address of its dashboard."""
    with served(folder) as address:
        yield address


@pytest.fixture(scope="module")
def seen() -> Iterator[Page]:
    with opened() as page:
        yield page


def test_a_question_answered_on_the_page_is_gone_after_a_build_and_the_reading_changed(
    seen: Page, root: str, folder: Path
) -> None:
    read = "select product, material_score from items where place = 'kitchen'"
    assert portfolios.ask(folder / run.RESULT, read)[0][0] == "other"
    seen.goto(f"{root}/data-in")
    seen.get_by_text("product: Stuffo").wait_for()
    seen.get_by_text("Answer", exact=True).click()
    seen.get_by_label("It means").scroll_into_view_if_needed()
    seen.wait_for_timeout(1_000)
    seen.get_by_label("It means").click()
    seen.keyboard.type("cement")
    seen.get_by_role("option", name="asbestos cement").click()
    seen.get_by_label("Your name").fill("A. Person")
    seen.get_by_label("Why").fill("asked the surveyor")
    seen.get_by_role("button", name="Write this answer").dblclick()
    seen.get_by_text("said A. Person on").wait_for()
    lines = (folder / "corrections/terms.csv").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "field,written,term,who,on,why"
    assert [line.split(",")[:4] for line in lines[1:]] == [["product", "Stuffo", "asbestos_cement", "A. Person"]]
    command("build", str(folder))
    seen.reload()
    seen.get_by_role("heading", name="How a file was read").wait_for()
    seen.wait_for_timeout(1_000)
    assert seen.get_by_text("product: Stuffo").count() == 0
    # Cement 1, damage 0, surface of painted cement 1, amosite 2: 4 (HSG264 appendix 4; from memory).
    assert portfolios.ask(folder / run.RESULT, read) == [("asbestos_cement", 4)]
    seen.goto(f"{root}/building?building=H1")
    seen.get_by_role("heading", name="Asbestos cement, kitchen").wait_for()
