"""How each firm's surveyors put things: from plain terms to the words and numbers in a cell."""

import meaning
import numpy as np
import pandas as pd
import surveys
from draw import Flags, Floats, Texts, codes, stream, table
from surveys import CORBELHYTHE, TARNBRAKE, UMBERLOW

COLUMNS = ("tarnbrake", "umberlow", "corbelhythe")
"""Of tables/words.csv, in the order of the firms."""
SAMPLE_MARKS = np.array(["S", "UI/", "CH-"], dtype=object)
RISKS = ((4, "Very low"), (6, "Low"), (9, "Medium"), (12, "High"))
"""What the third firm calls a material score up to so much."""
SHORT = {
    "Road": "Rd",
    "Street": "St",
    "Terrace": "Terr",
    "Avenue": "Ave",
    "Close": "Cl",
    "Crescent": "Cres",
    "Gardens": "Gdns",
    "Drive": "Dr",
    "Common parts": "Communal",
    "Court": "Ct",
}


class Phrasebook:
    """The variants of every term, by field and firm (tables/words.csv; common practice, no source)."""

    def __init__(self) -> None:
        frame = table("words")
        frame["term"] = frame["term"].astype(str)
        self.fields = {field: part.set_index("term") for field, part in frame.groupby("field")}

    def say(self, field: str, terms: "pd.Series[str]", firms: "pd.Series[int]", u: Floats) -> Texts:
        """A variant for each term; u in 0 to 1 chooses, small values the more usual ones."""
        out = np.empty(len(terms), dtype=object)
        for firm, column in enumerate(COLUMNS):
            variants = self.fields[field][column].str.split("|")
            size = pd.Series([len(words) for words in variants], index=variants.index)
            start = size.cumsum() - size
            flat = np.array([word for words in variants for word in words], dtype=object)
            mine = firms.to_numpy() == firm
            term = terms[mine].astype(str)
            step = np.floor(u[mine] ** 1.5 * term.map(size).to_numpy(dtype=float)).astype(np.int64)
            out[mine] = flat[term.map(start).to_numpy(dtype=np.int64) + step]
        return out


def _habits(rows: pd.DataFrame, terms: "pd.Series[str]", rng: np.random.RandomState, loyal: float = 0.75) -> Floats:
    """Draws by which a surveyor mostly keeps to one variant of a term."""
    who, term = rows["surveyor"].to_numpy(), codes(terms.astype(str))
    own = rng.random_sample((int(who.max(initial=0)) + 1, int(term.max(initial=0)) + 1))
    return np.where(rng.random_sample(len(rows)) < loyal, own[who, term], rng.random_sample(len(rows)))


def _by_item(rows: pd.DataFrame, rng: np.random.RandomState) -> Floats:
    """Draws that stay the same for an item from visit to visit; fresh ones for rows without an item."""
    item = codes(rows["item"])
    fixed = rng.random_sample(int(item.max(initial=0)) + 1)[item]
    return np.where(rows["item"] == "", rng.random_sample(len(rows)), fixed)


def _number(values: Floats) -> Texts:
    """Numbers as people write them: 12, 7.5."""
    whole = values == np.round(values)
    return np.where(whole, np.round(values).astype(np.int64).astype(str), np.round(values, 1).astype(str)).astype(
        object
    )


def _unsaid(element: Texts, text: Texts) -> Flags:
    """Whether a cell's words leave the element open ("flat roof" is not said twice)."""
    return np.array([word.split(" ")[-1] not in said.lower() for word, said in zip(element, text, strict=True)])


def _rooms(rows: pd.DataFrame, book: Phrasebook, rng: np.random.RandomState) -> tuple[Texts, Texts]:
    """Room cell and product cell; the element stands in the one, the other or neither."""
    room = book.say("room", rows["room"], rows["firm"], _by_item(rows, rng))
    product = book.say("product", rows["say"], rows["firm"], _habits(rows, rows["say"], rng))
    where = _by_item(rows, rng)
    element = rows["element"].to_numpy(dtype=object)
    named = (element != "") & _unsaid(element, room)
    in_room = named & (where < 0.62) & (rows["firm"] != CORBELHYTHE)
    joint = np.array([" - ", ", ", " "], dtype=object)[(where * 15).astype(int) % 3]
    in_product = named & (where > 0.80) & (rows["firm"] == TARNBRAKE) & (product != "") & _unsaid(element, product)
    return np.where(in_room, room + joint + element, room), np.where(in_product, product + " to " + element, product)


def _extents(rows: pd.DataFrame, book: Phrasebook, rng: np.random.RandomState) -> tuple[Texts, Texts]:
    """Number and unit cells; measured again at times, now and then only estimated."""
    again = (rows["kind"] == "again") & (rng.random_sample(len(rows)) < 0.12) & (rows["unit"] != "nr")
    drift = np.where(again, rng.uniform(0.8, 1.2, len(rows)), 1.0)
    value = np.maximum(np.round(rows["extent"].fillna(0).to_numpy(dtype=float) * drift * 2) / 2, 0.5)
    text = _number(value)
    u = rng.random_sample(len(rows))
    text = np.select([u < 0.02, u < 0.03], ["approx " + text, "c" + text], text)
    measured = (rows["unit"] != "") & (rows["status"] != "no access")
    unit_term = rows["unit"].where(measured, "m2")
    unit = book.say("unit", unit_term, rows["firm"], _habits(rows, unit_term, rng, 0.9))
    vague = measured & (rng.random_sample(len(rows)) < 0.008)
    return (np.select([~measured, vague], ["", "throughout"], text), np.where(measured & ~vague, unit, ""))


def _samples(rows: pd.DataFrame) -> Texts:
    """Own sample numbers, and cross-references such as "as S0123"."""
    digits = rows["sample"].astype(str).str.zfill(4).to_numpy(dtype=object)
    last = (rows["sample"] + rows["taken"] - 1).astype(str).str.zfill(4).to_numpy(dtype=object)
    mark = SAMPLE_MARKS[rows["sampler"].to_numpy()]
    ref = np.where(rows["taken"] > 1, mark + digits + "-" + mark + last, mark + digits)
    turn = np.array(["as ", "As ", "ref ", "x-ref "], dtype=object)[rows["surveyor"].to_numpy() % 4]
    carried = (rows["kind"] == "again") & ((rows["status"] == "identified") | rows["awaited"])
    plain = rows["own"] | carried
    shown = (rows["sample"] > 0) & (rows["status"] != "no access")
    return np.select([~shown, plain], ["", ref], turn + mark + digits)


def _actions(rows: pd.DataFrame, book: Phrasebook, rng: np.random.RandomState) -> Texts:
    """Recommendation that follows from status, damage and product."""
    acm, licensed = rows["scored"], rows["pt"].to_numpy() >= 2
    bad = rows["read"].to_numpy()
    u = rng.random_sample(len(rows))
    action = np.select(
        [
            rows["status"] == "no access",
            ~acm,
            (bad >= 2) & licensed,
            bad >= 3,
            bad == 2,
            (bad == 1) & (u < 0.5),
        ],
        ["gain access", "none", "remove licensed", "remove", "repair", "repair"],
        "manage",
    )
    terms = pd.Series(action, index=rows.index, dtype=object)
    return book.say("action", terms, rows["firm"], _habits(rows, terms, rng))


def _comments(rows: pd.DataFrame, book: Phrasebook, rng: np.random.RandomState) -> Texts:
    """Remarks on a sixth of the rows; reasons for no access; the scope of refurbishment surveys."""
    u = rng.random_sample(len(rows))
    first = ~rows["visit"].duplicated()
    scope = (rows["survey"] == "refurbishment") & first & (u < 0.6)
    awaited = rows["awaited"] & (rows["status"] == "presumed")
    term = np.select(
        [rows["kind"] == "failed", rows["status"] == "no access", awaited, scope],
        ["failed visit", "no access", "awaited", "scope"],
        "item",
    )
    text = book.say(
        "comment", pd.Series(term, index=rows.index, dtype=object), rows["firm"], rng.random_sample(len(rows))
    )
    return np.where(
        (term == "scope") | (term == "awaited") | ((term == "item") & (u < 0.16)) | ((term != "item") & (u < 0.8)),
        text,
        "",
    )


def _identity(rows: pd.DataFrame, homes: pd.DataFrame, rng: np.random.RandomState) -> pd.DataFrame:
    """Reference, UPRN, address and postcode cells: one manner of writing the address for each visit."""
    visit = rows["visit"].to_numpy()
    manner = rng.random_sample(int(visit.max(initial=0)) + 1)[visit]
    own = homes.iloc[rows["home"].to_numpy()]
    full = own["address"].reset_index(drop=True).astype(object)
    short = full.replace({rf"\b{word}\b": brief for word, brief in SHORT.items()}, regex=True)
    with_code = full + ", " + own["postcode"].reset_index(drop=True).astype(object)
    upper = with_code.str.upper()
    pick_b = np.select([manner < 0.45, manner < 0.70, manner < 0.80], [full, with_code, upper], short)
    pick_a = np.select([manner < 0.70, manner < 0.80], [full, full.str.upper()], short)
    code = own["postcode"].to_numpy(dtype=object)
    return pd.DataFrame(
        {
            "ref": own["ref"].to_numpy(dtype=object),
            "uprn": own["uprn"].to_numpy(dtype=object),
            "address": np.where(rows["firm"] == UMBERLOW, pick_b, pick_a),
            "postcode": np.where(manner > 0.93, "", code),
        }
    )


def _initials(rows: pd.DataFrame) -> Texts:
    """Initials of the surveyor of each row."""
    who = pd.Series(list(zip(rows["firm"], rows["surveyor"], strict=True)), index=rows.index)
    names = {(firm, number): surveys.initials(firm, number) for firm, number in who.unique()}
    return np.asarray(who.map(names).to_numpy(dtype=object))


def _scores(rows: pd.DataFrame, rng: np.random.RandomState) -> pd.DataFrame:
    """Four sub-scores and their total as text; negative rows hold noughts or blanks, by surveyor's custom."""
    acm = rows["scored"].to_numpy()
    negative = (
        rows["status"].isin(["not detected", "not suspect"]).to_numpy() & (rows["firm"] != CORBELHYTHE).to_numpy()
    )
    noughts = negative & ((rows["surveyor"].to_numpy() % 2 == 0) ^ (rng.random_sample(len(rows)) < 0.1))
    total = rows["pt"] + rows["read"] + rows["st"] + rows["at"]
    cells = {
        "s_pt": rows["pt"],
        "s_damage": rows["read"],
        "s_st": rows["st"],
        "s_at": rows["at"],
        "s_total": total,
    }
    out = pd.DataFrame(
        {
            name: np.select([acm, noughts], [part.astype(str).to_numpy(dtype=object), "0"], "")
            for name, part in cells.items()
        }
    ).astype(object)
    risk = np.select([total <= most for most, _ in RISKS], [word for _, word in RISKS], "")
    out["risk"] = np.where(acm, risk, "").astype(object)
    awaited = rows["awaited"] & rows["own"]
    return out.assign(rule=np.select([noughts, awaited], ["zero_scores_on_negative", "presumed_with_sample"], ""))


def write_down(rows: pd.DataFrame, homes: pd.DataFrame, seed: int) -> pd.DataFrame:
    """Every row in the words of its firm; columns are the cells both layouts draw upon."""
    book, rng = Phrasebook(), stream(seed, 5)
    cells = pd.concat([_identity(rows, homes, rng), _scores(rows, rng)], axis=1)
    cells["room"], cells["product"] = _rooms(rows, book, rng)
    cells["extent"], cells["unit"] = _extents(rows, book, rng)
    cells["sample"] = _samples(rows)
    by_visit = rng.random_sample(int(rows["visit"].max()) + 1)[rows["visit"]]
    cells["survey"] = book.say("survey", rows["survey"], rows["firm"], by_visit)
    for field, column in (("status", "status"), ("types", "stated")):
        usual = _habits(rows, rows[column], rng, 0.85)
        cells[field] = book.say(field, rows[column], rows["firm"], usual)
    cells["reach"] = book.say("reach", rows["reach"].astype(str), rows["firm"], _habits(rows, rows["reach"], rng, 0.95))
    damage = book.say("damage", rows["read"].astype(str), rows["firm"], _habits(rows, rows["read"] * 0, rng, 0.97))
    face = rows["face"].replace("", "sealed")
    acm = rows["scored"].to_numpy()
    cells["condition"] = np.where(acm, damage, "")
    cells["surface"] = np.where(acm, book.say("surface", face, rows["firm"], _habits(rows, face, rng)), "")
    cells["reach"] = np.where(acm, cells["reach"], "")
    cells["action"] = _actions(rows, book, rng)
    cells["comment"] = _comments(rows, book, rng)
    return cells.assign(
        **meaning.of(rows, cells.assign(is_office=homes["part"].eq("non-domestic").to_numpy()[rows["home"]])),
        firm=rows["firm"],
        visit=rows["visit"],
        day=rows["day"],
        initials=_initials(rows),
        company=rows["firm"].map(dict(enumerate(surveys.FIRMS))),
        element=rows["element"],
        item=rows["item"],
        home=rows["home"],
        kind=rows["kind"],
        surveyor=rows["surveyor"],
        run=homes["run"].to_numpy()[rows["home"]],
        scored=rows["scored"],
        kind_of_material=rows["product"],
        truly=rows["asbestos"].fillna(False).astype(bool),
    )
