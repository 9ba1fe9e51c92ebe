"""Forms in which a person answers a question, accepts a doubt or corrects a value; `actions` writes what they decide.

Each is folded away until it is opened, and asks for a name once in a visit. What was decided is read back from the file
that holds it, so that it shows as decided to everybody until a build has read it.
"""

import csv
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from io import StringIO
from typing import Any, TypeVar

import pandas as pd
import streamlit as st
from markupsafe import Markup

from dashboard import actions, data, parts
from pipelines.errors import CorrectionError

Cells = tuple[str, ...]
Name = TypeVar("Name")

SIGNED_BY, LAST = "signed by", "last decision"
LONGEST_NAME, LONGEST_WHY = 80, 400
PROPERTIES_FOUND = 20
NOT_USED, NOT_OURS, NEW_ITEM = ("none",), ("none",), ("new", "", "", "")
IN_WORDS = {
    ("heading", NOT_USED): "nothing that is needed",
    ("property", NOT_OURS): "none: it is not ours",
    ("item link", NEW_ITEM): "another item, none of these",
}
OF_EVERY_ROW = ("product", "place")
OF_EVIDENCE = ("identification", "asbestos_types", "asbestos_type_score")


@dataclass(frozen=True)
class Decided:
    """What people decided of one kind, by what it is about, and whether the last build can have read it."""

    kind: str
    answers: Mapping[Cells, actions.Answer]
    is_waiting: bool

    def waiting(self, asked: Sequence[str]) -> actions.Answer | None:
        """The answer that waits for the next build."""
        return self.answers.get(actions.key(self.kind, asked)) if self.is_waiting else None


def decided(kind: str) -> Decided:
    """What stands in the file of a kind of decision."""
    folder = data.folder()
    return Decided(
        kind, actions.answers(folder, kind), data.is_newer(f"{actions.CORRECTIONS}/{actions.KINDS[kind].file}")
    )


def question(row: Any, so_far: Decided, places: Sequence[Any] = ()) -> None:
    """A question, links to what it is about, and the form that answers it or the answer that waits for a build."""
    asked = tuple(row.asked)
    parts.write(
        Markup('<div class="question"><span class="rows">{}</span><span>{}</span><b>{}</b>{}</div>').format(
            parts.counted(row.n_rows, "row"), row.question, row.written, links(places)
        )
    )
    waits = so_far.waiting(asked)
    if waits:
        answered(row.kind, {asked: waits.cells}, waits, spoken(row.kind, waits.cells))
        return
    key = name_of(row.kind, asked)
    box = st.expander("Answer", key=f"question {key}", on_change="rerun", type="compact")
    if not box.open:
        return
    with box:
        if actions.why_not(data.folder()):
            by_hand(row.answer_in, row.answer_heading, row.answer_line)
        elif chosen := choose(row, key):
            form(key, row.kind, {asked: chosen}, "Write this answer")


def links(places: Sequence[Any]) -> Markup:
    """Where to look before one decides: the homes that may be meant, or the item asked about and what it may be."""
    if not places:
        return Markup("")
    said = [
        Markup('<a href="{}" target="_self">{}</a>').format(
            parts.link_to(place.building_ref, place.property_ref, None if pd.isna(place.item_id) else place.item_id),
            f"{'the item of this row' if place.is_asked else 'what it may be'}, {place.address}"
            if place.kind == "item link"
            else f"{place.address} ({place.property_ref})",
        )
        for place in places
    ]
    return Markup('<span class="see">See {}</span>').format(Markup("; ").join(said))


def choose(row: Any, key: str) -> Cells | None:
    """The answer picked: the likeliest first, then what else there is."""
    names: dict[Cells, str] = {}
    if row.kind == "property":
        names = dict(zip(map(tuple, row.answers), row.candidates, strict=True))
        wanted = st.text_input("Find another property", key=f"{key} find", placeholder="reference, UPRN or address")
        if wanted:
            found = data.ask("find_properties", text=wanted, top=PROPERTIES_FOUND)
            names |= {(hit.property_ref,): place_of(hit) for hit in data.each(found)}
        names[NOT_OURS] = IN_WORDS["property", NOT_OURS]
    elif row.kind == "heading":
        fields = data.ask("heading_fields", kind=row.asked[0].partition("/")[0])["field"]
        names = {NOT_USED: IN_WORDS["heading", NOT_USED]} | {(field,): parts.in_words(field) for field in fields}
    elif row.kind == "term":
        terms = [*row.candidates, *data.ask("field_terms", field=row.asked[0])["term"]]
        names = {(term,): parts.in_words(term) for term in terms}
    else:
        names = {tuple(cells): f"the same as {said}" for cells, said in zip(row.answers, row.candidates, strict=True)}
        names[NEW_ITEM] = IN_WORDS["item link", NEW_ITEM]
    return one_of(names, "It means", f"{key} answer")


def one_of(names: Mapping[Name, str], label: str, key: str, width: int = 620) -> Name | None:
    """What is chosen among several by their names in words, nothing at first."""
    return st.selectbox(
        label, list(names), index=None, format_func=names.__getitem__, placeholder="Choose", key=key, width=width
    )


def place_of(hit: Any) -> str:
    """A property in a list of those found."""
    return ", ".join(str(text) for text in (hit.property_ref, hit.address, hit.postcode) if not pd.isna(text))


def item(row: Any, doubts: pd.DataFrame, entries: pd.DataFrame) -> None:
    """What can be decided about an item: which doubts are accepted, and what else its rows should say."""
    corrections = decided("factor")
    waiting = corrections.answers if corrections.is_waiting else {}
    for entry in data.each(entries) if waiting else ():
        for asked, answer in waiting.items():
            if asked[:4] == cells_of(entry):
                said = f"{parts.in_words(asked[4])} is {parts.in_words(answer.cells[0])}"
                answered("factor", {asked: answer.cells}, answer, said)
    box = st.expander(
        "Accept a doubt or correct a value", key=f"decide {row.item_id}", on_change="rerun", type="compact"
    )
    if not box.open:
        return
    with box:
        reason = actions.why_not(data.folder())
        if reason:
            parts.notice(f"Nothing can be written here: {reason}. What is picked shows as lines to append by hand.")
        accept(row.item_id, row_of(entry_of(entries, row.entry_id)), doubts, can_write=reason is None)
        correct(row, entries, can_write=reason is None)


def stock_row(property_ref: str, doubts: pd.DataFrame) -> None:
    """What was read with a flag in a property's row of the stock list, and the form that accepts one."""
    if doubts.empty:
        return
    where = row_of(next(data.each(doubts)))
    parts.write(doubt_list(doubts, where))
    box = st.expander(
        "Accept a doubt about the property list", key=f"decide {property_ref}", on_change="rerun", type="compact"
    )
    if box.open:
        with box:
            accept(property_ref, where, doubts, can_write=actions.why_not(data.folder()) is None)


def doubt_list(doubts: pd.DataFrame, where: Cells) -> Markup:
    """What was read with a flag in a row, a line each; what somebody accepted or corrected is marked as settled."""
    waiting = decided("accepted")
    lines = []
    for row in data.each(doubts):
        waits = waiting.waiting((*where, row.doubt))
        settled = ""
        if not pd.isna(row.accepted_by):
            why = "" if pd.isna(row.accepted_why) else f": {row.accepted_why}"
            settled = f"; accepted by {row.accepted_by}, {parts.day(row.accepted_on)}{why}"
        elif waits:
            settled = f"; accepted by {waits.who}, from the next build on"
        lines.append(
            Markup('<li class="{}">{}: {} ({}{})</li>').format(
                "settled" if settled or row.kind == "corrected" else "open",
                parts.in_words(row.field).capitalize(),
                row.reason,
                row.kind,
                settled,
            )
        )
    return Markup('<ul class="doubts">{}</ul>').format(Markup("").join(lines))


def accept(key: str, where: Cells, doubts: pd.DataFrame, can_write: bool) -> None:
    """Pick a doubt that somebody has looked into: it stays to be seen, and no longer counts as open."""
    so_far = decided("accepted")
    names = {
        doubt.doubt: f"{parts.in_words(doubt.field)}: {doubt.reason}"
        for doubt in data.each(doubts)
        if pd.isna(doubt.accepted_by) and doubt.kind != "corrected" and not so_far.waiting((*where, doubt.doubt))
    }
    if not names:
        return
    parts.write(parts.heading("Accept a doubt", 3))
    if picked := one_of(names, "Doubt", f"accept {key}"):
        told: dict[Cells, Cells] = {(*where, picked): ()}
        write_or_show(f"accept {key}", "accepted", told, "Accept this doubt", can_write)


def correct(row: Any, entries: pd.DataFrame, can_write: bool) -> None:
    """Pick a field and say what it holds. Product and place say which item it is, so all of its rows are corrected."""
    parts.write(parts.heading("Correct a value", 3))
    fields = data.ask("correctable_fields")
    names = dict(zip(fields["field"], fields["in_words"], strict=True))
    field = one_of(names, "What to correct", f"correct {row.item_id}", width=320)
    if field is None:
        return
    value = value_of(field, f"{field} {row.item_id}")
    about = entries
    if field not in OF_EVERY_ROW:
        entry_id = row.evidence_entry_id if field in OF_EVIDENCE else row.entry_id
        about = entries[entries["entry_id"] == entry_id]
    told = {(*cells_of(entry), str(field)): (value,) for entry in data.each(about)}
    rows = "; ".join(parts.source(entry.path, entry.sheet, entry.row_number) for entry in data.each(about))
    parts.write(parts.paragraph(f"This corrects {rows}.", "source"))
    if value:
        write_or_show(f"correct {row.item_id}", "factor", told, "Write this correction", can_write)


def value_of(field: str, key: str) -> str:
    """What a field is said to hold, blank where nothing was chosen."""
    if field == "extent":
        extent = st.number_input("Extent", min_value=0.0, value=None, key=key, width=320)
        return "" if extent is None else f"{extent:g}"
    values = data.ask("correctable_values", field=field)
    names = dict(zip(values["value"], values["in_words"], strict=True))
    if field == "asbestos_types":
        return "+".join(st.multiselect("It holds", list(names), format_func=lambda one: names[one], key=key, width=620))
    return one_of(names, "It holds", key, width=320) or ""


def write_or_show(key: str, kind: str, told: Mapping[Cells, Cells], button: str, can_write: bool) -> None:
    """The form that writes what was picked, or the lines to write by hand."""
    if can_write:
        form(key, kind, told, button)
    else:
        by_hand(*lines(kind, told))


def form(key: str, kind: str, told: Mapping[Cells, Cells], button: str) -> None:
    """Who decides and why, and the button that writes it."""
    signed = st.session_state.get(SIGNED_BY, "")
    if signed and st.button("Signed as somebody else?", key=f"{key} other", type="tertiary"):
        st.session_state[SIGNED_BY] = signed = ""
    with st.form(f"{key} form", border=False):
        if signed:
            parts.write(parts.paragraph(f"Signed {signed}.", "quiet"))
        with st.container(horizontal=True):
            who = signed or st.text_input("Your name", key=f"{key} who", max_chars=LONGEST_NAME, width=240)
            why = st.text_input("Why (may stay blank)", key=f"{key} why", max_chars=LONGEST_WHY, width=480)
        is_sent = st.form_submit_button(button)
    if not is_sent:
        return
    try:
        written = actions.decide(data.folder(), kind, told, who, date.today(), why)
    except CorrectionError as error:
        parts.notice(str(error))
        return
    st.session_state[SIGNED_BY] = who
    if written:
        st.session_state[LAST] = (kind, [actions.key(kind, asked) for asked in told], written)
    st.rerun()


def answered(kind: str, told: Mapping[Cells, Cells], answer: actions.Answer, said: str) -> None:
    """A decision that the next build will read, and a way back while nothing was written after it."""
    why = f" ({answer.why})" if answer.why else ""
    parts.write(
        Markup('<p class="decided"><b>{}</b>, said {} on {}{}. Written to {}; the next build reads it: {}</p>').format(
            said[:1].upper() + said[1:],
            answer.who,
            answer.on,
            why,
            f"{actions.CORRECTIONS}/{actions.KINDS[kind].file}",
            Markup("<code>{}</code>").format(f"undisturbed build {data.folder()}"),
        )
    )
    last_kind, last_keys, written = st.session_state.get(LAST, ("", (), None))
    is_mine = last_kind == kind and any(actions.key(kind, asked) in last_keys for asked in told)
    key = f"back {name_of(kind, next(iter(told)))}"
    if is_mine and actions.is_last(written) and st.button("Take it back", key=key, type="tertiary"):
        actions.take_back(written)
        del st.session_state[LAST]
        st.rerun()


def by_hand(file: str, heading: str, line: str) -> None:
    """The heading of a file and the line that decides."""
    parts.write(parts.paragraph(f"To be appended to {file} by hand, with who, on and why filled in:", "source"))
    st.code(f"{heading}\n{line}", language=None, wrap_lines=True)


def lines(kind: str, told: Mapping[Cells, Cells]) -> tuple[str, str, str]:
    """The file, its heading and the lines that decide something."""
    form_of = actions.KINDS[kind]
    written = StringIO(newline="")
    csv.writer(written, lineterminator="\n").writerows([*asked, *answer, "", "", ""] for asked, answer in told.items())
    return f"{actions.CORRECTIONS}/{form_of.file}", ",".join(form_of.columns), written.getvalue().rstrip("\n")


def spoken(kind: str, cells: Cells) -> str:
    """The answer to a question in words."""
    if (kind, cells) in IN_WORDS:
        return IN_WORDS[kind, cells]
    if kind == "item link":
        path, sheet, row_number, _ = cells
        where = (path, f"sheet {sheet}" if sheet else "", f"row {row_number}")
        return f"the item of {', '.join(filter(None, where))}"
    return f"property {cells[0]}" if kind == "property" else parts.in_words(cells[0])


def cells_of(entry: Any) -> Cells:
    """Which row and part an entry is, as decisions name it."""
    return (*row_of(entry), str(entry.part))


def row_of(row: Any) -> Cells:
    """Which row of a file one is, as decisions name it."""
    return row.path, "" if pd.isna(row.sheet) else row.sheet, str(row.row_number)


def entry_of(entries: pd.DataFrame, entry_id: str) -> Any:
    """One of an item's entries."""
    return next(data.each(entries[entries["entry_id"] == entry_id]))


def name_of(kind: str, asked: Sequence[str]) -> str:
    """A name for the widgets of one question."""
    return hashlib.sha256(repr((kind, *asked)).encode()).hexdigest()[:16]
