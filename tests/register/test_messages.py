"""Messages pasted into a sheet, one line for each thing that they tell. The texts are invented."""

from pipelines.register import messages

TEXT = """
From: A. Person   11 March 2025   Subject: found today
Hi, results are back, numbers in brackets.
19 Elm Row - kitchen - floor tiles - 8 sq m - white asbestos (P71) - good condition
19 Elm Row - lounge - panel behind fire - insulating board - 1.5 sq m - not sampled - slightly damaged, painted
22 Elm Row - loft - could not get up, hatch painted shut
30 Elm Row - nothing found in the house
Cheers - A. P.

From: Caretaker
Boiler room at Oak House, lagging on the pipes, about 10 metres. Never tested, treat as asbestos
Elm House flat 5 - bathroom - artex ceiling - 4 sq m - no asbestos detected (P/508)
"""
ROWS = [(number, [line]) for number, line in enumerate(TEXT.strip().splitlines(), start=1)]


def test_each_line_tells_one_thing_on_the_day_of_its_message(terms: dict[str, dict[str, str]]) -> None:
    assert messages.may_be(ROWS)
    read = messages.read(ROWS, terms, 100)
    assert [source for (_, source), _ in read] == [1, 2, 3, *range(3, 12)]
    assert [line for (line, _), _ in read] == list(range(1, 13))
    said = [tuple(cells) for (_, source), cells in read if len(cells) > 1][1:]
    day = "11 March 2025"
    assert said == [
        (*("19 Elm Row", day, "kitchen", "floor tiles", "white asbestos", "8 sq m", "good condition", "", "P71", ""),),
        (
            *("19 Elm Row", day, "lounge", "panel behind fire, insulating board", "not sampled", "1.5 sq m"),
            *("slightly damaged, painted", "slightly damaged, painted", "", ""),
        ),
        ("22 Elm Row", day, "loft", "", "could not get up, hatch painted shut", "", "", "", "", ""),
        ("30 Elm Row", day, "", "", "none seen", "", "", "", "", ""),
        (
            *("Oak House", "", "Boiler room", "lagging on the pipes", "Never tested", "about 10 metres", "", "", ""),
            "treat as asbestos",
        ),
        (
            *(
                "Elm House flat 5",
                "",
                "bathroom",
                "artex ceiling",
                "no asbestos detected",
                "4 sq m",
                "",
                "",
                "P/508",
                "",
            ),
        ),
    ]


def test_what_names_few_materials_is_no_list_of_messages(terms: dict[str, dict[str, str]]) -> None:
    notes = ["4 Elm Road - hall - see Kev", "5 Elm Road - tenant - dog", "6 Elm Road - no answer - card left"]
    rows = [(number, [line]) for number, line in enumerate(notes, start=1)]
    assert messages.may_be(rows) and messages.read(rows, terms, 100) == []
    assert messages.read(ROWS, terms, 5) == []
    assert not messages.may_be([(1, ["Room", "Material"]), *ROWS])
