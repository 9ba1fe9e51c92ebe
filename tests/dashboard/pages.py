"""Pages of the dashboard as first drawn, and what they say."""

import base64
import re
from html import unescape
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from streamlit.testing.v1 import AppTest

import dashboard
from dashboard import data
from tests import portfolios

APP = Path(dashboard.__file__).with_name("app.py")
HOSTILE = "<script>alert('x')</script> [link](http://example.org) **bold** $x^2$"


def page(folder: Path, monkeypatch: pytest.MonkeyPatch, name: str = "portfolio", **parameters: str) -> AppTest:
    """A page of the dashboard of a portfolio, as first drawn."""
    monkeypatch.setenv(data.FOLDER, str(folder))
    app = AppTest.from_file(str(APP), default_timeout=30)
    if name != "portfolio":
        app.run()
        if name == "act_now":  # by way of a page that has none of its filters, which would keep what they were
            app.switch_page("views/activities.py").run()
        app.switch_page(f"views/{name}.py")
    app.query_params.update(parameters)
    app.run()
    assert not app.exception
    return app


def unfold(app: AppTest, label: str = "") -> AppTest:
    """The page after somebody opened every section whose label begins so."""
    opened = [box.proto.id for box in app.expander if box.label.startswith(label)]
    assert opened
    for name in opened:
        app.session_state[re.sub(r"^\$\$ID-[0-9a-f]+-", "", name)] = True
    app.run()
    assert not app.exception
    return app


def said(app: AppTest) -> str:
    """Everything that a page wrote as markup, but for its style sheet."""
    written = [element.proto.body for element in app.get("html")]
    return "\n".join(body for body in written if not body.startswith("<style>"))


def tables(app: AppTest) -> list[tuple[list[str], list[list[str]]]]:
    """The headings and rows of every table that a page wrote as markup."""
    return [
        (cells(head), [cells(row) for row in re.findall(r"<tr>(.*?)</tr>", body, re.DOTALL)])
        for head, body in re.findall(r"<thead>(.*?)</thead><tbody>(.*?)</tbody>", said(app), re.DOTALL)
    ]


def cells(row: str) -> list[str]:
    return [unescape(re.sub(r"<[^>]+>", "", cell)) for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)]


def number(text: str) -> float:
    """The number that a text begins with."""
    return float(text.split()[0].rstrip(";,"))


def floats(values: Any) -> list[float]:
    """The numbers of an axis of a chart, packed or not."""
    if isinstance(values, dict):
        return list(np.frombuffer(base64.b64decode(values["bdata"]), values["dtype"]))
    return list(values)


def one(database: Path, question: str) -> Any:
    return portfolios.ask(database, question)[0]
