"""Starts the dashboard's server: on this machine only, without telemetry, with our theme."""

import os
import socket
from errno import EADDRINUSE
from multiprocessing import get_context, parent_process
from pathlib import Path
from threading import Thread

from dashboard import data, theme
from pipelines.errors import SettingsError

ADDRESS = "127.0.0.1"
USUAL_PORT, PORTS_TRIED = 8501, 20
PAUSE = 0.05
"""How long a server that starts is left alone before it is tried again, seconds."""
OPTIONS = {
    "server.address": ADDRESS,
    "server.headless": "true",
    "server.fileWatcherType": "none",
    "server.showEmailPrompt": "false",
    "browser.gatherUsageStats": "false",
    "client.toolbarMode": "minimal",
    "client.showErrorDetails": "none",
    "client.showErrorLinks": "false",
    "logger.hideWelcomeMessage": "true",
    "logger.level": "warning",
}


def arguments(port: int) -> list[str]:
    """What the server is started with."""
    app = Path(__file__).with_name("app.py")
    options = OPTIONS | {"server.port": str(port)} | theme.streamlit_options()
    return ["run", str(app), *(f"--{name}={value}" for name, value in options.items())]


def free_port(wanted: int | None) -> int:
    """The port that was asked for, else the usual one or the next that is free. Raises SettingsError where none is."""
    if wanted is None:
        last = USUAL_PORT + PORTS_TRIED - 1
        free = next((port for port in range(USUAL_PORT, last + 1) if not _trouble(port)), None)
        if free is None:
            raise SettingsError(f"ports {USUAL_PORT} to {last}", "none is free", todo="Choose another with --port N.")
        return free
    if trouble := _trouble(wanted):
        todo = "Choose another with --port N, or leave --port out to take one that is free."
        raise SettingsError(f"port {wanted}", trouble, todo=todo)
    return wanted


def _trouble(port: int) -> str | None:
    """Why nobody can listen at a port of this machine now; None where one can, also just after somebody has stopped."""
    with socket.socket() as listener:
        if os.name == "posix":
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((ADDRESS, port))
        except OSError as error:
            return "is taken by another program" if error.errno == EADDRINUSE else f"cannot be used, {error.strerror}"
    return None


def run(folder: Path, port: int) -> int:
    """Serve the portfolio in `folder` until this process ends, however it does; the server's exit code."""
    os.environ[data.FOLDER] = str(folder.resolve())
    server = get_context("spawn").Process(target=_serve, args=(port,), daemon=True)
    server.start()
    try:
        while server.is_alive() and not _listens(port):
            server.join(PAUSE)
        if server.is_alive():
            print(f"The dashboard is at http://{ADDRESS}:{port} until you press Ctrl+C.", flush=True)
        server.join()
    except KeyboardInterrupt:
        server.kill()
        server.join()
        return 0
    return server.exitcode or 0


def _listens(port: int) -> bool:
    """Whether somebody answers at a port, so that an address that is printed can be opened."""
    try:
        socket.create_connection((ADDRESS, port), timeout=1).close()
    except OSError:
        return False
    return True


def _serve(port: int) -> None:
    """The server's process. By itself it would outlive the one that started it, and wait for tabs that are open."""
    from streamlit.web import cli

    Thread(target=_end_with_parent, daemon=True).start()
    cli.main(arguments(port), prog_name="streamlit")


def _end_with_parent() -> None:
    """End at once when the process that started this one has ended; what people decide is written whole by then."""
    parent = parent_process()
    if parent:
        parent.join()
        os._exit(0)
