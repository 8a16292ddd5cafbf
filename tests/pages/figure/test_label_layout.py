"""Labels stand clear of lines, marks and each other, whatever the figure."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.kinds.sheet import Plot
from buildsite.pages.figure.boxes import (
    SIZE,
    Box,
    Segment,
    Spot,
    away,
    cut,
    text_width,
)
from buildsite.pages.figure.label_layout import Label, Layout, layout, mark_box
from buildsite.pages.figure.offered_boxes import AXES, STRIP
from tests.archives import sound
from tests.pages.builds import plots
from tests.pages.figure.plots import many

MANY = many(400)


def overlap(one: Box, other: Box) -> bool:
    """Whether two boxes have room in common."""
    across = one.left < other.right and other.left < one.right
    return across and one.bottom < other.top and other.bottom < one.top


def touched(label: Label, laid: Layout) -> Iterator[str]:
    """What a label lies on, of all that is no label."""
    if not (AXES.holds(label.box) or STRIP.holds(label.box)):
        yield f"{label.text} leaves its ground"
    for kind, path in laid.paths:
        if any(cut(Segment(a, b), label.box) for a, b in pairwise(path)):
            yield f"{label.text} crosses the {kind} line"
    for kind, at in laid.marks:
        if overlap(mark_box(kind, at), label.box):
            yield f"{label.text} lies on a {kind}"


def crossings(plot: Plot) -> list[str]:
    """Every label that touches a line, a mark, another label or the rim."""
    laid = layout(plot)
    found = [fault for label in laid.labels for fault in touched(label, laid)]
    for one, other in combinations(laid.labels, 2):
        if overlap(one.box, other.box):
            found.append(f"{one.text} lies on {other.text}")
    return found


def test_no_label_crosses_anything_on_many_figures() -> None:
    assert [found for plot in MANY for found in crossings(plot)] == []


def test_no_label_crosses_anything_on_the_figures_of_an_archive() -> None:
    drawn = plots(sound())

    assert drawn
    assert [found for plot in drawn for found in crossings(plot)] == []


def test_the_peak_and_the_line_are_always_labelled() -> None:
    for plot in MANY:
        laid = layout(plot)
        placed = [label.kind for label in laid.labels if label.kind != "point"]
        drawn = {kind for kind, _ in laid.paths}

        assert sorted(placed) == [*(["line"] * ("air-voids" in drawn)), "peak"]


def test_a_lines_label_stands_beside_its_line() -> None:
    for plot in MANY:
        laid = layout(plot)
        ways = [path for kind, path in laid.paths if kind == "air-voids"]
        for label in laid.labels:
            if label.kind == "line":
                assert min(away(label.box, path) for path in ways) < 45


def test_the_label_above_the_axes_clears_their_name() -> None:
    names = ("Dry unit weight, kN/m³", "Dry unit weight, lbf/ft³", "Dry density, Mg/m³")

    assert max(6 + text_width(name) for name in names) < STRIP.left


def test_nearly_every_point_has_its_number() -> None:
    points = sum(dot.number > 0 for plot in MANY for dot in plot.dots)
    numbers = sum(
        label.kind == "point" for plot in MANY for label in layout(plot).labels
    )

    assert numbers > 0.97 * points


@pytest.mark.parametrize(
    "text",
    [
        "122.0 lb/ft³ at 12.7 %",
        "100 % saturation curve",
        "zero air voids, Gs 2.69",
        "18.26 kN/m³ at 13.7 %",
        "1955 kg/m³ at 9.9 %",
        "4 rejected",
    ],
)
def test_text_is_reckoned_no_narrower_than_a_wide_face(text: str) -> None:
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextPath

    # DejaVu Sans, which matplotlib brings, is among the widest faces in use.
    face = FontProperties(family="DejaVu Sans", size=SIZE)
    measured = TextPath((0, 0), text, prop=face).get_extents().width

    assert measured <= text_width(text) < 1.15 * measured


# A square of side 10 and lines that, by plain geometry, enter it or do not.
SQUARE = Box(0, 0, 10, 10)


@pytest.mark.parametrize(
    ("start", "end", "inside"),
    [
        ((-5, 5), (15, 5), ((0, 5), (10, 5))),
        ((-5, -5), (15, 15), ((0, 0), (10, 10))),
        ((2, 2), (3, 3), ((2, 2), (3, 3))),
        ((-5, 0), (0, 10), ((0, 10), (0, 10))),
        ((-5, 6), (4, 15), None),
        ((11, 0), (11, 10), None),
    ],
)
def test_a_segment_is_cut_to_a_box(
    start: tuple[float, float],
    end: tuple[float, float],
    inside: tuple[tuple[float, float], tuple[float, float]] | None,
) -> None:
    assert cut(Segment(Spot(*start), Spot(*end)), SQUARE) == inside


coordinates = st.floats(-20, 20)


@given(coordinates, coordinates, coordinates, coordinates)
def test_what_is_cut_out_lies_in_the_box(
    x: float, y: float, right: float, up: float
) -> None:
    found = cut(Segment(Spot(x, y), Spot(right, up)), SQUARE)

    if found is not None:
        assert all(away(SQUARE.grown(1e-6), [end]) == 0 for end in found)


def test_of_thousands_of_points_a_hundred_are_numbered() -> None:
    # Looking for room for each takes minutes; a record of 1 MiB can hold so many.
    def numbers(plot: Plot) -> set[str]:
        return {label.text[0] for label in layout(plot).labels if label.kind == "point"}

    some = next(plot for plot in MANY if len(numbers(plot)) > 1)
    numbered = [dot for dot in some.dots if str(dot.number) in numbers(some)]
    here, there = numbered[0], replace(numbered[-1], number=101)

    assert "101" in numbers(replace(some, dots=(here, there)))
    assert "101" not in numbers(replace(some, dots=(*[here] * 100, there)))
