"""The working of the parabola at the top of a curve: of three points, or of more."""

from collections.abc import Iterator, Sequence

from buildsite.kinds.steps import Input, Line, Step, Symbol
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.working.equation import (
    coefficient_lines,
    coefficient_step,
    coefficients,
    density_anchor,
    groups,
    water_line,
)
from buildsite.kinds.tests.moisture_density.working.results import (
    DENSITY,
    OPTIMUM,
    peak_step,
)
from buildsite.kinds.tests.shared.working import words_of
from buildsite.kinds.working import digits
from buildsite.soil.curves.piecewise import Piecewise

BEND_OF_THREE = (
    "((rho_3 - rho_2) / (w_3 - w_2) - (rho_2 - rho_1) / (w_2 - w_1)) / (w_3 - w_1)"
)
SLOPE_OF_THREE = "(rho_2 - rho_1) / (w_2 - w_1) + c * (w_2 - w_1)"


def parabola_steps(case: Test, line: Piecewise, i: int) -> Iterator[Step]:
    """Yield the parabola, by distances from the highest point, and its top."""
    words = {"x": "water content less that of the highest point, w₀, in %"}
    found = case.values.fits.top
    through = case.values.curve.form == "parabola-through-three"
    if through or found is None or found.is_of_three:
        waters = [water for water, _ in case.values.fits.places]
        k = i if line.places[i] in waters else i + 1
        top = waters.index(line.places[k])
        powers = (line.densities[k], line.slopes[k], line.pieces[i][2])
        yield from through_three(case, top, powers)
    else:
        top, powers = found.place, found.powers
        yield weighted_step(case, found.weights)
        yield coefficient_step(case, powers, "a + b * x + c * x**2", words)
    inputs = coefficients(powers)
    origin, _ = case.values.fits.places[top]
    w_0 = Input("w_0", digits(origin), "%", line=water_line(case, top))
    yield peak_step(
        case,
        OPTIMUM,
        "w_0 - b / (2 * c)",
        (w_0, *inputs[1:]),
        "Where the slope, b + 2 c x, is zero.",
    )
    yield peak_step(case, DENSITY, "a - b**2 / (4 * c)", inputs, "On the curve there.")


def named(case: Test, place: int) -> str:
    """Return the points at a place, in words."""
    return f"Point {' and '.join(map(str, groups(case)[place]))}"


def place_inputs(case: Test, place: int, mark: str = "") -> tuple[Input, Input]:
    """Return water content and dry density at a place, from the lines of its point."""
    water, density = case.values.fits.places[place]
    own = density_anchor(groups(case)[place])
    return (
        Input(f"w{mark}", digits(water), "%", line=water_line(case, place)),
        Input(f"rho{mark or '_d'}", digits(density), "kg/m3", line=own),
    )


def through_three(case: Test, top: int, powers: Sequence[float]) -> Iterator[Step]:
    """Yield the coefficients of the parabola through three points, by hand."""
    places = (top - 1, top, top + 1)
    three = [place_inputs(case, at, f"_{i}") for i, at in enumerate(places, 1)]
    words = words_of(case.method)
    symbols = tuple(
        Symbol(f"{symbol}_{i}", f"{words[term]} of {which[:1].lower()}{which[1:]}", of)
        for i, which in enumerate((named(case, at) for at in places), 1)
        for symbol, term, of in (
            ("w", "water content", "%"),
            ("rho", "dry density", "kg/m³"),
        )
    )
    (w_1, rho_1), (w_2, rho_2), (w_3, rho_3) = three
    lines = coefficient_lines(powers)
    yield Step(
        "bend",
        "Bend of the parabola",
        (lines[2]._replace(inputs=(w_1, rho_1, w_2, rho_2, w_3, rho_3)),),
        "c",
        BEND_OF_THREE,
        symbols,
        notes=("The change of slope between the points, over their distance.",),
    )
    bend = Input("c", lines[2].value, line=lines[2].anchor)
    yield Step(
        "slope",
        "Slope of the parabola at the highest point",
        (lines[1]._replace(inputs=(w_1, rho_1, w_2, rho_2, bend)),),
        "b",
        SLOPE_OF_THREE,
        symbols[:4],
    )
    yield Step(
        "height",
        "Height of the parabola at the highest point",
        (lines[0]._replace(inputs=(rho_2._replace(symbol="rho_2"),)),),
        "a",
        "rho_2",
    )


def weighted_step(case: Test, weights: Sequence[float]) -> Step:
    """Return the points that a parabola was fitted to, with their weights."""
    lines = tuple(
        Line(f"weight-{i}", named(case, i), place_inputs(case, i), digits(weight, 6))
        for i, weight in enumerate(weights)
        if weight > 0
    )
    note = "The parabola misses these points by the least weighted sum of squares."
    return Step(
        "fitted-to", "Points of the parabola", lines, notes=(note,), unlike="Weight"
    )
