"""Counts and means of a zone: few, plain, and none beyond what the numbers bear."""

from dataclasses import replace

import pytest

from buildsite.archive.field_statistics import (
    FEWEST_FOR_SHARE,
    LAST,
    ZoneNumbers,
    moving_means,
    numbers_of,
    window_of,
)
from buildsite.kinds.field_control.results import FieldTest
from tests.pages.field.fills import field_one

# By hand: (94.1 + 96.2 + 97.3 + 98.4 + 99.0) / 5 = 485.0 / 5 = 97.00.
PERCENTS = (94.1, 96.2, 97.3, 98.4, 99.0)


def judged(percents: tuple[float, ...]) -> list[FieldTest]:
    return [
        field_one(f"F{i}", percent=one, verdict="fail" if one < 94.5 else "pass")
        for i, one in enumerate(percents)
    ]


def test_counts_and_means_of_first_tests() -> None:
    retest = field_one("R1", percent=120.0, retest_of="F0", rework="rolled")
    found = numbers_of("embankment", [*judged(PERCENTS), retest])

    assert (found.first, found.failed, found.retests, found.percents) == (5, 1, 1, 5)
    assert found.mean == pytest.approx(97.0)
    assert found.last == pytest.approx(97.0)
    assert found.least == 94.1
    assert found.share == "1 of 5"


def test_too_few_tests_give_no_mean() -> None:
    two, four = (numbers_of("", judged(PERCENTS[:n])) for n in (2, 4))

    assert (two.mean, two.last) == (None, None)
    assert four.mean == pytest.approx(96.5)  # (94.1 + 96.2 + 97.3 + 98.4) / 4
    assert four.last is None


def test_a_share_is_a_percentage_of_many_tests_alone() -> None:
    def share(first: int) -> str:
        return ZoneNumbers("", first, 1, 0, 0, first, None, None, None, 5).share

    assert share(FEWEST_FOR_SHARE - 1) == "1 of 19"
    assert share(FEWEST_FOR_SHARE) == "1 of 20 (5 %)"


def test_the_mean_moves_over_a_lot_where_one_is_asked() -> None:
    tests = judged(PERCENTS)
    asked = tests[-1].requirement
    assert asked is not None
    lot = replace(tests[-1], requirement=replace(asked, lot_average_of=4))

    assert window_of(tests) == LAST
    assert window_of([*tests[:-1], lot]) == 4
    # 96.2, 97.3, 98.4, 99.0: 390.9 / 4.
    assert numbers_of("", [*tests[:-1], lot]).last == pytest.approx(97.725)


def test_a_moving_mean_begins_with_enough_tests() -> None:
    assert list(moving_means([1.0, 2.0], 3)) == []
    assert list(moving_means([1.0, 2.0, 6.0, 1.0], 3)) == [(2, 3.0), (3, 3.0)]
