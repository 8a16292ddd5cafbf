"""The density of soil in place: model, computation, rules and sheet of one kind."""

from collections.abc import Mapping

from buildsite.kinds.kind import Kind, Result, late
from buildsite.kinds.reporting import (
    WEIGHTS,
    density_result,
    percent_result,
    reported_number,
)
from buildsite.kinds.tests.field_density.blank import BLANK
from buildsite.kinds.tests.field_density.compute import Test, Values, compute
from buildsite.kinds.tests.field_density.follows import follows
from buildsite.kinds.tests.field_density.links import needs, trace
from buildsite.kinds.tests.field_density.model import COLUMNS, FieldDensity
from buildsite.kinds.tests.field_density.rules import RULES
from buildsite.kinds.tests.field_density.told import (
    answer_from_result,
    detail,
    neighbor,
)
from buildsite.kinds.tests.shared.kind import kind_of_test
from buildsite.record.units import from_si

POUNDS = (*WEIGHTS, *WEIGHTS.values())
"""Units of density whose reports give volumes in cubic feet."""


def volume_result(case: Test, value: float) -> Result:
    """Return the volume of a hole, in the unit of its record or report."""
    unit = case.record.units.volume
    if unit is None:
        unit = "ft3" if case.values.density_unit in POUNDS else "cm3"
    shown = from_si(value, unit)
    text = reported_number("hole_volume", shown, unit, case.method, 4)
    return Result(value, "m3", f"{text} {unit}")


def deviation_result(case: Test, value: float) -> Result:
    """Return the deviation from the optimum, from the water content as compared."""
    shown = case.values.shown_deviation
    name = "water_content_deviation"
    taken = float(shown) if shown is not None else value
    text = reported_number(name, taken, "%", case.method, 2)
    sign = "+" if taken > 0 and text.strip("0.") else ""
    return Result(value, "points", f"{sign}{text} points")


def results(case: Test) -> Mapping[str, Result]:
    """Report densities, water content, percent compaction and deviation."""
    values, method, unit = case.values, case.method, case.values.density_unit
    found: dict[str, Result] = {}
    for name, density in (
        ("wet_density", values.dug.wet_density),
        ("dry_density", values.dry_density),
    ):
        if density is not None:
            found[name] = density_result(name, density, method, unit)
    water = values.water.reported
    if water is not None:
        found["water_content"] = percent_result("water_content", water, method)
    digs = case.record.apparatus in ("sand-cone", "balloon")
    if digs and values.dug.volume is not None:
        found["hole_volume"] = volume_result(case, values.dug.volume)
    if values.percent is not None:
        name = "percent_compaction"
        found[name] = percent_result(name, values.percent, method)
    if values.deviation is not None:
        found["water_content_deviation"] = deviation_result(case, values.deviation)
    return found


KIND: Kind[FieldDensity, Values] = kind_of_test(
    Kind(
        reports=(
            ("dry_density", "kg/m3"),
            ("wet_density", "kg/m3"),
            ("water_content", "%"),
            ("percent_compaction", "%"),
            ("water_content_deviation", "points"),
            ("hole_volume", "m3"),
        ),
        name="field-density",
        title="Field density",
        group="test",
        model=FieldDensity,
        needs=needs,
        compute=compute,
        results=results,
        detail=detail,
        rules=RULES,
        trace=trace,
        neighbor=neighbor,
        sheet=late(f"{__name__}.sheet", "sheet"),
        working=late(f"{__name__}.working", "working"),
        bench=late(f"{__name__}.bench", "bench"),
        blank=BLANK,
        answer_from_result=answer_from_result,
        lasts=True,
        follows=follows,
    ),
    line_values=(("water_content", "%", 2),),
    columns=COLUMNS,
)
