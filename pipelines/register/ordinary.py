"""A table with a column for each thing, of which some rows are taken apart into several lines."""

from dataclasses import dataclass

from pipelines.register.layout import Source


@dataclass(frozen=True)
class Ordinary:
    """Where its heading stands, and its columns as they are."""

    first: int
    last: int
    columns: list[Source]
    is_grid = False
    is_numbered = False

    @property
    def headings(self) -> list[tuple[str, tuple[Source, ...]]]:
        """The heading of each column of the lines, and the columns of the file that it stands for."""
        return [(text, ((at, text),)) for at, text in self.columns]

    def is_row(self, only: str) -> bool:
        """Whether a row with this one cell is about an item, rather than a line between."""
        return False
