"""What the browser's figures are held to: rows of the files, read without the reader."""

import csv
from io import StringIO
from pathlib import Path

from pipelines import run
from tests import portfolios

STRAY_QUOTE = '"6 inch flue'
"""Planted in the sample: a quotation mark that nothing closes."""


def worst_of_a_house(demo: Path) -> tuple[str, int, str, int, str]:
    """Address, score, source row and room of the first item in rank that is alone in a house and in a plain csv."""
    question = """
        select p.address, i.material_score, e.path, e.row_number, e.room_text
        from item_ranking as r
        inner join items as i on r.item_id = i.item_id
        inner join entries as e on i.entry_id = e.entry_id
        inner join properties as p on i.property_ref = p.property_ref
        where i.property_ref = i.building_ref and i.n_entries = 1 and e.sheet is null and i.material_score is not null
            and e.path like 'registers/tarnbrake%'
            and (select count(*) from items as other where other.property_ref = i.property_ref) = 1
        order by r.rank
    """
    address, score, path, row_number, room = portfolios.ask(demo / run.RESULT, question)[0]
    return address, score, path, row_number, room


def written(file: Path, row_number: int) -> list[list[str | None]]:
    """The headings of a csv file beside the cells of one of its rows, read by Python's own reader."""
    text = file.read_bytes().decode("utf-8").replace(STRAY_QUOTE, STRAY_QUOTE.lstrip('"'))
    rows = list(csv.reader(StringIO(text, newline="")))
    return [list(pair) for pair in zip(rows[0], rows[row_number - 1], strict=True)]
