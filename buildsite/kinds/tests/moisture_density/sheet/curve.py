"""The peak by other curve types, and a drawn peak, on the report."""

from buildsite.kinds.reporting import point_density, to_places
from buildsite.kinds.sheet import Cell, Column, Note, Row, Table
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.shared.facts import person_text
from buildsite.record.units import unit
from buildsite.soil.curves import FORMS
from buildsite.soil.curves.spread import Spread

REASONS = {
    "passes-far-from-a-point": "it passes far from a point",
    "bulge": "it bulges between points",
    "has-a-corner": "corner at the peak",
    "needs-specific-gravity": "it needs a specific gravity",
    "highest-point-first": "the driest point is the highest",
    "highest-point-last": "the wettest point is the highest",
    "peak-outside-points": "its peak lies outside the points",
    "too-few-points": "it needs more points",
    "two-peaks": "the points have two peaks",
    "flat": "the points have no peak",
    "no-fit": "it does not fit the points",
    "no-voids": "a point has no voids",
}
"""Why a curve type is excluded, in words; other reasons are written as they are."""


def form_row(case: Test, found: Spread, form: str) -> Row:
    """Return the row of a curve type: its peak, or why it is excluded."""
    name, peak = case.values.density_unit, found.peaks.get(form)
    refused = found.refused.get(form, "")
    used = not case.values.is_drawn and form == case.values.curve.form
    return Row(
        (
            Cell(FORMS[form].title),
            Cell(point_density(peak[1] if peak else None, name)),
            Cell(to_places(peak[0] if peak else None, 1)),
            Cell(REASONS.get(refused, refused.replace("-", " "))),
        ),
        mark="used" if used else "",
    )


def form_table(case: Test, found: Spread | None) -> Table | None:
    """Return the peak by each curve type; None where none gives a peak."""
    if found is None or not found.peaks:
        return None
    shown = [form for form in FORMS if not is_repeated(case, found, form)]
    columns = (
        Column("Curve type"),
        Column("Maximum", unit(case.values.density_unit).shown, number=True),
        Column("Optimum", "%", number=True),
        Column("Excluded because"),
    )
    return Table(
        "forms",
        "Sensitivity to the choice of curve",
        columns,
        tuple(form_row(case, found, form) for form in shown),
        role="forms",
    )


def is_repeated(case: Test, found: Spread, form: str) -> bool:
    """Return whether a row would repeat another: `auto` often draws a plainer type."""
    used = form == case.values.curve.form
    return form == LOCAL and not used and found.repeats(form)


LOCAL = "local-parabola"


def spread_sentence(case: Test, found: Spread | None) -> str:
    """Return the range of the result over the curve types, as a sentence."""
    if found is None:
        return ""
    if found.dry_density is None or found.water_content is None:
        return "No curve type gives a peak that the points bracket."
    name = case.values.density_unit
    low, high = (point_density(value, name) for value in found.dry_density)
    dry, wet = (to_places(value, 1) for value in found.water_content)
    if found.count == 1:
        return (
            "Only one curve fits these points: they do not tell how far the result "
            "depends on the curve type."
        )
    maximum, optimum = f"{low} to {high} {unit(name).shown}", f"{dry} to {wet} %"
    if found.count < ENOUGH_TYPES:
        return (
            "Only two curve types fit these points, too few to tell how far the result "
            f"depends on the curve type: their maximum is {maximum}, their optimum "
            f"{optimum}."
        )
    return (
        f"Across the {found.count} curve types that fit these points, the maximum "
        f"ranges from {maximum}, the optimum from {optimum}."
    )


ENOUGH_TYPES = 3
"""With fewer different peaks, a range tells nothing certain."""


def drawn_peak_note(case: Test) -> Note | None:
    """Return the note about a drawn peak: by whom, and why."""
    curve = case.record.curve
    if curve is None or curve.drawn is None:
        return None
    why = curve.reason or "no reason stated"
    text = f"Peak drawn by {person_text(case, curve.by)}: {why}"
    return Note("drawn", "Drawn peak", (text,))
