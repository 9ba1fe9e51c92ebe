"""What a column holds by its values alone, where its heading is not known."""

import re
from collections.abc import Sequence
from dataclasses import replace

from pipelines.register.contents import APART, MOSTLY, SURE
from pipelines.register.meanings import ELSE, UNCHANGED, Column
from pipelines.register.reader import Reader

BY_CONTENTS = {
    "stock": ("uprn", "postcode", "dwelling_type"),
    "registers": (
        "property_ref",
        "uprn",
        "address",
        "postcode",
        "surveyed_on",
        "room",
        "product",
        "identification",
        "asbestos_types",
        "damage",
        "surface",
        "extent",
        "extent_unit",
        "survey_type",
        "accessibility",
        "sample_ref",
        "position",
    ),
    "samples": (
        "property_ref",
        "uprn",
        "address",
        "postcode",
        "analysed_on",
        "room",
        "product",
        "asbestos_types",
        "sample_ref",
    ),
}
# A second column that is read as the first of these holds the other.
NOT_SEEN = re.compile(
    r"^(?:removed|gone|taken (?:out|down)|not (?:seen|inspected|visited|found)|no access)\b.*$|^n/?[as]$", re.I
)
"""What stands for a condition where a visit could find none."""
# Of two fields that the same contents fit as well, the one to take.
RATHER = {
    frozenset(("identification", "asbestos_types")): "identification",
    frozenset(("property_ref", "sample_ref")): "property_ref",
    frozenset(("product", "position")): "product",
    frozenset(("damage", "surface")): "damage",
    frozenset(("damage", "accessibility")): "damage",
    frozenset(("room", "position")): "room",
}
OF_RISK = re.compile(r"\b(?:risk|priority|score|rating|band)\b", re.I)
GRADED = ("accessibility", "damage", "surface")
"""Fields whose words are those of many scales."""
BY_CONTENTS_ALONE = "its contents are"


def by_contents(column: Column, values: Sequence[str], reader: Reader, taken: set[str]) -> Column:
    """What a column holds by its values alone, if they are sure and no other field fits nearly as well."""
    values = [value for value in values if not (UNCHANGED.match(value) or NOT_SEEN.match(value))]
    held = reader.contents
    is_answer = held.share("sampled", values) >= SURE and held.share_of_result(values) < APART
    free = [name for name in BY_CONTENTS.get(reader.kind, ()) if name not in taken or name == "identification"]
    if OF_RISK.search(column.heading):
        free = [name for name in free if name not in GRADED]
    if is_answer and "identification" in free:
        free.remove("identification")  # yes or no may answer any question
    if "address" in free and not held.knows_streets(values):
        free.remove("address")
    if len(values) < reader.least_fields or not free:
        return column
    ranked = [*reader.contents.best(values, free), (0.0, "")]
    if ranked[0][1] == "sample_ref" and (known := held.share("property_ref", values)) >= MOSTLY:
        ranked = [(1.0, "property_ref"), (1 - known, "sample_ref"), (0.0, "")]
    (share, name), (second, other) = ranked[0], ranked[1]
    sure = round(0.9 * share, 2)
    if second >= SURE and (rather := RATHER.get(frozenset((name, other)))):
        name, second = rather, ranked[2][0]
    if share >= SURE and share - second >= APART and sure >= reader.least_sure:
        why = f"{BY_CONTENTS_ALONE} a {name} ({share:.0%})"
        others = (name,) if name in taken else ELSE.get(name, ())
        return replace(column, field=name, confidence=sure, reason=why, others=others)
    if share >= MOSTLY:
        what = name if share - second >= APART else f"{name} or {other}"
        return replace(column, reason=f"the words are not known; it may be {what} ({share:.0%}), so it is not used")
    return column
