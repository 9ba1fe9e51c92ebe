"""The dashboard of a portfolio as a program of its own, and a real browser that looks at it."""

import os
import shutil
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Page, sync_playwright

CHROMIUM = shutil.which("chromium")
NEEDS_CHROMIUM = pytest.mark.skipif(
    CHROMIUM is None and "CI" not in os.environ, reason="chromium is not installed (in CI this is a failure)"
)
ROOT = Path(__file__).parents[2]
COMMAND = (sys.executable, "-c", "from pipelines.cli import main; main()")
FLAGS = (
    *("--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist"),
    *("--no-sandbox", "--disable-background-networking", "--disable-component-update", "--no-first-run"),
)
PATIENCE_MS = 45_000


def command(*words: str) -> None:
    """Run a command of the program to its end."""
    subprocess.run([*COMMAND, *words], cwd=ROOT, check=True, stdout=subprocess.DEVNULL)


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The address of a portfolio's dashboard, on a free port of this machine."""
    port = free_port()
    with started(folder, port) as server:
        yield f"http://127.0.0.1:{port}"
        server.terminate()


@contextmanager
def started(folder: Path, port: int) -> Iterator[subprocess.Popen[str]]:
    """The server of a portfolio's dashboard, once it says where; whatever happens, it is gone in the end."""
    words = [*COMMAND, "serve", str(folder), "--port", str(port)]
    with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, text=True) as server:
        try:
            assert server.stdout is not None
            told = f"The dashboard is at http://127.0.0.1:{port} until you press Ctrl+C.\n"
            assert server.stdout.readline() == told
            socket.create_connection(("127.0.0.1", port), timeout=5).close()
            yield server
        except BaseException:
            server.kill()
            raise


def free_port() -> int:
    """A port of this machine at which nobody listens."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return int(free.getsockname()[1])


@contextmanager
def opened() -> Iterator[Page]:
    """A blank page of a browser."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, headless=True, args=list(FLAGS))
        page = browser.new_page(viewport={"width": 1400, "height": 1000})
        page.set_default_timeout(PATIENCE_MS)
        yield page
        browser.close()
