"""Small curves: the shape and the peak, in less than 1 KB."""

import re
from xml.etree import ElementTree

import pytest

from buildsite.pages.figure.small import small_curve

PARABOLA = [(w / 10, 1900 - 5 * (w / 10 - 13) ** 2) for w in range(90, 171)]
PEAK = (13.0, 1900.0)


def drawn(text: str) -> tuple[list[tuple[int, int]], tuple[int, int]]:
    """The places of the path, and that of the mark."""
    root = ElementTree.fromstring(text)  # noqa: S314 (our own drawing)
    path = re.findall(r"(\d+) (\d+)", root[0].attrib["d"])
    dot = root[1].attrib
    return [(int(x), int(y)) for x, y in path], (int(dot["cx"]), int(dot["cy"]))


def test_it_is_small() -> None:
    assert len(small_curve(PARABOLA, PEAK).encode()) < 500


def test_the_peak_lies_where_a_parabola_has_it() -> None:
    path, peak = drawn(small_curve(PARABOLA, PEAK))

    # A parabola over 9 to 17 % has its top in the middle, and its ends at the foot.
    assert peak == (320, 40)
    assert path[0] == (40, 216)
    assert path[-1] == (600, 216)
    for x, y in path:  # y falls by the square of the distance from the top
        assert y == pytest.approx(40 + 176 * ((x - 320) / 280) ** 2, abs=1.5)


def test_a_peak_off_the_curve_stays_inside() -> None:
    path, peak = drawn(small_curve(PARABOLA, (8.0, 1990.0)))

    assert peak == (40, 40)
    assert all(40 <= x <= 600 and 40 <= y <= 216 for x, y in path)


def test_it_carries_no_style_that_a_page_would_refuse() -> None:
    assert "style=" not in small_curve(PARABOLA, PEAK)


@pytest.mark.parametrize("points", [[], [(12.0, 1900.0)]])
def test_there_is_none_without_a_curve(points: list[tuple[float, float]]) -> None:
    assert small_curve(points, PEAK) == ""


def test_a_level_line_is_drawn() -> None:
    assert "M40 128L600 128" in small_curve([(10.0, 1900.0), (14.0, 1900.0)])
