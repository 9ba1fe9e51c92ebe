"""What the pages are put together from."""

from html.parser import HTMLParser

from markupsafe import Markup

from dashboard import parts


class Cells(HTMLParser):
    """What each cell of a table says, and which heading it names where the screen is narrow."""

    def __init__(self) -> None:
        super().__init__()
        self.headings: list[str | None] = []
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "td":
            self.headings.append(dict(attrs)["data-heading"])
            self.texts.append("")

    def handle_data(self, data: str) -> None:
        if self.texts:
            self.texts[-1] += data


def test_a_cell_names_its_heading_in_plain_text_whatever_the_heading_is_made_of() -> None:
    read = Markup('<span class="field" title="known">room</span>')
    headings = [Markup("{} <br>{}").format('Rm "of" <b>', read), '<i>a "b"', "plain"]
    cells = Cells()
    cells.feed(parts.table(headings, [("<u>1", "2", Markup("<em>3</em>"))]))
    assert cells.headings == ['Rm "of" <b> room', '<i>a "b"', "plain"]
    assert cells.texts == ["<u>1", "2", "3"]
