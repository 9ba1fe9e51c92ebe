"""How scores look: the step of a colour with its figure, the four parts of twelve, the mark of what cannot wait."""

from typing import Any

import pandas as pd
from markupsafe import Markup

from dashboard import parts, theme

SUB_SCORES = {
    "product_type": "Product type",
    "damage": "Damage",
    "surface_treatment": "Surface treatment",
    "asbestos_type": "Asbestos type",
}


def chip(score: Any) -> Markup:
    """A material score on the colour of its step, or a dash where there is none."""
    if pd.isna(score):
        return Markup('<span class="chip none" title="no score">–</span>')
    return Markup('<span class="chip step{}" title="material score {} of 12">{}</span>').format(
        theme.step(int(score)), int(score), int(score)
    )


def total_chip(total: Any, has_total: Any, low: Any, high: Any, score: Any) -> Markup:
    """A total on the colour of its material score, as the highest that it can be where a part is missing; with how low
    and high it can be where some of it is assumed."""
    if pd.isna(total):
        return chip(total)
    said = f"{total}" if has_total else f"≤{total}"
    span = f"could be {low} to {high}" if low < high else "nothing in it assumed"
    return Markup(
        '<span class="chip step{}" title="total {} of 24, {}; its colour says the material score, {} of 12">{}</span>'
    ).format(theme.step(int(score)), said, span, int(score), said)


def exposure_chip(exceedances: float, step: int) -> Markup:
    """Expected exceedances a year on the colour of their step."""
    return Markup('<span class="chip step{}" title="expected exceedances a year">{}</span>').format(
        step, parts.figure(exceedances)
    )


def act_now() -> Markup:
    """The mark of what cannot wait: a frame and words, no colour."""
    return Markup('<span class="now">act now</span>')


def score_in_words(score: Any, low: int, high: int, band: Any) -> str:
    """`7 of 12, medium`, `5 of 12, at least 3` or `4 to 7 of 12`."""
    if pd.isna(score):
        said = f"{low} to {high} of {theme.HIGHEST}"
    elif low < score or score < high:
        said = f"{score} of {theme.HIGHEST}, could be {low} to {high}"
    else:
        said = f"{score} of {theme.HIGHEST}"
    return said if pd.isna(band) else f"{said}, {band}"


def score_scale(item: Any) -> Markup:
    """The four sub-scores as parts of twelve: solid as far as they are sure, hatched as far as they may go."""
    step = theme.step(int(item.shown_score))
    bars, names = [], []
    for part, name in SUB_SCORES.items():
        low, high = getattr(item, f"{part}_low"), getattr(item, f"{part}_high")
        score = getattr(item, f"{part}_score")
        for units, kind in ((low, "sure"), (high - low, "perhaps")):
            if units:
                label = low if kind == "sure" else f"+{units}"
                bars.append(
                    Markup('<span class="step{} {}" style="width:{}%" title="{}">{}</span>').format(
                        step, kind, round(100 * units / theme.HIGHEST, 3), name, label
                    )
                )
        said = f"{low} to {high}" if pd.isna(score) else f"{score}"
        said += f" (could be {low} to {high})" if not pd.isna(score) and low < high else ""
        names.append(Markup("<b>{}</b><span>{}</span>").format(said, name))
    return Markup('<div class="scale">{}</div><div class="parts">{}</div>').format(
        Markup("").join(bars), Markup("").join(names)
    )
