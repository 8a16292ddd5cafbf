"""Curves against reference libraries, closed forms, and what must hold of any curve."""

import subprocess
import sys
from itertools import pairwise
from random import Random
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.soil.curves import AUTO, FORMS, SCATTER, Curve, Solids, fit, sample
from buildsite.soil.curves.growth import Growth
from buildsite.soil.curves.saturation import Branches
from buildsite.soil.lines import zero_air_voids_density
from buildsite.soil.phase import saturation

GRAINS = Solids(2.70, 998.2)
FIVE = [(8.1, 1529.0), (9.9, 1753.0), (12.0, 1870.0), (14.3, 1882.0), (16.1, 1826.0)]
THROUGH = ["parabola-through-three", "modified-akima", "cubic-spline", "natural-spline"]
NAMES = [AUTO, *FORMS]

Points = list[tuple[float, float]]


@st.composite
def humps(draw: st.DrawFn) -> Points:
    """Points that rise to one highest and fall again, four to seven of them."""
    rises = draw(st.lists(st.floats(20, 90), min_size=1, max_size=3))
    falls = draw(st.lists(st.floats(20, 90), min_size=2, max_size=3))
    count = len(rises) + len(falls) + 1
    steps = draw(st.lists(st.floats(1, 3), min_size=count, max_size=count))
    water, density, found = 5.0, 1700.0, []
    for step, change in zip(steps, [0.0, *rises, *(-f for f in falls)], strict=True):
        water, density = water + step, density + change
        found.append((water, density))
    return found


def curve(name: str, points: Points) -> Curve:
    result = fit(name, points, GRAINS)
    assert isinstance(result, Curve), result
    return result


@pytest.mark.parametrize(("name", "degree"), [("quadratic", 2), ("cubic", 3)])
def test_polynomials_are_those_of_numpy(name: str, degree: int) -> None:
    waters = np.array([water for water, _ in FIVE])
    densities = np.array([density for _, density in FIVE])
    expected = np.polynomial.Polynomial.fit(waters, densities, degree)
    roots = [float(np.real(root)) for root in expected.deriv().roots()]
    turns = [root for root in roots if 8.1 < root < 16.1]

    ours = curve(name, FIVE)

    assert ours.peak_water_content == pytest.approx(max(turns, key=expected), rel=1e-9)
    assert ours.peak_dry_density == pytest.approx(max(expected(t) for t in turns))
    for water, density in sample(ours.line, 40):
        assert density == pytest.approx(float(expected(water)), rel=1e-10)
    assert ours.residuals == pytest.approx(list(densities - expected(waters)), abs=1e-7)


@pytest.mark.parametrize(
    ("name", "reference"),
    [
        ("cubic-spline", ("CubicSpline", {"bc_type": "not-a-knot"})),
        ("natural-spline", ("CubicSpline", {"bc_type": "natural"})),
        ("modified-akima", ("Akima1DInterpolator", {"method": "makima"})),
    ],
)
@given(points=humps())
def test_curves_through_points_are_those_of_scipy(
    name: str, reference: tuple[str, dict[str, str]], points: Points
) -> None:
    from scipy import interpolate  # when it is asked: it takes half a second

    of_scipy, options = getattr(interpolate, reference[0]), reference[1]
    expected = of_scipy([w for w, _ in points], [d for _, d in points], **options)

    line = fit(name, points).line

    assert line is not None
    for water, density in sample(line, 40):
        assert density == pytest.approx(float(expected(water)), rel=1e-9)


@given(humps())
def test_parabola_peaks_where_the_closed_form_does(points: Points) -> None:
    top = max(range(len(points)), key=lambda i: points[i][1])
    (a, p), (b, q), (c, r) = points[top - 1 : top + 2]
    # The vertex of a parabola through three points, by Lagrange.
    above = p * (b * b - c * c) + q * (c * c - a * a) + r * (a * a - b * b)
    below = p * (b - c) + q * (c - a) + r * (a - b)
    square = below / ((a - b) * (a - c) * (c - b))

    ours = curve("parabola-through-three", points)

    vertex = above / below / 2
    assert ours.peak_water_content == pytest.approx(vertex, rel=1e-7)
    assert ours.peak_dry_density == pytest.approx(q + square * (b - vertex) ** 2)


@given(humps())
def test_parabola_bends_nowhere_that_points_do_not(points: Points) -> None:
    line = curve("parabola-through-three", points).line
    densities = [density for _, density in sample(line, 200)]
    top = densities.index(max(densities))

    assert densities[: top + 1] == sorted(densities[: top + 1])
    assert densities[top:] == sorted(densities[top:], reverse=True)


@pytest.mark.parametrize("name", THROUGH)
def test_curves_through_points_pass_them(name: str) -> None:
    assert curve(name, FIVE).residuals == pytest.approx([0.0] * 5, abs=1e-9)


@pytest.mark.parametrize("shape", [(90, 16, 4, 4), (88, 20, 3, 5), (92, 10, 5, 3.5)])
def test_growth_model_finds_its_own_curve(shape: tuple[float, ...]) -> None:
    truth = Growth(1.0, 40.0, GRAINS, *shape)
    (top,) = truth.turns()
    points = [(top + step, truth(top + step)) for step in (-4, -2.1, 0.1, 2, 3.9)]

    ours = curve("saturation-growth", points)

    # The shape is held, weakly: hence not to the last digit.
    assert ours.peak_water_content == pytest.approx(top, abs=0.2)
    assert ours.peak_dry_density == pytest.approx(truth(top), rel=0.002)
    assert ours.rms < 2.0


def test_growth_model_fits_as_an_independent_solver_does() -> None:
    # The same misfits, written out again, minimized by scipy (trust-region reflective).
    water, density = np.array(FIVE).T
    start = np.array([90.0, 14.3 * 1.1, 4.0, 8.0 / 3])

    def dry(w: Any, unknowns: Any) -> Any:
        most, reached, n, width = unknowns
        u = np.maximum(reached - w, 0) / reached
        a = (width / reached) ** n
        degree = most * (1 - u ** (n + 1) * (1 + a) / (u**n + a))
        return GRAINS.water_density / (1 / GRAINS.specific_gravity + w / degree)

    def misses(logs: Any) -> Any:
        held = np.array([15.0, 8.0]) * (logs - np.log(start))[2:]
        return np.concatenate([dry(water, np.exp(logs)) - density, held])

    from scipy.optimize import least_squares, minimize_scalar

    fitted = least_squares(misses, np.log(start), xtol=1e-15, ftol=1e-15, gtol=1e-15)
    found = np.exp(fitted.x)
    top = minimize_scalar(lambda w: -dry(w, found), bounds=(12, 16), method="bounded")

    ours = curve("saturation-growth", FIVE)

    assert ours.peak_dry_density == pytest.approx(-top.fun, rel=1e-8)
    assert ours.peak_water_content == pytest.approx(top.x, rel=1e-5)


@pytest.mark.parametrize("name", NAMES)
def test_rounding_is_not_amplified(name: str) -> None:
    # A float has 16 digits. An uncertainty is computed of differences of such peaks, to
    # ten digits: what the last digit of a reading does must stay near the last digit.
    chance = np.random.default_rng(1)

    def nearly(value: float) -> float:
        return value * (1 + int(chance.integers(-1, 2)) * sys.float_info.epsilon)

    peaks = [
        curve(name, [(nearly(water), nearly(density)) for water, density in FIVE])
        for _ in range(40)
    ]

    for values in (
        [one.peak_water_content for one in peaks],
        [one.peak_dry_density for one in peaks],
    ):
        assert max(values) - min(values) < 1e-12 * max(values)


def test_growth_model_keeps_one_saturation_on_its_wet_leg() -> None:
    truth = Growth(1.0, 40.0, GRAINS, 90, 16, 4, 4)

    for water in (16.0, 20.0, 30.0):
        assert saturation(truth(water), water, *GRAINS) == pytest.approx(90.0)
        assert truth(water) < zero_air_voids_density(water, *GRAINS)


def test_power_branches_find_their_own_corner() -> None:
    # S = A w^b on either side, meeting at w = 12 with S = 85 %.
    dry = (1.4, float(np.log(85) - 1.4 * np.log(12)))
    wet = (0.1, float(np.log(85) - 0.1 * np.log(12)))
    truth = Branches(6.0, 18.0, 12.0, dry, wet, GRAINS)
    points = [(w, truth(w)) for w in (7.0, 9.0, 11.0, 13.0, 15.0)]

    ours = curve("power-branches", points)

    assert ours.peak_water_content == pytest.approx(12.0, abs=1e-6)
    assert ours.peak_dry_density == pytest.approx(truth(12.0))


@pytest.mark.parametrize("name", NAMES)
@given(points=humps(), chance=st.randoms(use_true_random=False))
def test_shuffled_points_give_the_same_curve(
    name: str, points: Points, chance: Random
) -> None:
    mixed = list(points)
    chance.shuffle(mixed)

    one, other = fit(name, points, GRAINS), fit(name, mixed, GRAINS)

    assert one.line == other.line
    if isinstance(one, Curve) and isinstance(other, Curve):
        assert one.peak_water_content == other.peak_water_content
        assert sorted(one.residuals) == sorted(other.residuals)
    else:
        assert one == other


@pytest.mark.parametrize("factor", [1.0, 1.09375, 1.1, 0.3, 7.7])
def test_a_peak_at_a_point_is_not_lost_by_rounding(factor: float) -> None:
    # By symmetry the spline is level at 8 %, where two of its pieces meet.
    dry = [1700.0, 1763.0, 1783.0, 1763.0, 1700.0]
    points = [(6.0 + i, density * factor) for i, density in enumerate(dry)]

    assert curve("natural-spline", points).peak_water_content == pytest.approx(8.0)


@pytest.mark.parametrize("name", [AUTO, "quadratic", "cubic", *THROUGH])
@given(points=humps(), factor=st.floats(0.01, 100))
def test_scaled_densities_scale_the_peak(
    name: str, points: Points, factor: float
) -> None:
    one = fit(name, points)
    other = fit(name, [(water, density * factor) for water, density in points])

    assert type(one) is type(other)
    if isinstance(one, Curve) and isinstance(other, Curve):
        assert other.peak_water_content == pytest.approx(one.peak_water_content)
        assert other.peak_dry_density == pytest.approx(one.peak_dry_density * factor)


@given(humps())
def test_auto_passes_near_the_points_and_stands_little_above_them(
    points: Points,
) -> None:
    result = fit(AUTO, points)
    highest = max(density for _, density in points)

    if isinstance(result, Curve):
        assert result.form in FROM_AUTO
        if result.form != "local-parabola":
            assert result.rms < 1e-6
        assert highest * (1 - SCATTER) <= result.peak_dry_density
        assert result.peak_dry_density <= highest * (1 + SCATTER)
    else:
        assert result.reason in ("bulge", "flat")


FROM_AUTO = ("parabola-through-three", "modified-akima", "local-parabola")


def test_an_ordinary_test_has_the_parabola_through_three() -> None:
    assert curve(AUTO, FIVE).form == "parabola-through-three"
    assert curve(AUTO, FIVE).line == curve("parabola-through-three", FIVE).line


def test_a_gap_three_times_as_wide_is_no_border() -> None:
    # Newton's parabola through the first three is highest at 12.64 %, Akima's curve at
    # 9.98 %; `auto` went from one to the other between 6.00 and 6.01.
    def optimum(gap: float) -> float:
        points = [(8.0, 1920.0), (10.0, 1960.0), (10 + gap, 1948.0), (12 + gap, 1942.0)]
        return curve(AUTO, points).peak_water_content

    steps = [optimum(gap / 100) for gap in range(300, 800)]

    assert abs(optimum(6.01) - optimum(6.00)) < 0.15
    assert max(abs(b - a) for a, b in pairwise(steps)) < 0.2
    assert max(steps) - min(steps) > 1


@pytest.mark.parametrize("low", [1900.0, 1945.0])
def test_two_tied_points_may_change_places(low: float) -> None:
    def peak(second: float) -> Curve:
        points = [(8, 1850), (10, 1950), (11.9, low + 46), (13.6, second), (15.3, 1870)]
        return curve(AUTO, [(float(w), float(d)) for w, d in points])

    before, after = peak(1949.99), peak(1950.01)

    assert before.peak_water_content == pytest.approx(
        after.peak_water_content, abs=0.02
    )
    assert before.peak_dry_density == pytest.approx(after.peak_dry_density, abs=0.1)


@given(
    st.lists(
        st.tuples(st.floats(0, 60), st.sampled_from([-1.0, 0.0, 1e-9, 1800.0, 1801.0])),
        min_size=1,
        max_size=9,
    )
)
def test_auto_bears_with_any_points(points: Points) -> None:
    result = fit(AUTO, points)

    if isinstance(result, Curve):
        first, last = result.line.span
        assert first < result.peak_water_content < last


def test_many_points_are_read_by_least_squares_near_the_top() -> None:
    # Twelve points 0.7 apart on a parabola with its vertex at (12, 1950), densities
    # shifted by turns by 0.4 %: by symmetry least squares find 12, and three points the
    # densest of the shifted ones.
    waters = [12 + 0.7 * (i - 5.5) for i in range(12)]
    shifts = [0, 0, 0, 1, -1, 1, 1, -1, 1, 0, 0, 0]
    points = [
        (w, (1950 - 4 * (w - 12) ** 2) * (1 + 0.004 * shift))
        for w, shift in zip(waters, shifts, strict=True)
    ]
    points[5] = (points[5][0], points[5][1] + 1)  # which of the two is highest

    ours = curve(AUTO, points)

    assert ours.form == "local-parabola"
    assert ours.peak_water_content == pytest.approx(12.0, abs=0.1)
    assert curve("parabola-through-three", points).peak_dry_density > 1957
    assert ours.peak_dry_density == pytest.approx(1950, rel=0.003)


def test_no_curve_needs_numpy() -> None:
    code = (
        "import sys; from buildsite.soil.curves import *;"
        f"fit('auto', {FIVE}); spread(Fits({FIVE}, Solids(2.7, 998.2)), 1.0);"
        "print({'numpy', 'scipy'} & set(sys.modules))"
    )

    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)

    assert done.stdout == "set()\n", done.stderr
