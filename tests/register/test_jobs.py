"""Job descriptions are read as the trade means them: what touches fabric, which kind of work, and what is not known.

`job_descriptions.txt` was written from practice (no source), its first part before there was any reader.
"""

import csv
import random
import time
from pathlib import Path

import pytest

from pipelines import queries
from pipelines.register.job_lexicon import Lexicon, read_lexicon
from pipelines.register.jobs import Works, read_job, recognise_job

HERE = Path(__file__).parent
EXCEPTIONS = {"Worktop lifting, refix edging strip", "Clear contents of void and change lock"}
TRADES = ("Plumbing", "Electrical", "Heating", "Roofing", "Carpentry", "Decorating", "Groundworks", "Voids", "Cleaning")
ASIDES = (
    " - call before",
    ", am only",
    " (2nd visit)",
    ". Key safe by front door",
    ", tenant elderly",
    " - dog in garden",
)


def table(name: str) -> list[dict[str, str]]:
    with (queries.REFERENCE / f"{name}.csv").open(encoding="utf-8", newline="") as opened:
        return list(csv.DictReader(opened))


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    return read_lexicon(
        [(row["written"], row["kind"], row["term"]) for row in table("job_words")],
        [
            (row["object"], int(row["standing"]), row["beside"], row["work_type"], row["counts_from"])
            for row in table("job_objects")
        ],
    )


def described() -> list[tuple[str, str, tuple[str, ...]]]:
    """Description, trade and works of each line."""
    found = []
    for line in (HERE / "job_descriptions.txt").read_text("utf-8").splitlines():
        if line and not line.startswith("#"):
            works, description, trade = [cell.strip() for cell in f"{line}|".split("|")[:3]]
            found.append((description, trade, tuple(sorted(works.split(";")))))
    return found


def test_descriptions_are_read_as_the_trade_means_them(lexicon: Lexicon) -> None:
    wrong = {text for text, trade, works in described() if read_job(text, trade, lexicon).work_types != works}
    assert len(described()) > 350
    assert wrong == EXCEPTIONS


def test_what_touches_no_fabric_is_not_read_as_work_on_it(lexicon: Lexicon) -> None:
    spared = [(text, trade) for text, trade, works in described() if works == ("none",) and text not in EXCEPTIONS]
    assert len(spared) > 150
    assert [text for text, trade in spared if read_job(text, trade, lexicon).work_types != ("none",)] == []


@pytest.mark.parametrize("trade", TRADES)
def test_a_trade_never_goes_against_clear_words(lexicon: Lexicon, trade: str) -> None:
    for text in (
        "Renew gutter",
        "Replace double socket",
        "Ease front door",
        "Full rewire",
        "Renew waste pipe",
        "Re-roof",
    ):
        assert read_job(text, trade, lexicon) == read_job(text, "", lexicon), text


def test_a_trade_decides_what_a_word_of_several_meanings_is(lexicon: Lexicon) -> None:
    read = {trade: read_job("Replace broken tiles", trade, lexicon).work_types for trade in ("Roofing", "Flooring", "")}
    assert read == {
        "Roofing": ("roof_covering",),
        "Flooring": ("floor_covering",),
        "": ("bathroom_refit_adaptation",),
    }


@pytest.mark.parametrize("aside", ASIDES)
def test_an_aside_changes_nothing(lexicon: Lexicon, aside: str) -> None:
    for text, trade, works in described():
        if text not in EXCEPTIONS:
            assert read_job(text + aside, trade, lexicon).work_types == works, text + aside


def test_letters_capital_or_small_are_alike(lexicon: Lexicon) -> None:
    for text, trade, _ in described():
        assert read_job(text.upper(), trade, lexicon) == read_job(text.lower(), trade, lexicon)


def test_a_swapped_letter_in_the_longest_word_leaves_nine_in_ten_as_they_were(lexicon: Lexicon) -> None:
    chance = random.Random(20261001)
    kept, turned = [], []
    for text, trade, works in described():
        longest = max(text.split(), key=len)
        at = chance.randrange(1, len(longest) - 2) if len(longest) > 6 else 0
        if not at or not longest.isalpha():
            continue
        misspelt = longest[:at] + longest[at + 1] + longest[at] + longest[at + 2 :]
        read = read_job(text.replace(longest, misspelt), trade, lexicon).work_types
        kept.append(read == works)
        turned.append(works == ("none",) and read not in (("none",), ()))
    assert len(kept) > 150
    assert sum(kept) >= 0.9 * len(kept)
    assert sum(turned) <= 1


def test_works_joined_in_one_job_each_count(lexicon: Lexicon) -> None:
    for joint in (" and ", " + ", "; ", " & ", ", ", ". ", "\n"):
        both = read_job(f"Renew gutter{joint}replace double socket", "", lexicon)
        assert both.work_types == ("gutter_soffit_fascia", "small_electrical"), joint
        one = read_job(f"Ease front door{joint}replace double socket", "", lexicon)
        assert one.work_types == ("small_electrical",), joint


def test_an_act_that_opens_without_a_known_thing_is_unknown_and_says_so(lexicon: Lexicon) -> None:
    assert read_job("Replace the flibbertigibbet", "Plumbing", lexicon) == Works((), opens=True)
    assert read_job("Bingo", "", lexicon) == Works((), opens=False)
    assert read_job("=1+1", "", lexicon) == Works((), opens=False)
    assert read_job("", "", lexicon) == Works((), opens=False)


def test_a_work_type_of_ours_goes_before_the_words_and_another_helps_like_a_trade(lexicon: Lexicon) -> None:
    names = {"kitchen refit": "kitchen_refit"}
    assert recognise_job("Kitchen refit", "Clear gutter", "", names, lexicon) == Works(("kitchen_refit",), opens=True)
    assert recognise_job("", "KITCHEN REFIT", "", names, lexicon) == Works(("kitchen_refit",), opens=True)
    assert recognise_job("Roofing", "Renew tiles", "", names, lexicon).work_types == ("roof_covering",)
    assert recognise_job("Renew gutter", "", "", names, lexicon).work_types == ("gutter_soffit_fascia",)


def test_a_hundred_thousand_descriptions_take_less_than_twenty_seconds(lexicon: Lexicon) -> None:
    texts = [text for text, _, _ in described()]
    started = time.process_time()
    for number in range(10_000):
        read_job(f"{texts[number % len(texts)]} flat {number} ref{number}x", "Plumbing", lexicon)
    # A tenth of them, half as long again for a busy machine.
    assert time.process_time() - started < 3


def test_a_hostile_description_is_read_in_no_time(lexicon: Lexicon) -> None:
    started = time.process_time()
    for text in (" " * 30_000, "re-" * 10_000, "a/" * 15_000, "renew and " * 3_000, "-" * 30_000, "x" * 30_000):
        read_job(text, "", lexicon)
    assert time.process_time() - started < 5


def test_the_tables_hold_together() -> None:
    words, objects = table("job_words"), table("job_objects")
    terms = {kind: {row["term"] for row in words if row["kind"] == kind} for kind in ("act", "object", "place")}
    known = {row["object"] for row in objects}
    assert {row["kind"] for row in words} == {"act", "object", "place", "link", "since", "denial", "aside", "word"}
    assert terms["act"] == {"renewal", "new", "repair", "fault", "sparing", "quoting"}
    assert terms["object"] == known
    assert {row["beside"] for row in objects} <= known | terms["place"] | {""}
    work_types = {row["work_type"] for row in table("work_types")}
    assert {row["work_type"] for row in objects} <= work_types | {""}
    assert all(row["work_type"] or row["counts_from"] == "never" for row in objects)
    keys = [(row["written"], row["kind"]) for row in words]
    assert len(set(keys)) == len(keys)
    order = [(row["object"], int(row["nth"])) for row in objects]
    assert len(set(order)) == len(order)
    assert len({(row["object"], row["standing"]) for row in objects}) == len(known)
