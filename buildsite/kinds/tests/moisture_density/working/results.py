"""Steps that give a result of a compaction test, as reported."""

from collections.abc import Mapping
from typing import Any

from buildsite.kinds.kind import Case
from buildsite.kinds.reporting import UNRULED_FIGURES, result_label, result_text
from buildsite.kinds.steps import Input, Line, Step, Symbol
from buildsite.kinds.tests.shared.working import rounding_note, rounding_row
from buildsite.kinds.working import density_line, digits

DENSITY, OPTIMUM = "maximum_dry_density", "optimum_water_content"

MEANINGS = {
    "w_0": "water content that distances are taken from",
    "h": "half the range of the water contents",
    "x": "distance of the peak from it",
    "a": "constant",
    "b": "slope",
    "c": "bend",
    "d": "its change",
}


def peak_step(
    case: Case[Any, Any],
    name: str,
    formula: str,
    inputs: tuple[Input, ...],
    how: str = "",
    symbols: Mapping[str, str] = MEANINGS,
) -> Step:
    """Return the step of a result of a peak: unrounded, then as reported."""
    unit = case.values.density_unit
    result = case.results[name]
    density = name.endswith(DENSITY)
    line = Line(name, "", inputs, digits(result.value), "%")
    text = result_text(result)
    if density:
        line = density_line(result.value, unit, line, reported=text)
    else:
        line = Line(name, "", inputs, line.value, "%", reported=text)
    rounded = rounding_note(
        case.method, name, unit if density else "%", UNRULED_FIGURES
    )
    symbol = "rho_max" if density else "w_opt"
    return Step(
        f"step-{name}",
        result_label(case.method, name, unit),
        (line,),
        f"{symbol}_t" if name.startswith("corrected") else symbol,
        formula,
        tuple(
            Symbol(one.symbol, symbols[one.symbol], one.unit)
            for one in inputs
            if one.symbol in symbols
        ),
        to=rounding_row(case, name),
        notes=tuple(filter(None, (how, rounded))),
    )
