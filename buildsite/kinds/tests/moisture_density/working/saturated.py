"""The working of the curves of saturation: their equation, parameters and peak."""

from collections.abc import Iterator, Mapping

from buildsite.kinds.steps import Input, Line, Step, Symbol
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.working.results import (
    DENSITY,
    OPTIMUM,
    peak_step,
)
from buildsite.kinds.working import digits
from buildsite.soil.curves import Line as Drawn
from buildsite.soil.curves.growth import Growth
from buildsite.soil.curves.saturation import Branches

GROWTH = (
    "S_m * (1 - ((w_m - w) / w_m)**(n + 1) * (w_m**n + p**n) / ((w_m - w)**n + p**n))"
)
POWER = "exp(k + m * ln(w))"
AT_SATURATION = "rho_w / (1 / G_s + w / S)"

WORDS = {
    "S_m": "greatest saturation",
    "w_m": "water content where it is reached",
    "n": "sharpness",
    "p": "width",
    "k": "constant of ln S over ln w, dry of the corner",
    "m": "slope of ln S over ln w, dry of the corner",
    "w": "water content",
    "S": "saturation there",
    "G_s": "specific gravity of the solids",
    "rho_w": "density of water",
}


def saturated_steps(case: Test, line: Drawn) -> Iterator[Step]:
    """Yield saturation over water content, and the density at the peak."""
    peak, solids = case.values.optimum_water_content, case.values.solids
    if peak is None or solids is None:
        return
    if isinstance(line, Growth):
        found = {
            "S_m": line.greatest,
            "w_m": line.reached,
            "n": line.sharpness,
            "p": line.width,
        }
        how = "Where the density stops rising, found by bisection to the last digit."
        formula = GROWTH if peak < line.reached else "S_m"
    elif isinstance(line, Branches):
        slope, constant = line.dry
        found = {"k": constant, "m": slope}
        how = "The corner of the two branches."
        formula = POWER
    else:
        return
    degree = line.saturation(peak)
    yield peak_step(case, OPTIMUM, "w", (Input("w", digits(peak), "%"),), how, WORDS)
    yield saturation_step(formula, found, peak, degree)
    inputs = (
        Input("rho_w", digits(solids.water_density), "kg/m3", line="water-density-1"),
        Input("G_s", digits(solids.specific_gravity)),
        Input("w", digits(peak), "%", line=OPTIMUM),
        Input("S", digits(degree), "%", line="saturation-at-peak"),
    )
    yield peak_step(case, DENSITY, AT_SATURATION, inputs, "", WORDS)


def saturation_step(
    formula: str, found: Mapping[str, float], peak: float, degree: float
) -> Step:
    """Return the step of the saturation at the peak."""
    inputs = (
        *(Input(name, digits(value)) for name, value in found.items()),
        Input("w", digits(peak), "%", line=OPTIMUM),
    )
    used = [one for one in inputs if one.symbol in formula]
    return Step(
        "saturation-of-curve",
        "Saturation on the curve",
        (Line("saturation-at-peak", "", tuple(used), digits(degree), "%"),),
        "S",
        formula,
        tuple(Symbol(one.symbol, WORDS[one.symbol], one.unit) for one in used),
    )
