"""The figure: fixed axes, the points in their places, and the same in words."""

import pytest

from buildsite.kinds.sheet import Dot, Line, Plot
from buildsite.kinds.tests.moisture_density.sheet.figure import coarser_step
from tests.kinds.making import (
    POUND_PER_CUBIC_FOOT,
    PROJECT,
    in_archive,
    made,
    text_of,
)

close = pytest.approx

SI = "standard: {designation: Own 1, method: X}\n"
"""Without rows of a standard, densities are shown in kg/m³."""

PARABOLA = (
    SI
    + """\
units: {density: kg/m3}
specific_gravity: {value: 2.70, basis: measured}
points:
  - {water_content: 10, dry_density: 1760}
  - {water_content: 12, dry_density: 1800}
  - {water_content: 14, dry_density: 1760}
  - {water_content: 13, dry_density: 1900, rejected: {by: E02, reason: torn}}
"""
)
"""1800 - 10 (w - 12)²: its peak is 1800 kg/m³ at 12 %."""


def figure(rest: str) -> Plot | None:
    blocks = made(text_of(rest)).sheet().blocks
    return next((block for block in blocks if isinstance(block, Plot)), None)


def drawn(rest: str) -> Plot:
    plot = figure(rest)
    assert plot is not None
    return plot


def dots(plot: Plot, kind: str) -> list[tuple[int, float, float]]:
    return [(dot.number, dot.x, dot.y) for dot in plot.dots if dot.kind == kind]


def lines(plot: Plot, kind: str) -> list[Line]:
    return [line for line in plot.lines if line.kind == kind]


def test_points_stand_where_they_were_measured_with_their_numbers() -> None:
    plot = drawn(PARABOLA)

    assert dots(plot, "point") == [(1, 10, 1760), (2, 12, 1800), (3, 14, 1760)]
    assert dots(plot, "rejected") == [(4, 13, 1900)]


def test_the_peak_is_marked_and_dropped_to_both_axes() -> None:
    plot = drawn(PARABOLA)

    ((_, x, y),) = dots(plot, "peak")
    assert (x, y) == close((12, 1800))
    down, across = lines(plot, "drop")
    assert down.x == close((12, 12))
    assert down.y == close((1800, plot.y.low))
    assert across.x == close((12, plot.x.low))
    assert across.y == close((1800, 1800))
    (label,) = (dot.label for dot in plot.dots if dot.kind == "peak")
    assert label == "1800 kg/m³ at 12.0 %"


def test_the_curve_goes_through_the_parabola_from_point_to_point() -> None:
    (curve,) = lines(drawn(PARABOLA), "curve")

    assert (curve.x[0], curve.x[-1]) == close((10, 14))
    expected = [1800 - 10 * (x - 12) ** 2 for x in curve.x]
    assert curve.y == close(expected)


def test_zero_air_voids_is_where_all_voids_hold_water() -> None:
    # γ = Gs ρw / (1 + w Gs), with water of 998.207 kg/m³ (20 °C, CRC Handbook).
    plot = drawn(PARABOLA)
    (line,) = lines(plot, "air-voids")

    expected = [2.70 * 998.207 / (1 + x / 100 * 2.70) for x in line.x]
    assert line.y == close(expected, rel=1e-5)
    assert plot.x.low <= min(line.x) < max(line.x) <= plot.x.high
    assert all(plot.y.low - 1e-6 <= y <= plot.y.high + 1e-6 for y in line.y)
    assert line.label == "zero air voids, Gs 2.70"


def test_the_figure_has_room_for_the_line_unless_it_lies_far_above() -> None:
    # 2.90 · 998.207 / (1 + 0.15 · 2.90) = 2017 kg/m³ at 15 %, a step from the right;
    # 3.90 · 998.207 / (1 + 0.15 · 3.90) = 2456 kg/m³, far above all points.
    near = drawn(PARABOLA.replace("2.70", "2.90"))
    far = drawn(PARABOLA.replace("2.70", "3.90"))

    (line,) = lines(near, "air-voids")
    assert (near.x.high, near.x.step, near.y.high) == close((16, 1, 2050))
    assert min(line.x) < 15 < max(line.x) <= 16
    assert lines(far, "air-voids") == []
    assert far.y.high == close(1950)


def test_without_a_specific_gravity_there_is_no_such_line() -> None:
    plot = drawn(PARABOLA.replace("specific_gravity", "remarks: x\n#"))

    assert lines(plot, "air-voids") == []


def test_axes_are_whole_steps_around_all_points() -> None:
    plot = drawn(PARABOLA)

    for axis, values in (
        (plot.x, [dot.x for dot in plot.dots]),
        (plot.y, [dot.y for dot in plot.dots]),
    ):
        assert axis.low < min(values) <= max(values) < axis.high
        assert axis.low % axis.step == close(0)
        assert axis.high % axis.step == close(0)
    assert plot.x.high - plot.x.low >= 8
    assert (plot.y.step, plot.y.decimals, plot.y.unit) == (50, 0, "kg/m³")


@pytest.mark.parametrize(
    ("unit", "factor", "step"),
    [
        ("Mg/m3", 1 / 1000, 0.05),
        ("lb/ft3", 1 / POUND_PER_CUBIC_FOOT, 5),
        ("lbf/ft3", 1 / POUND_PER_CUBIC_FOOT, 5),
        ("kN/m3", 9.80665 / 1000, 0.5),
    ],
)
def test_the_figure_is_in_the_unit_of_the_report(
    unit: str, factor: float, step: float
) -> None:
    lab = {
        "records/lab.yaml": "kind: laboratory\nname: L\nplace: P\nstaff: {}\n"
        f"procedures: {{report_density: {unit}}}\n"
    }
    blocks = in_archive(PARABOLA, lab).sheet().blocks
    (plot,) = (block for block in blocks if isinstance(block, Plot))

    assert dots(plot, "point")[1][2] == close(1800 * factor, rel=1e-7)
    assert dots(plot, "peak")[0][2] == close(1800 * factor, rel=1e-7)
    assert plot.y.step == step


def test_a_drawn_peak_has_no_computed_curve() -> None:
    plot = drawn(
        PARABOLA + "curve: {drawn: {maximum_dry_density: 1810, "
        "optimum_water_content: 12.2}, by: E02, reason: scatter}\n"
    )

    assert lines(plot, "curve") == []
    assert dots(plot, "peak") == [(0, 12.2, 1810)]
    assert plot.caption.startswith("Peak drawn by E02")


def test_without_a_peak_the_points_are_drawn_and_the_reason_told() -> None:
    plot = drawn(PARABOLA.replace("14, dry_density: 1760", "14, dry_density: 1850"))

    assert len(dots(plot, "point")) == 3
    assert dots(plot, "peak") == []
    assert lines(plot, "drop") == []
    assert plot.caption.startswith("No peak: ")
    assert "no peak reported" in plot.alt


@pytest.mark.parametrize(
    "points", ["[]", "[{}]", "[{water_content: 10}]", "[{dry_density: 1800}]"]
)
def test_without_a_place_for_any_point_there_is_no_figure(points: str) -> None:
    assert figure(f"units: {{density: kg/m3}}\npoints: {points}\n") is None


@pytest.mark.parametrize("dry", ["0.000000000001", "1", "20", "2699", "999999999999"])
@pytest.mark.parametrize("water", ["0", "0.1", "50", "400"])
def test_any_density_and_water_content_has_a_figure(dry: str, water: str) -> None:
    plot = drawn(
        f"{SI}units: {{density: kg/m3}}\nspecific_gravity: {{value: 2.70}}\n"
        f"points: [{{water_content: {water}, dry_density: {dry}}}]\n"
    )

    (dot,) = plot.dots
    assert isinstance(dot, Dot)
    for axis in (plot.x, plot.y):
        assert 4 <= round((axis.high - axis.low) / axis.step) <= 22
    assert plot.x.low <= dot.x <= plot.x.high
    assert plot.y.low <= dot.y <= plot.y.high
    assert plot.x.low >= 0


def test_the_figure_is_told_in_words() -> None:
    alt = drawn(PARABOLA).alt

    assert alt.startswith("3 points from 10.0 to 14.0 % water content")
    assert "1 rejected" in alt
    assert "; peak of 1800 kg/m³ at 12.0 %" in alt
    assert "specific gravity 2.70" in alt


@pytest.mark.parametrize(
    ("span", "step"),
    [(0, 50), (1000, 50), (1001, 100), (2001, 250), (5001, 500), (10_001, 1000)],
)
def test_a_step_grows_with_what_it_divides(span: float, step: float) -> None:
    assert coarser_step(50.0, span) == step


def test_a_digit_too_many_is_drawn_with_few_ticks() -> None:
    plot = drawn(
        PARABOLA.replace("14, dry_density: 1760", "14, dry_density: 1760000000")
    )

    for axis in (plot.x, plot.y):
        assert (axis.high - axis.low) / axis.step <= 22


# 10 % of stones of 2.60, at 2 % of water: the whole soil, by ASTM D4718 (2015),
# equations for total dry density and water content, with 1000 kg/m³ of water:
# 1 / (0.9 / 1800 + 0.1 / 2600) = 1857.143 kg/m³; 0.9 × 12 + 0.1 × 2 = 11.0 %.
STONY = (
    PARABOLA.replace(SI, "")
    + "oversize: {percent_retained: 10, bulk_specific_gravity: 2.6, water_content: 2}\n"
)
WHOLE = (11.0, 1857.143 / POUND_PER_CUBIC_FOOT)


@pytest.mark.parametrize(
    ("line", "lead", "dropped"),
    [
        ("", "for field control", WHOLE),
        (
            "field_tests_against: uncorrected\n",
            "whole soil",
            (12.0, 1800 / POUND_PER_CUBIC_FOOT),
        ),
    ],
)
def test_with_oversize_both_pairs_are_marked_and_the_governing_one_dropped(
    line: str, lead: str, dropped: tuple[float, float]
) -> None:
    outcome = in_archive(STONY, {"records/p/project.yaml": PROJECT + line})
    (plot,) = (one for one in outcome.sheet().blocks if isinstance(one, Plot))
    marks = {dot.kind: dot for dot in plot.dots}

    assert (marks["governing"].x, marks["governing"].y) == close(WHOLE, rel=1e-3)
    assert marks["governing"].label.startswith(f"{lead}: 115.9 ")
    assert marks["peak"].label.startswith("passing No. 4: 112.4 ")
    down, across = lines(plot, "drop")
    assert (down.x[0], across.y[0]) == close(dropped, rel=1e-3)
    assert marks["governing"].label in plot.alt
    assert plot.curve is not None
    assert plot.curve.corrected == (lead == "for field control")
