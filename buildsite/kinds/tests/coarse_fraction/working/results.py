"""Steps that give a result of a coarse fraction."""

from buildsite.kinds.reporting import result_label
from buildsite.kinds.steps import Input, Step, Symbol
from buildsite.kinds.tests.coarse_fraction.compute import Test
from buildsite.kinds.tests.shared.working import (
    result_line,
    rounded_as,
    rounding_row,
)


def mean_result(
    case: Test,
    name: str,
    inputs: tuple[Input, ...],
    formula: str,
    symbols: tuple[Symbol, ...] = (),
    source: str = "",
) -> Step:
    """Return the step of a result: of one value, or of the mean of several."""
    return Step(
        f"step-{name}",
        result_label(case.method, name, case.results[name].unit),
        (result_line(case, name)._replace(inputs=inputs),),
        symbol_of(name),
        formula,
        symbols,
        source,
        notes=rounded_as(case, name),
        to=rounding_row(case, name),
    )


SIZES = "ASTM C127, average of several sizes"
ALIKE = "The mean for specimens of one size: as ASTM C127 has it, of equal shares"


def symbol_of(name: str) -> str:
    """Return the symbol of a property of particles."""
    return "G" if "gravity" in name else "a"


def shares(name: str) -> tuple[Symbol, ...]:
    """Return the symbols of a mean by shares."""
    return (
        Symbol("P", "share of each size in the whole", "%"),
        Symbol(symbol_of(name), "its value"),
    )
