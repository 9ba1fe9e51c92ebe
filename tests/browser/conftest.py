"""The demo, built and served once for a module of tests, and the page that looks at it."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page

from tests.browser.served import command, opened, served

PICTURES = Path(__file__).parent / "pictures"


@dataclass
class Seen:
    """An open page, every address that it asked for, and every error in it."""

    page: Page
    root: str
    requests: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo") / "portfolio"
    command("demo", str(folder), "--no-serve")
    return folder


@pytest.fixture(scope="module")
def seen(demo: Path) -> Iterator[Seen]:
    PICTURES.mkdir(exist_ok=True)
    with served(demo) as root, opened() as page:
        shown = Seen(page, root)
        page.on("request", lambda request: shown.requests.append(request.url))
        page.on("pageerror", lambda error: shown.errors.append(str(error)))
        yield shown


@pytest.fixture
def offline_and_sound(seen: Seen) -> Iterator[None]:
    """Whatever a test does, nothing leaves this machine and no page breaks."""
    yield
    assert {urlsplit(url).hostname for url in seen.requests if url.startswith(("http", "ws"))} == {"127.0.0.1"}
    assert seen.errors == []
