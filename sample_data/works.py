"""Two years of repairs: what was really done at each property, and how the call centre wrote it down.

Every kind of work has its true rate by kind of dwelling and by area. Rates in tables/job_rates.csv are only the
centre (judgement, no published source), `habit` this landlord's own way with them; the true ones are drawn about
it. Only what the landlord has done is here: what people do to their own homes leaves no job.
"""

from pathlib import Path

import land
import numpy as np
import pandas as pd
from draw import Floats, Ints, Texts, stream, table

CLASSES = ("house", "bungalow", "flat", "common_parts", "garage")
"""Columns of tables/job_rates.csv; flats take in maisonettes and sheltered units, common parts offices."""
PLACES = ("home", "common parts", "garage")
"""Of tables/job_words.csv: which phrases fit."""
DAY_ONE, DAYS, YEAR_DAYS = np.datetime64("2024-10-01", "D"), 730, 365
"""First day of the history; its length; where the second file begins (days)."""
BY_DWELLING, BY_AREA = 0.15, 0.25
"""Spread of the true rates about the landlord's own: standard deviation of the logarithm."""
CALLERS = 3.0
"""Shape of the spread of trifling jobs between homes: the smaller, the more a few homes call."""
BEFORE = ("Tenant reports: ", "pls ", "URGENT ", "T/R ", "as per inspection - ", "recall: ")
AFTER = (
    " asap",
    " - key safe",
    ", call before",
    " (2nd visit)",
    " - am only",
    ", tenant elderly",
    " - ref call",
    " NB dog",
)
SLOW = {"Voids": 18.0, "Kitchens and bathrooms": 45.0, "Decorating": 40.0, "Roofing": 25.0, "Plumbing": 6.0}
"""Mean days from raising to completion, 12 for other trades (judgement)."""
HOSTILE = {
    "hostile_formula": "=1+1",
    "hostile_markup": "<b>tap</b><script>alert('job')</script>",
    "hostile_line_break": 'No heating,\nthen "banging" noise',
}

Jobs = pd.DataFrame
"""One row a job: home (position, -1 unknown), work, second (or -1), fabric, day (since DAY_ONE), rule, cells."""


def rates(seed: int) -> tuple[list[str], Floats]:
    """Work types, `none` last, and their true rates a property and year by kind of dwelling and area."""
    centre, rng = table("job_rates"), stream(seed, 201)
    own: Floats = centre[list(CLASSES)].to_numpy(dtype=float) * centre[["habit"]].to_numpy(dtype=float)
    by_dwelling = np.exp(rng.normal(0, BY_DWELLING, own.shape))
    by_area = np.exp(rng.normal(0, BY_AREA, (len(centre), len(land.AREAS))))
    calm = np.where(centre["work_type"].to_numpy() == "none", 0.3, 1.0)[:, None]
    return list(centre["work_type"]), (own * by_dwelling**calm)[:, :, None] * (by_area**calm)[:, None, :]


def kinds(homes: pd.DataFrame) -> Ints:
    """Position in CLASSES of each property."""
    dwelling = homes["dwelling"].to_numpy()
    return np.asarray(
        np.select([dwelling == "house", dwelling == "bungalow", dwelling == "garage", homes["part"] == "home"],
                  [0, 1, 4, 2], 3), dtype=np.int64)  # fmt: skip


def _happened(homes: pd.DataFrame, seed: int, rng: np.random.RandomState) -> Jobs:
    """Every job of the two years: Poisson counts at the true rates, days drawn evenly."""
    names, true = rates(seed)
    lam = true[:, kinds(homes), homes["area"].to_numpy()].T * (DAYS / 365)
    lam[:, -1] *= rng.gamma(CALLERS, 1 / CALLERS, len(homes))
    count = rng.poisson(lam)
    home, work = (np.repeat(part.ravel(), count.ravel()) for part in np.indices(count.shape))
    day = rng.randint(0, DAYS, len(home))
    return pd.DataFrame(
        {"home": home, "work": work, "second": -1, "day": day, "rule": "", "fabric": work < len(names) - 1}
    )


def _mark(jobs: Jobs, at: Ints, rule: str) -> None:
    """Writes a rule into rows that carry none."""
    jobs.loc[jobs.index[at], "rule"] = rule


def _some(jobs: Jobs, fit: "pd.Series[bool]", share: float, rng: np.random.RandomState) -> Ints:
    """Positions of a share (at least two) of the fitting rows that carry no rule yet."""
    free = np.flatnonzero((fit & (jobs["rule"] == "")).to_numpy())
    return np.sort(rng.permutation(free)[: max(2, round(share * len(free)))]).astype(np.int64)


def _two_in_one(jobs: Jobs, rng: np.random.RandomState) -> Jobs:
    """Some pairs of works at one home become one job that names both; how many works there are stays."""
    fabric = jobs[jobs["fabric"]]
    follows = fabric["home"].eq(fabric["home"].shift(-1)) & fabric["work"].ne(fabric["work"].shift(-1))
    first = np.flatnonzero(follows.to_numpy() & (rng.random_sample(len(fabric)) < 0.05))
    first = first[np.append(np.diff(first) > 1, True)] if len(first) else first
    kept, gone = fabric.index[first], fabric.index[first + 1]
    jobs.loc[kept, "second"] = jobs.loc[gone, "work"].to_numpy()
    jobs.loc[kept, "rule"] = "two_works"
    return jobs.drop(index=gone).reset_index(drop=True)


def _extra(jobs: Jobs, share: float, rule: str, rng: np.random.RandomState) -> Jobs:
    """Further jobs like those that happened, which did not happen to the portfolio."""
    like = jobs[jobs["second"] < 0]
    more = like.iloc[rng.randint(0, len(like), max(2, round(share * len(jobs))))].copy()
    return more.assign(rule=rule, day=rng.randint(0, DAYS, len(more)))


class _Phrases:
    """The call centre's phrases: a pool for each work type and place, by tables/job_words.csv."""

    def __init__(self, names: list[str]) -> None:
        words = table("job_words")
        number = words["work_type"].map({name: n for n, name in enumerate(names)}).to_numpy(dtype=int)
        pool = number * len(PLACES) + words["place"].map({place: n for n, place in enumerate(PLACES)}).to_numpy(
            dtype=int
        )
        order = np.argsort(pool, kind="stable")
        self.size = np.bincount(pool, minlength=len(names) * len(PLACES))
        self.start = np.cumsum(self.size) - self.size
        self.text = words["text"].to_numpy(dtype=object)[order]
        self.trade = words["trade"].to_numpy(dtype=object)[order]

    def draw(self, work: Ints, place: Ints, u: Floats) -> Ints:
        """Position of a phrase for each job; a place without phrases of its own takes those of homes."""
        pool = work * len(PLACES) + place
        pool = np.where(self.size[pool] > 0, pool, work * len(PLACES))
        return np.asarray(self.start[pool] + np.floor(u * self.size[pool]), dtype=np.int64)


def _typo(text: str, u: float) -> str:
    """The text with two letters of its longest word exchanged, or one of them lost."""
    word = max(text.split(" "), key=len)
    at = 1 + int(u * max(len(word) - 2, 1))
    swapped = word[:at] + word[at + 1 : at + 2] + word[at : at + 1] + word[at + 2 :]
    return text.replace(word, word[:at] + word[at + 1 :] if swapped == word or u > 0.6 else swapped, 1)


def _described(jobs: Jobs, homes: pd.DataFrame, phrases: _Phrases, rng: np.random.RandomState) -> None:
    """Adds the trade and the description, with the asides and capitals of whoever took the call."""
    part = homes["part"].map({"home": 0, "garage": 2}).fillna(1).to_numpy(dtype=int)
    place = part[jobs["home"].to_numpy()]
    u = rng.random_sample((len(jobs), 6))
    work, second = jobs["work"].to_numpy(), jobs["second"].to_numpy()
    chosen = phrases.draw(work, place, u[:, 0])
    text = phrases.text[chosen]
    also = phrases.text[phrases.draw(np.maximum(second, 0), place, u[:, 1])]
    joint = np.where(u[:, 2] < 0.5, " and ", " + ").astype(object)
    text = np.where(second >= 0, text + joint + also, text)
    lead = np.array(BEFORE, dtype=object)[(u[:, 2] * len(BEFORE)).astype(int)]
    tail = np.array(AFTER, dtype=object)[(u[:, 3] * len(AFTER)).astype(int)]
    text = np.where(u[:, 4] < 0.12, lead, "") + text + np.where(u[:, 4] > 0.82, tail, "")
    upper = pd.Series(text, dtype=object).str.upper().to_numpy(dtype=object)
    first = pd.Series(text, dtype=object).str[:1].str.upper() + pd.Series(text, dtype=object).str[1:]
    jobs["text"] = np.select([u[:, 5] < 0.2, u[:, 5] < 0.5], [upper, first.to_numpy(dtype=object)], text)
    jobs["trade"] = phrases.trade[chosen]


def _dated(jobs: Jobs, rng: np.random.RandomState) -> None:
    """Adds both dates and the status; what is not finished by the last day is still open."""
    took = np.floor(rng.exponential(jobs["trade"].map(SLOW).fillna(12.0).to_numpy())).astype(int)
    day = jobs["day"].to_numpy()
    done = day + took
    still = (done >= DAYS) & (jobs["rule"] == "").to_numpy()
    _mark(jobs, np.flatnonzero(still), "still_open")
    cancelled = (jobs["rule"] == "cancelled").to_numpy()
    shown = ~cancelled & (done < DAYS)
    jobs["raised"] = pd.Series(DAY_ONE + day).dt.strftime("%d/%m/%Y").to_numpy(dtype=object)
    jobs["completed"] = np.where(shown, pd.Series(DAY_ONE + done).dt.strftime("%d/%m/%Y").to_numpy(dtype=object), "")
    ended = np.where(rng.random_sample(len(jobs)) < 0.12, "Closed", "Completed")
    jobs["status"] = np.select([cancelled, ~shown], ["Cancelled", "In progress"], ended).astype(object)


def _keyed(jobs: Jobs, homes: pd.DataFrame, rng: np.random.RandomState) -> None:
    """Adds job number, reference and address."""
    own = homes.iloc[jobs["home"].to_numpy()]
    address = own["address"].reset_index(drop=True)
    upper = rng.random_sample(len(jobs)) < 0.2
    jobs["address"] = np.where(upper, address.str.upper().to_numpy(dtype=object), address.to_numpy(dtype=object))
    jobs["ref"] = own["ref"].to_numpy(dtype=object)
    jobs["true_ref"] = jobs["ref"]
    jobs["number"] = "J" + pd.Series(np.arange(len(jobs)) + 410_001).astype(str)


def _spoil(jobs: Jobs, rng: np.random.RandomState) -> None:
    """Plants faults in single cells; a row carries one rule at most."""
    unknown = np.flatnonzero(jobs["rule"] == "unknown_property")
    number = (jobs["home"].to_numpy()[unknown] % 90 + 10).astype(str).astype(object)
    jobs.loc[unknown, "ref"] = "ZX" + number + "888"
    jobs.loc[unknown, "address"] = number + " Nowhere Row, Vanished Sand"
    jobs.loc[unknown, "true_ref"] = ""
    closed = jobs["completed"] != ""
    whole = jobs["home"] >= 0
    plants: list[tuple[str, pd.Series[bool], float, dict[str, str]]] = [
        ("blank_description", whole, 0.005, {"text": ""}),
        ("address_only", whole, 0.012, {"ref": ""}),
        ("impossible_date", whole, 0.0015, {"raised": "31/02/2025"}),
        ("completed_before_raised", closed, 0.002, {"completed": "14/06/2022"}),
    ]
    plants += [(rule, ~jobs["fabric"], 0.0, {"text": text}) for rule, text in HOSTILE.items()]
    for rule, fit, share, cells in plants:
        at = _some(jobs, fit, share, rng)
        for column, value in cells.items():
            jobs.loc[at, column] = value
        _mark(jobs, at, rule)
    at = _some(jobs, whole, 0.006, rng)
    jobs.loc[at, "ref"] = jobs.loc[at, "ref"].str.replace("MH", "mh ")
    _mark(jobs, at, "reference_retyped")
    at = _some(jobs, whole, 0.03, rng)
    u = rng.random_sample(len(at))
    jobs.loc[at, "text"] = [_typo(text, chance) for text, chance in zip(jobs["text"].iloc[at], u, strict=True)]
    _mark(jobs, at, "misspelt")


def _twice(jobs: Jobs, rng: np.random.RandomState) -> Jobs:
    """Some rows written twice, the second right after the first."""
    again = jobs.iloc[_some(jobs, jobs["home"] >= 0, 0.005, rng)].assign(rule="exact_duplicate")
    return pd.concat([jobs, again]).sort_index(kind="stable").reset_index(drop=True)


def history(homes: pd.DataFrame, seed: int) -> Jobs:
    """Every row of the history in order of raising, with its cells and the truth about it."""
    rng = stream(seed, 202)
    phrases = _Phrases(rates(seed)[0])
    jobs = _two_in_one(_happened(homes, seed, rng), rng)
    more = [_extra(jobs, share, rule, rng) for rule, share in (("cancelled", 0.05), ("unknown_property", 0.004))]
    jobs = pd.concat([jobs, *more]).sort_values("day", kind="stable", ignore_index=True)
    _described(jobs, homes, phrases, rng)
    _dated(jobs, rng)
    _keyed(jobs, homes, rng)
    _spoil(jobs, rng)
    return _twice(jobs, rng)


def _type_names(jobs: Jobs, names: list[str]) -> Texts:
    """The true work type of each row; two are joined by a semicolon."""
    name = np.array(names, dtype=object)
    one, two = name[jobs["work"].to_numpy()], name[jobs["second"].to_numpy()]
    return np.asarray(np.where(jobs["second"].to_numpy() >= 0, one + ";" + two, one), dtype=object)


def write_history(homes: pd.DataFrame, seed: int, to: Path, truth: Path) -> None:
    """Writes a file for each year into `to`, and jobs.csv and rates.csv into `truth`."""
    jobs = history(homes, seed)
    jobs["work_type"] = _type_names(jobs, rates(seed)[0])
    cells = {
        "number": "Job No",
        "ref": "Property Ref",
        "address": "Address",
        "raised": "Raised",
        "completed": "Completed",
        "trade": "Trade",
        "text": "Job Description",
        "status": "Status",
    }
    told = []
    for year in range(2):
        part = jobs[jobs["day"] // YEAR_DAYS == year]
        path = f"works/repairs_{2024 + year}-{2025 + year}.csv"
        frame = part[list(cells)].set_axis(list(cells.values()), axis=1)
        frame.to_csv(to / path, index=False, lineterminator="\n", encoding="utf-8")
        rows = part[["true_ref", "work_type", "rule"]].rename(columns={"true_ref": "property_ref"})
        rows.insert(0, "row_number", np.arange(len(part)) + 2)
        rows.insert(0, "path", path)
        told.append(rows)
    pd.concat(told).to_csv(truth / "jobs.csv", index=False, lineterminator="\n")
    _write_rates(homes, seed, truth / "rates.csv")


def _write_rates(homes: pd.DataFrame, seed: int, path: Path) -> None:
    """The true rates, and how many properties each applies to."""
    names, true = rates(seed)
    many = np.zeros((len(CLASSES), len(land.AREAS)), dtype=np.int64)
    np.add.at(many, (kinds(homes), homes["area"].to_numpy()), 1)
    work, kind, area = (part.ravel() for part in np.indices(true.shape))
    frame = pd.DataFrame(
        {
            "work_type": np.array(names, dtype=object)[work],
            "dwelling_type": np.array(CLASSES, dtype=object)[kind],
            "area": np.array(land.AREAS, dtype=object)[area],
            "rate_per_year": np.round(true.ravel(), 6),
            "properties": many[kind, area],
        }
    )
    frame.to_csv(path, index=False, lineterminator="\n")
