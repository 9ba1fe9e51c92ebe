"""Starts the dashboard's server: on this machine only, without telemetry, with our theme."""

import os
import subprocess
import sys
from pathlib import Path

from dashboard import data, theme

ADDRESS = "127.0.0.1"
OPTIONS = {
    "server.address": ADDRESS,
    "server.headless": "true",
    "server.fileWatcherType": "none",
    "server.showEmailPrompt": "false",
    "browser.gatherUsageStats": "false",
    "client.toolbarMode": "minimal",
    "client.showErrorDetails": "none",
    "client.showErrorLinks": "false",
}


def command(port: int) -> list[str]:
    """The command line of the server."""
    app = Path(__file__).with_name("app.py")
    options = OPTIONS | {"server.port": str(port)} | theme.streamlit_options()
    return [
        *(sys.executable, "-m", "streamlit", "run", str(app)),
        *(f"--{name}={value}" for name, value in options.items()),
    ]


def run(folder: Path, port: int) -> int:
    """Serve the portfolio in `folder` until it is stopped; the server's exit code."""
    print(f"The dashboard is at http://{ADDRESS}:{port} until you press Ctrl+C.", flush=True)
    try:
        return subprocess.run(
            command(port), env=os.environ | {data.FOLDER: str(folder.resolve())}, check=False
        ).returncode
    except KeyboardInterrupt:
        return 0
