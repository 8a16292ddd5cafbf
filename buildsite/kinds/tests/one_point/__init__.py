"""One point: model, computation, rules and sheet of one kind (AASHTO T 272)."""

from collections.abc import Mapping

from buildsite.kinds.kind import Kind, Result, late
from buildsite.kinds.reporting import density_result, percent_result
from buildsite.kinds.tests.moisture_density.reference import REPORTS
from buildsite.kinds.tests.one_point.blank import BLANK
from buildsite.kinds.tests.one_point.compute import Test, Values, compute
from buildsite.kinds.tests.one_point.links import needs, trace
from buildsite.kinds.tests.one_point.model import COLUMNS, OnePoint
from buildsite.kinds.tests.one_point.rules import RULES
from buildsite.kinds.tests.one_point.told import (
    answer_from_result,
    detail,
    governing,
)
from buildsite.kinds.tests.shared.kind import kind_of_test


def results(case: Test) -> Mapping[str, Result]:
    """Return the peak that the point leads to, and that of the whole soil."""
    values, method, unit = case.values, case.method, case.values.density_unit
    found: dict[str, Result] = {}
    for lead, peak in (("", values), ("corrected_", values.corrected)):
        density = peak.maximum_dry_density if peak is not None else None
        water = peak.optimum_water_content if peak is not None else None
        if density is not None and water is not None:
            name = f"{lead}maximum_dry_density"
            found[name] = density_result(name, density, method, unit)
            name = f"{lead}optimum_water_content"
            found[name] = percent_result(name, water, method)
    return found


KIND: Kind[OnePoint, Values] = kind_of_test(
    Kind(
        name="one-point",
        title="One-point",
        group="test",
        model=OnePoint,
        needs=needs,
        compute=compute,
        results=results,
        governing=governing,
        reports=REPORTS,
        detail=detail,
        rules=RULES,
        trace=trace,
        sheet=late(f"{__name__}.sheet", "sheet"),
        working=late(f"{__name__}.working", "working"),
        bench=late(f"{__name__}.bench", "bench"),
        blank=BLANK,
        compare=late(
            "buildsite.kinds.tests.moisture_density.sheet.revision_curves", "compare"
        ),
        answer_from_result=answer_from_result,
    ),
    line_values=(("water_content", "%", 2), ("dry_density", "kg/m3", 1)),
    columns=COLUMNS,
)
