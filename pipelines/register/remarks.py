"""Lines of a sheet that say nothing of an item or home: totals, remarks, signatures, and heads and feet of pages."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

TOTALS = re.compile(
    r"^\s*(?:(?:grand|sub|page)?[\s-]*totals?\b|(?:site|block|page|sheet|property) (?:items|samples|acms?)\W"
    r"|(?:no\.?|number|count) of (?:items|entries|lines|records|samples|acms?|homes|properties)\b"
    r"|(?:items|entries|records|lines|acms?) (?:on|in) (?:the |this )?(?:register|list|sheet)\b)",
    re.I,
)
COUNTED = re.compile(
    r"^\W*(?:lines|rows|items|entries|records|samples|acms|properties|homes|dwellings|addresses|visits)"
    r"(?: (?:in|to|of|for|on|at|by|up|the|end|year|all|list|sheet|register|ward|here|above|so far|(?:19|20)\d\d))*\W*$",
    re.I,
)
"""What a figure beside it counts: `Lines 2025`, `Properties`."""
PAGE_FOOT = re.compile(
    r"^(?:no\.? of )?(?:samples|items|entries)\s+(?:(?:on|taken)\s+)?(?:this|the)\s+(?:page|sheet)\b"
    r"|^[a-z].{1,60}\s[-–—:]\s*\d+ (?:entries|items|records|acms)\b(?:\s*page \d+)?\W*$|\bpage \d+\W*$"
    r"|^[a-z][\w.'-]*[:,]?\s+\d+ samples?(?: taken)?(?: in all| in total| on this page)?\W*$",
    re.I,
)
"""How many samples or entries a page, block or surveyor has, `Samples this page: 6`, `Jack: 16 samples`, `Elm House -
15 entries`, and the number of a page at the end of a line."""
REMARK = re.compile(r"^\s*(note|notes|nb|n\.b\.|page|photo|key|legend|end of|continued|cont|\*|©)|\bpage \d", re.I)
SIGNED = re.compile(
    r"^(?:(?:signed|checked|chkd|approved|authorised)\.?(?: by|:)?(?:\s|$)"
    r"|(?:typed|end of (?:list|register|schedule|sheet))\b)",
    re.I,
)
FURNITURE = re.compile(
    r"\b(page|items?|printed|issued|report|register|survey|copyright|positives?|total|entries|form|rev|version)\b", re.I
)
FEWEST_PAGES = 3


def page_furniture(lines: Iterable[tuple[Any, ...]]) -> set[str]:
    """The lines of one cell that come again and again but for their figures, as heads and feet of pages do."""
    alone = [
        [cell for cell in cells if cell.strip()] for _, _, _, is_heading, _, _, cells, _, _ in lines if not is_heading
    ]
    counted = Counter(without_figures(cells[0]) for cells in alone if len(cells) == 1)
    return {text for text, times in counted.items() if times >= FEWEST_PAGES and FURNITURE.search(text)}


def is_count(filled: Sequence[str]) -> bool:
    """Whether the filled cells of a row say no more than how many there are of something: `Lines 2025 | 10`."""
    return len(filled) == 2 and COUNTED.match(filled[0]) is not None and filled[1].strip().removesuffix(".0").isdigit()


def without_figures(text: str) -> str:
    return re.sub(r"\d+", "#", text.strip().lower())
