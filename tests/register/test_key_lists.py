"""Lists of answers with their points, each under the heading of its column. The texts are invented."""

from pipelines.register.key_lists import listed_apart
from pipelines.register.key_tables import key_table

LISTS = [
    ["Register of asbestos", ""],
    ["Wear", "Counts as"],
    ["Sound", "0.0"],
    ["Marked", "1.0"],
    ["Broken", "2.0"],
    ["", ""],
    ["Reach", "Counts as"],
    ["Out of reach", "0.0"],
    ["Awkward", "1  (steps needed)"],
    ["Easy", "2.0"],
    ["Items analysed clear stay on the register.", ""],
]


def test_lists_below_each_other_are_one_table_of_keys() -> None:
    rows = listed_apart(LISTS)
    assert rows[0] == ["Wear", "Sound", "0"]
    assert rows[-1] == ["Reach", "Easy", "2"]
    register = [["Home", "Wear", "Reach"], ["H1", "Sound", "Easy"], ["H2", "Marked", "Awkward"]]
    found = key_table(rows, {"Block": list(enumerate(register, start=1))})
    assert found is not None
    assert {one.heading: one.points for one in found.listed.values()} == {
        "Wear": ["0", "1", "2"],
        "Reach": ["0", "1", "2"],
    }


def test_one_list_and_lists_without_points_are_read_as_other_keys() -> None:
    assert listed_apart(LISTS[:6]) == []
    assert listed_apart([["Wear", "Means"], ["S", "Sound"], ["M", "Marked"], ["B", "Broken"]] * 2) == []
