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

BEND_OF_THREE = (
    "((rho_3 - rho_2) / (w_3 - w_2) - (rho_2 - rho_1) / (w_2 - w_1)) / (w_3 - w_1)"
)
SLOPE_OF_THREE = "(rho_2 - rho_1) / (w_2 - w_1) + c * (w_2 - w_1)"


def parabola_steps(
    case: Test, start: float, powers: tuple[float, float, float, float]
) -> Iterator[Step]:
    """Yield the parabola, brought to distances from the highest point, and its top."""
    fits = case.values.fits
    top = max(range(len(fits.places)), key=lambda i: fits.places[i][1])
    origin = fits.places[top][0]
    a, b, c, _ = powers
    x = origin - start
    moved = (a + x * (b + x * c), b + 2 * c * x, c)
    words = {"x": "water content less that of the highest point, w₀, in %"}
    equation = coefficient_step(case, moved, "a + b * x + c * x**2", words)
    weights = weights_of(case, top)
    if sum(weight > 0 for weight in weights) == 3:
        yield from through_three(case, top, moved)
    else:
        yield weighted_step(case, weights)
        yield equation
    inputs = coefficients(moved)
    w_0 = Input("w_0", digits(origin), "%", line=water_line(case, top))
    yield peak_step(
        case,
        OPTIMUM,
        "w_0 - b / (2 * c)",
        (w_0, *inputs[1:]),
        "Where the slope, b + 2 c x, is zero.",
    )
    yield peak_step(case, DENSITY, "a - b**2 / (4 * c)", inputs, "On the curve there.")


def weights_of(case: Test, top: int) -> list[float]:
    """Return the weight of each place for the parabola."""
    found, count = case.values.fits.top, len(case.values.fits.places)
    if case.values.curve.form == "parabola-through-three" or found is None:
        return [float(abs(i - top) <= 1) for i in range(count)]
    return list(found.weights)


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


def through_three(case: Test, top: int, moved: Sequence[float]) -> Iterator[Step]:
    """Yield the coefficients of the parabola through three points, by hand."""
    three = [place_inputs(case, top + i - 2, f"_{i}") for i in (1, 2, 3)]
    before, at, after = (named(case, top + i) for i in (-1, 0, 1))
    words = words_of(case.method)
    symbols = tuple(
        Symbol(f"{symbol}_{i}", f"{words[term]} of {which[:1].lower()}{which[1:]}", of)
        for i, which in enumerate((before, at, after), 1)
        for symbol, term, of in (
            ("w", "water content", "%"),
            ("rho", "dry density", "kg/m³"),
        )
    )
    (w_1, rho_1), (w_2, rho_2), (w_3, rho_3) = three
    lines = coefficient_lines(moved)
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
