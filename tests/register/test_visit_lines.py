"""What a line says of a visit alone."""

from pipelines.register.visit_lines import visit_alone


def test_a_day_and_a_person_alone_are_a_visit() -> None:
    assert visit_alone("30 April 2025, A. Person", {}) == {"surveyed_on": "30 April 2025", "surveyor": "A. Person"}
    assert visit_alone("30 April 2025, kitchens", {}) == {}
