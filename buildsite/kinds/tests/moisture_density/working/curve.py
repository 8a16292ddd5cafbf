"""The working of the curve: what was fitted to which points, and where it peaks."""

from collections.abc import Iterator

from buildsite.kinds.steps import Input, Line, Step, Steps
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.working.equation import (
    COEFFICIENTS,
    coefficient_step,
    coefficients,
    groups,
)
from buildsite.kinds.tests.moisture_density.working.parabola import parabola_steps
from buildsite.kinds.tests.moisture_density.working.results import (
    DENSITY,
    OPTIMUM,
    peak_step,
)
from buildsite.kinds.tests.moisture_density.working.saturated import saturated_steps
from buildsite.kinds.tests.shared.working import capital
from buildsite.kinds.working import digits, read
from buildsite.soil.curves import AUTO, FORMS, Curve
from buildsite.soil.curves.piecewise import Piecewise
from buildsite.soil.curves.polynomial import Polynomial

PARABOLAS = ("parabola-through-three", "local-parabola")
AT_POWERS = "a + b * x + c * x**2 + d * x**3"
BEND = "b / (-c + sqrt(c**2 - 3 * b * d))"


def curve_steps(case: Test) -> Steps:
    """Return the steps from the points to the peak."""
    values = case.values
    if values.is_drawn:
        return Steps("curve", "Curve", tuple(drawn_steps(case)), (DRAWN,))
    if values.no_peak is not None or not isinstance(values.curve, Curve):
        reason = values.no_peak[1] if values.no_peak is not None else ""
        return Steps("curve", "Curve", (), (f"{capital(reason)}.",) if reason else ())
    return Steps("curve", "Curve", tuple(fitted_steps(case, values.curve)), about(case))


DRAWN = "The curve was drawn by a person, who read the peak off it."


def about(case: Test) -> tuple[str, ...]:
    """Return what was fitted, to which points, and why that type of curve."""
    form, asked = case.values.curve.form, case.values.requested_form
    title, source = FORMS[form].title, FORMS[form].source
    found = [f"{capital(title)} ({source})."]
    if asked == AUTO:
        found.append(
            "The type follows from how the points lie (docs/curve-forms.md): the "
            "parabola of the highest point and its neighbors, of more points where "
            "they lie near it or are nearly as high, and Akima's curve where the "
            "points lie unevenly or the parabola would rise far above them."
        )
    merged = [group for group in groups(case) if len(group) > 1]
    means = (
        f"Points {' and '.join(map(str, group))}, at one water content, count as their "
        "mean."
        for group in merged
    )
    return (*found, *means)


def drawn_steps(case: Test) -> Iterator[Step]:
    """Yield the peak as a person read it."""
    drawn = case.record.curve.drawn if case.record.curve is not None else None
    if drawn is None or case.values.maximum_dry_density is None:
        return
    unit = case.record.units.density or ""
    density = read(drawn.maximum_dry_density)
    field = ("curve", "drawn", DENSITY)
    yield peak_step(case, DENSITY, "rho_p", (Input("rho_p", density, unit, field),))
    water = Input(
        "w_p", read(drawn.optimum_water_content), "%", ("curve", "drawn", OPTIMUM)
    )
    yield peak_step(case, OPTIMUM, "w_p", (water,))


def fitted_steps(case: Test, curve: Curve) -> Iterator[Step]:
    """Yield the coefficients and the peak of a fitted curve."""
    line = curve.line
    if isinstance(line, Polynomial):
        yield from polynomial_steps(case, line, curve.peak_water_content)
    elif isinstance(line, Piecewise):
        i, x = line.piece(curve.peak_water_content)
        if curve.form in PARABOLAS and line.is_parabola(i):
            yield from parabola_steps(case, line, i)
        else:
            yield from piece_steps(case, line, i, x)
    else:
        yield from saturated_steps(case, line)


def piece_steps(case: Test, line: Piecewise, i: int, x: float) -> Iterator[Step]:
    """Yield the cubic between two places that has the peak, `x` from the drier one."""
    powers = line.pieces[i]
    start, end = line.places[i], line.places[i + 1]
    yield coefficient_step(
        case,
        powers,
        AT_POWERS,
        {"x": f"water content less {digits(start)} %, up to {digits(end)} %"},
    )
    inputs = coefficients(powers)
    origin = Input("w_0", digits(start), "%")
    yield peak_step(
        case,
        OPTIMUM,
        f"w_0 + {BEND}",
        (origin, *inputs[1:]),
        "Where the slope, b + 2 c x + 3 d x², is zero.",
    )
    top = Input("x", digits(x), "%")
    yield peak_step(case, DENSITY, AT_POWERS, (*inputs, top), "On the curve there.")


def polynomial_steps(case: Test, line: Polynomial, peak: float) -> Iterator[Step]:
    """Yield the polynomial of least squares, and its top."""
    values = line.coefficients
    center, half = digits(line.center), digits(line.half)
    cubic = len(values) > 3
    equation = AT_POWERS if cubic else "a + b * x + c * x**2"
    units = "water content as (w − w₀) / h, from −1 at the driest point to 1"
    made = coefficient_step(case, values, equation, {"x": units})
    lines = tuple(
        Line(one.anchor, one.label, (), one.value, COEFFICIENTS[0])
        for one in made.lines
    )
    note = "Of all points, by least squares."
    yield Step(
        made.anchor,
        made.name,
        lines,
        made.symbol,
        made.formula,
        made.symbols,
        notes=(note,),
        unlike=made.unlike,
    )
    inputs = coefficients(values)
    place = (Input("w_0", center, "%"), Input("h", half, "%"))
    root = BEND if cubic else "-b / (2 * c)"
    yield peak_step(
        case,
        OPTIMUM,
        f"w_0 + h * ({root})",
        (*place, *inputs[1:]),
        "Where the slope is zero.",
    )
    x = Input("x", digits(line.scaled(peak)))
    yield peak_step(case, DENSITY, equation, (*inputs, x), "On the curve there.")
