"""The compaction test: model, computation, rules and sheet of one kind."""

from collections.abc import Mapping
from typing import Any

from buildsite.kinds.kind import Appendix, Kind, Result, late
from buildsite.kinds.reporting import density_result, percent_result
from buildsite.kinds.tests.moisture_density import targets
from buildsite.kinds.tests.moisture_density.blank import BLANK
from buildsite.kinds.tests.moisture_density.compute import Test, Values, compute
from buildsite.kinds.tests.moisture_density.family_curve import (
    answer_from_result,
    compacted_as,
)
from buildsite.kinds.tests.moisture_density.links import (
    asks_uncertainty,
    further,
    needs,
    trace,
)
from buildsite.kinds.tests.moisture_density.model import COLUMNS, MoistureDensity
from buildsite.kinds.tests.moisture_density.reference import REPORTS, governing, told
from buildsite.kinds.tests.moisture_density.rules import RULES
from buildsite.kinds.tests.moisture_density.specimens import POINT_UNITS
from buildsite.kinds.tests.moisture_density.whole_soil import field_reference
from buildsite.kinds.tests.shared.kind import kind_of_test
from buildsite.soil.curves import sample

LINE_POINTS = 60
"""Points along a curve besides its turning points: as many as in the figure."""


def results(case: Test) -> Mapping[str, Result]:
    """Return the peak as reported, and that of the whole soil where corrected."""
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


def is_bracketed(values: Values) -> bool:
    """Return whether the peak lies between points on the curve."""
    optimum = values.optimum_water_content
    waters = [
        one.water_content for one in values.on_curve if one.water_content is not None
    ]
    return optimum is not None and min(waters, default=optimum) < optimum < max(waters)


def drawn_line(values: Values) -> tuple[tuple[float, float], ...]:
    """Return points along the curve: water content [%] and dry density [kg/m³]."""
    line = values.curve.line
    if line is None or values.is_drawn:
        return ()
    return sample(line, LINE_POINTS)


def detail(case: Test) -> Mapping[str, Any]:
    """Return points and curve, as `show --json` gives them."""
    values = case.values
    curve = values.curve
    about: dict[str, Any] = {
        "asked": values.requested_form,
        "form": "drawn" if values.is_drawn else curve.form,
        "peak_bracketed": is_bracketed(values),
        "line": drawn_line(values),
        "specific_gravity": float(values.gravity.value) if values.gravity else None,
        "water_density": values.water_density,
        "density_unit": values.density_unit,
    }
    if values.no_peak is not None:
        reason, words = values.no_peak
        about |= {"reason": reason, "words": words}
    points = [
        {
            "water_content": point.water_content,
            "wet_density": point.wet_density,
            "dry_density": point.dry_density,
            "saturation": point.saturation,
            "air_voids": point.air_voids,
            "rejected": point.rejected,
            "transcribed": list(point.transcribed),
        }
        for point in values.points
    ]
    whole = {"field_reference": field_reference(case)} if values.corrected else {}
    return {
        "points": points,
        "point_units": POINT_UNITS,
        "curve": about,
        **whole,
        **told(case),
        **targets.told(case),
        **expanded_uncertainty(case),
    }


def expanded_uncertainty(case: Test) -> Mapping[str, Any]:
    """Return the expanded uncertainties of the results, where required."""
    if not asks_uncertainty(case.record, case.inputs):
        return {}
    from buildsite.kinds.tests.moisture_density.uncertainty import budget

    return budget.as_json(case)


def appendices(case: Test) -> tuple[Appendix, ...]:
    """Lay out the uncertainty budget, where required."""
    if not asks_uncertainty(case.record, case.inputs):
        return ()
    from buildsite.kinds.tests.moisture_density.uncertainty import report

    return report.appendices(case)


KIND: Kind[MoistureDensity, Values] = kind_of_test(
    Kind(
        name="moisture-density",
        title="Moisture-density test",
        group="test",
        model=MoistureDensity,
        needs=needs,
        compute=compute,
        results=results,
        governing=governing,
        reports=REPORTS,
        detail=detail,
        sheet=late(f"{__name__}.sheet", "sheet"),
        rules=RULES,
        trace=trace,
        blank=BLANK,
        compare=late(f"{__name__}.sheet.revision_curves", "compare"),
        compare_points=late(f"{__name__}.sheet.revision_points", "compare_points"),
        significance=late(f"{__name__}.significance", "significance"),
        further=further,
        answers=compacted_as,
        appendices=appendices,
        repeats=late(f"{__name__}.repeats", "compared"),
        working=late(f"{__name__}.working", "working"),
        standards_of="compaction",
        bench=late(f"{__name__}.bench.readings", "bench"),
        advise=late(f"{__name__}.bench.advice", "advise"),
        answer_from_result=answer_from_result,
    ),
    line_values=(
        ("water_content", "%", 2),
        ("dry_density", "kg/m3", 1),
        ("saturation", "%", 1),
    ),
    columns=COLUMNS,
)
