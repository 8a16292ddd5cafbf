"""A kind of test put together: what it takes over, and what it may have of its own."""

from tests.kinds.making import kind


def test_it_looks_for_standards_of_its_own_name_unless_it_says_otherwise() -> None:
    assert kind("water-content").standards_of == "water-content"
    assert kind("moisture-density").standards_of == "compaction"


def test_its_lines_are_those_of_its_work() -> None:
    lines = kind("coarse-fraction").lines

    assert lines is not None
    assert (lines.name, lines.one) == ("specimens", "specimen")
