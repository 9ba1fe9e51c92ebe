"""What visits and laboratories say of an item, with its source rows and what was doubted in them."""

from dataclasses import dataclass
from typing import Any

import pandas as pd
from markupsafe import Markup

from dashboard import data, decisions, parts, scores


@dataclass(frozen=True)
class Said:
    """What registers and laboratories say of a property, or of one item in it: rows, what was doubtful in them, what
    they say against each other, results."""

    entries: pd.DataFrame
    doubts: pd.DataFrame
    contradictions: pd.DataFrame
    samples: pd.DataFrame

    @classmethod
    def of_property(cls, property_ref: str) -> "Said":
        """All that is said of a property."""
        names = ("entries", "doubts", "contradictions", "samples")
        return cls(*(data.ask(f"property_{name}", property_ref=property_ref) for name in names))

    def of_item(self, item_id: str) -> "Said":
        """What is said of one item."""
        entries, contradictions, samples = (
            frame[frame["item_id"] == item_id] for frame in (self.entries, self.contradictions, self.samples)
        )
        return Said(entries, self.doubts[self.doubts["entry_id"].isin(entries["entry_id"])], contradictions, samples)

    def doubts_of(self, entry_id: str) -> pd.DataFrame:
        """What was doubtful in one row."""
        return self.doubts[self.doubts["entry_id"] == entry_id]


def show(item: Any, said: Said) -> None:
    """Every visit, what laboratories found, then each source row as it stood in its file."""
    parts.write(
        parts.table(
            [
                "Visit",
                "Kind of survey",
                "Surveyor or firm",
                "Room and material as written",
                "Damage score",
                "Result",
                "Material score",
                "Why it is this item",
                "Source row",
            ],
            [
                (
                    parts.day(row.surveyed_on),
                    parts.in_words(row.survey_type),
                    row.organisation if pd.isna(row.surveyor) else row.surveyor,
                    "; ".join(text for text in (row.room_text, row.product_text) if not pd.isna(text)),
                    "–" if pd.isna(row.damage_score) else row.damage_score,
                    result(row),
                    "not scored"
                    if pd.isna(row.material_low)
                    else scores.score_in_words(
                        row.material_score, row.material_low, row.material_high, row.material_band
                    ),
                    known_by(row),
                    parts.source(row.path, row.sheet, row.row_number),
                )
                for row in data.each(said.entries)
            ],
            numbers=[4],
        )
    )
    parts.as_csv("These visits as csv", lambda: said.entries, f"visits_{item.item_id}")
    if not said.samples.empty:
        parts.write(parts.heading("What laboratories found", 3), samples_table(said.samples))
        parts.as_csv("These results as csv", lambda: said.samples, f"results_{item.item_id}")
    cells = {
        row.entry_id: data.ask("entry_cells", entry_id=row.entry_id, property_ref=row.property_ref).assign(
            path=row.path, sheet=row.sheet, row_number=row.row_number
        )
        for row in data.each(said.entries)
    }
    for row in data.each(said.entries):
        uses = [
            use
            for use, entry_id in (("condition", item.entry_id), ("evidence", item.evidence_entry_id))
            if entry_id == row.entry_id
        ]
        source_row(row, cells[row.entry_id], said.doubts_of(row.entry_id), uses)
    parts.as_csv("These source rows as csv", lambda: pd.concat(cells.values()), f"source_rows_{item.item_id}")


def source_row(entry: Any, cells: pd.DataFrame, doubts: pd.DataFrame, uses: list[str]) -> None:
    """A register row as it stood in the file, beside the field that each column was read as."""
    use = f" The item's {' and '.join(uses)} come from here." if uses else ""
    parts.write(
        parts.heading(parts.source(entry.path, entry.sheet, entry.row_number), 3),
        parts.paragraph(f"The row as it stood in the file, whose SHA-256 is {entry.sha256}.{use}", "source"),
        parts.table(
            ["Heading", "Cell as written", "Read as"],
            [
                (
                    "" if pd.isna(cell.heading) else cell.heading,
                    "" if pd.isna(cell.written) else cell.written,
                    "not used" if pd.isna(cell.field) else parts.in_words(cell.field),
                )
                for cell in data.each(cells)
            ],
        ),
    )
    if not doubts.empty:
        parts.write(decisions.doubt_list(doubts, decisions.row_of(entry)))


def result(row: Any) -> str:
    """The result of a visit, and what the register says where a laboratory says otherwise."""
    if row.identification == row.register_identification:
        return parts.in_words(row.identification)
    register = parts.in_words(row.register_identification)
    return f"{parts.in_words(row.identification)} by the laboratory; register: {register}"


def known_by(row: Any) -> str:
    """Why a row is about this item, and how sure that is."""
    return f"{row.link_reason[:1].upper()}{row.link_reason[1:]} ({parts.chance(row.link_strength)} sure)"


def samples_table(samples: pd.DataFrame) -> Markup:
    """Laboratories' results as they wrote them, with why each is about this and where it stands."""
    return parts.table(
        [
            *("Sample", "Result", "Result as written", "Material and place as written", "Analysed on"),
            *("Laboratory, certificate, analyst", "Why it is of this item, or of none", "Source row"),
        ],
        [
            (
                sample.sample_ref,
                found(sample),
                sample.result_text,
                "; ".join(text for text in (sample.product_text, sample.room_text) if not pd.isna(text)),
                parts.day(sample.analysed_on),
                ", ".join(
                    text for text in (sample.laboratory, sample.certificate_ref, sample.analyst) if not pd.isna(text)
                ),
                sample.set_aside_in_short if pd.isna(sample.join_reason) else sample.join_reason,
                parts.source(sample.path, sample.sheet, sample.row_number),
            )
            for sample in data.each(samples)
        ],
    )


def found(sample: Any) -> str:
    """The types of asbestos in a sample, or that there is none."""
    types = [one for one in sample.asbestos_types if one != "unknown"]
    if not len(sample.asbestos_types):
        return "no asbestos detected"
    return " and ".join(types) or "asbestos of a type not stated"
