"""What every curve's working has: its coefficients, and the points at its places."""

from collections.abc import Mapping, Sequence
from itertools import islice

from buildsite.kinds.steps import Input, Line, Step, Symbol
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.shared.working import words_of
from buildsite.kinds.working import digits
from buildsite.soil.curves.piecewise import together

COEFFICIENTS = ("kg/m³", "kg/m³ per %", "kg/m³ per %²", "kg/m³ per %³")


def coefficient_lines(values: Sequence[float]) -> tuple[Line, ...]:
    """Return a line for each coefficient."""
    return tuple(
        Line(f"coefficient-{name}", name, (), digits(value), unit)
        for name, value, unit in zip("abcd", values, COEFFICIENTS, strict=False)
    )


def coefficient_step(
    case: Test, values: Sequence[float], equation: str, words: Mapping[str, str]
) -> Step:
    """Return the equation of the curve with its coefficients, a line each."""
    return Step(
        "equation",
        f"Equation for {words_of(case.method)['dry density']}",
        coefficient_lines(values),
        "rho_d",
        equation,
        tuple(Symbol(name, text) for name, text in words.items()),
        unlike="Coefficient",
    )


def coefficients(values: Sequence[float]) -> tuple[Input, ...]:
    """Return the coefficients as inputs of a later step."""
    return tuple(
        Input(name, digits(value), line=f"coefficient-{name}")
        for name, value in zip("abcd", values, strict=False)
    )


def groups(case: Test) -> list[list[int]]:
    """Return the numbers of the points at each place of the curve."""
    numbers = iter([one.number for one in case.values.on_curve])
    return [
        list(islice(numbers, len(group))) for group in together(case.values.fits.points)
    ]


def water_line(case: Test, place: int) -> str:
    """Return the line of the water content at a place; none where points merged."""
    numbers = groups(case)[place]
    return f"water-content-{numbers[0]}" if len(numbers) == 1 else ""


def density_anchor(numbers: Sequence[int]) -> str:
    """Return the line of a dry density; none where points merged."""
    return f"dry-density-{numbers[0]}" if len(numbers) == 1 else ""
