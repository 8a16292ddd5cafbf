"""The working of the results for the whole soil, corrected for oversize."""

from collections.abc import Iterator
from typing import Any

from buildsite.kinds.answers import OversizeFact
from buildsite.kinds.kind import Case
from buildsite.kinds.reporting import UNRULED_FIGURES, result_label, result_text
from buildsite.kinds.steps import Input, Line, Step, Steps
from buildsite.kinds.tests.moisture_density.whole_soil import Corrected
from buildsite.kinds.tests.moisture_density.working.results import DENSITY, OPTIMUM
from buildsite.kinds.tests.shared.working import (
    method_page,
    rounding_note,
    rounding_row,
    words_of,
)
from buildsite.kinds.working import constants, density_line, digits, read, step_of
from buildsite.soil.formulas import (
    OVEN_DRY_BULK,
    TOTAL_DRY_DENSITY,
    TOTAL_WATER_CONTENT,
)

Test = Case[Any, Any]

WATER = constants(TOTAL_DRY_DENSITY)[0]._replace(unit="kg/m3")


def whole_soil_steps(case: Test) -> Steps:
    """Return the steps from the fraction compacted to the whole soil."""
    made, coarse = case.values.corrected, case.values.oversize
    if made is None or coarse is None:
        return Steps("whole-soil", "Whole soil", ())
    notes = tuple(f"Assumed: {text}." for text in made.assumed)
    steps = tuple(correction_steps(case, made, coarse))
    return Steps("whole-soil", "Whole soil, with the oversize", steps, notes)


def oversize_input(
    case: Test, coarse: OversizeFact, symbol: str, name: str, value: float, unit: str
) -> Input:
    """Return a value of the oversize: as stated, else the one taken in its place."""
    stated = getattr(coarse, name)
    text = read(stated) if stated is not None else digits(value)
    if stated is None:
        to = method_page(case.method)
        return Input(symbol, text, unit, to=to)
    if coarse.source == case.record.id:
        return Input(symbol, text, unit, ("oversize", name))
    what = "sample" if coarse.source == case.record.sample else "test"
    return Input(symbol, text, unit, to=(what, coarse.source))


def correction_steps(
    case: Test, made: Corrected, coarse: OversizeFact
) -> Iterator[Step]:
    """Yield the bulk specific gravity, then density and water content."""
    values, unit = case.values, case.values.density_unit
    words = words_of(case.method)
    percent = oversize_input(
        case, coarse, "P", "percent_retained", float(coarse.percent_retained), "%"
    )
    bulk = oversize_input(case, coarse, "G_b", "bulk_specific_gravity", made.bulk, "")
    if made.absorption is not None:
        saturated = Input("G_ssd", bulk.value, "", bulk.field, bulk.to)
        taken_by = "absorption" if coarse.absorption is not None else "water_content"
        absorbed = oversize_input(case, coarse, "A", taken_by, made.absorption, "%")
        line = Line(
            "oven-dry-bulk-1", "", (saturated, absorbed), digits(made.oven_dry_bulk)
        )
        name = "Oven-dry bulk specific gravity of the oversize"
        yield step_of(OVEN_DRY_BULK, "oven-dry-bulk", name, [line], {"A": "%"})
        bulk = Input("G_b", digits(made.oven_dry_bulk), line=line.anchor)
    fine = Input("rho_f", digits(values.maximum_dry_density), "kg/m3", line=DENSITY)
    name = f"corrected_{DENSITY}"
    result = case.results[name]
    line = density_line(
        result.value,
        unit,
        Line(name, "", (fine, percent, bulk, WATER), ""),
        reported=result_text(result),
    )
    yield step_of(
        TOTAL_DRY_DENSITY,
        f"step-{name}",
        result_label(case.method, name, unit),
        [line],
        {"rho_f": "kg/m³", "P": "%", "rho_w": "kg/m³"},
        words,
        (rounding_note(case.method, name, unit, UNRULED_FIGURES),),
        rounding_row(case, name),
    )
    name = f"corrected_{OPTIMUM}"
    result = case.results[name]
    inputs = (
        Input("w_f", digits(values.optimum_water_content), "%", line=OPTIMUM),
        percent,
        oversize_input(case, coarse, "w_c", "water_content", made.oversize_water, "%"),
    )
    line = Line(
        name, "", inputs, digits(result.value), "%", reported=result_text(result)
    )
    yield step_of(
        TOTAL_WATER_CONTENT,
        f"step-{name}",
        result_label(case.method, name, unit),
        [line],
        {"w_f": "%", "P": "%", "w_c": "%"},
        words,
        (rounding_note(case.method, name, "%", UNRULED_FIGURES),),
        rounding_row(case, name),
    )
