"""`undisturbed serve` listens where it says, or says why not, and leaves nothing behind when it ends."""

import signal
import socket
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from dashboard import launch
from pipelines import cli
from pipelines.errors import SettingsError
from tests import portfolios
from tests.browser.served import NEEDS_CHROMIUM, free_port, opened, started


@pytest.fixture
def taken() -> Iterator[int]:
    """A port at which another program listens."""
    with socket.socket() as other:
        other.bind((launch.ADDRESS, 0))
        other.listen()
        yield other.getsockname()[1]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = portfolios.write(tmp_path_factory.mktemp("served"), {"register.csv": [portfolios.row()]})
    portfolios.build(folder)
    return folder


def test_a_port_that_is_taken_is_told_in_one_message_and_no_address_is_printed(
    taken: int, folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "argv", ["undisturbed", "serve", str(folder), "--port", str(taken)])
    with pytest.raises(SystemExit) as ended:
        cli.main()
    printed = capsys.readouterr()
    assert ended.value.code == 2
    assert printed.out == ""
    assert printed.err == (
        f"port {taken}: is taken by another program. "
        "Choose another with --port N, or leave --port out to take one that is free.\n"
    )


def test_a_demo_looks_at_its_port_before_it_makes_anything(
    taken: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "argv", ["undisturbed", "demo", str(tmp_path / "portfolio"), "--port", str(taken)])
    with pytest.raises(SystemExit, match="2"):
        cli.main()
    assert list(tmp_path.iterdir()) == []


def test_without_a_port_the_next_free_one_is_taken(taken: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(launch, "USUAL_PORT", taken)
    assert taken < launch.free_port(None) < taken + launch.PORTS_TRIED
    monkeypatch.setattr(launch, "PORTS_TRIED", 1)
    with pytest.raises(SettingsError, match="none is free"):
        launch.free_port(None)


@NEEDS_CHROMIUM
@pytest.mark.parametrize(("end", "code"), [(signal.SIGTERM, -signal.SIGTERM), (signal.SIGKILL, -9), (signal.SIGINT, 0)])
def test_whatever_ends_it_no_server_stays_behind_not_even_for_an_open_tab(
    folder: Path, end: signal.Signals, code: int
) -> None:
    port = free_port()
    with opened() as page, started(folder, port) as server:
        page.goto(f"http://{launch.ADDRESS}:{port}")
        page.get_by_role("heading", level=1).wait_for()
        server.send_signal(end)
        printed, _ = server.communicate(timeout=30)
    assert server.returncode == code
    assert printed == ""
    assert launch.free_port(port) == port
