"""How much of the portfolio was surveyed, and the homes and parts that never were."""

import streamlit as st

from dashboard import data, parts

ALL = "all"
PARTS = {"area": "Area", "era": "Oldest part built"}
UNSEEN = (
    *("property_ref", "address", "area", "oldest_year", "exceedances", "likeliest"),
    *("part", "dwelling_type", "n_no_access", "postcode", "uprn"),
)
ROW_PX = 74


def show() -> None:
    """Shares by area and by age, then what never was."""
    coverage()
    never_surveyed()
    parts.basis(["coverage", "never_surveyed"], ["surveyed_properties", "possible_items", "possible_sums"])


def coverage() -> None:
    """How much was surveyed, by area and by age, and what never was."""
    parts.write(
        parts.heading("What was surveyed"),
        parts.paragraph(
            "A home or part counts as surveyed where somebody was inside and looked: not only at the door, not only "
            f"for one sample, not only in a home thought alike. {parts.DUTY}",
            "quiet",
        ),
    )
    for column, (by, label) in zip(st.columns(len(PARTS), gap="large"), PARTS.items(), strict=True):
        with column:
            shares(by, label)


def shares(by: str, label: str) -> None:
    """How much of each area, or of each age, was surveyed."""
    rows = data.ask("coverage", by=by)
    parts.write(
        parts.table(
            [label, "Homes surveyed", "Share", f"{parts.PREMISES.capitalize()} surveyed", "Share"],
            [
                (
                    row.part,
                    *parts.share_of(row.homes_surveyed, row.homes),
                    *parts.share_of(row.premises_surveyed, row.premises),
                )
                for row in data.each(rows)
            ],
            numbers=[1, 2, 3, 4],
        )
    )
    parts.as_csv("These as csv", lambda: rows, f"surveyed_by_{by}")


def never_surveyed() -> None:
    """Homes and parts that nobody has looked at, and what is likeliest to be in them."""
    parts.write(parts.heading("Never surveyed"))
    values = data.ask("filter_values")
    known = {by: [ALL, *values.loc[values["filter"] == by, "value"]] for by in PARTS}
    picked: dict[str, str | None] = {}
    for by, label in PARTS.items():
        parts.left_out(f"never_{by}", label, known[by])
    for column, (by, label) in zip(st.columns([1] * len(PARTS) + [2]), PARTS.items(), strict=False):
        with column:
            chosen = st.selectbox(label, known[by], key=f"never_{by}", bind="query-params")
            picked[by] = None if chosen == ALL else chosen
    found = data.ask("never_surveyed", **picked)
    if found.empty:
        parts.write(parts.paragraph("Every home and part here was surveyed."))
        return
    parts.write(
        parts.paragraph(
            f"{parts.counted(len(found), 'home or part', 'homes and parts')}, the most expected exposure first. What "
            "is likeliest there is a chance from homes built alike, no finding: before work, presume all of it. Their "
            "figures have ranges on the page Building.",
            "quiet",
        )
    )
    st.dataframe(
        found.assign(property_ref=parts.links_to(found)),
        hide_index=True,
        placeholder="",
        row_height=ROW_PX,
        column_order=UNSEEN,
        column_config={
            "property_ref": parts.property_column("Reference"),
            "uprn": st.column_config.NumberColumn("UPRN", format="%d"),
            "address": st.column_config.TextColumn("Address", width=260),
            "postcode": "Postcode",
            "area": "Area",
            "part": "Part",
            "dwelling_type": "Type",
            "oldest_year": st.column_config.NumberColumn("Oldest part built", format="%d"),
            "n_no_access": st.column_config.NumberColumn("Rows without access", format="%d"),
            "likeliest": st.column_config.TextColumn("Likeliest there", width=380),
            "exceedances": st.column_config.NumberColumn(
                "Exceedances a year",
                format="%.2g",
                help="How many times a year the 4-hour mean is expected to exceed the control limit of 0.1 f/ml",
            ),
        },
    )
    parts.as_csv("These as csv", lambda: found, "never_surveyed")
