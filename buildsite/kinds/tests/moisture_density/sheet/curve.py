"""The curve on the report: the peak by other forms, and a peak that a person drew."""

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
    "has-a-corner": "it has a corner at the peak",
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
"""Why a form is not admitted, in words; other reasons are read as they stand."""


def form_row(case: Test, found: Spread, form: str) -> Row:
    """One form: its peak, or why it is not admitted."""
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
    """
    The peak by each form of curve, and which forms the points admit.

    Where no form gives a peak the figure's caption says so, and there is no table.
    """
    if found is None or not found.peaks:
        return None
    columns = (
        Column("Form of curve"),
        Column("Maximum", unit(case.values.density_unit).shown, number=True),
        Column("Optimum", "%", number=True),
        Column("Not admitted because"),
    )
    return Table(
        "forms",
        "The same points under other forms of curve",
        columns,
        tuple(form_row(case, found, form) for form in FORMS),
        role="forms",
    )


def spread_sentence(case: Test, found: Spread | None) -> str:
    """How far the result moves between the admitted forms, in one sentence."""
    if found is None:
        return ""
    if found.dry_density is None or found.water_content is None:
        return "No form of curve gives a peak that the points bracket."
    name = case.values.density_unit
    low, high = (point_density(value, name) for value in found.dry_density)
    dry, wet = (to_places(value, 1) for value in found.water_content)
    return (
        f"Between the {len(found.peaks)} forms of curve that these points admit, the "
        f"maximum lies from {low} to {high} {unit(name).shown}, the optimum from "
        f"{dry} to {wet} %."
    )


def drawn_peak_note(case: Test) -> Note | None:
    """A peak that a person drew, and why."""
    curve = case.record.curve
    if curve is None or curve.drawn is None:
        return None
    why = curve.reason or "no reason stated"
    text = f"The peak was drawn by {person_text(case, curve.by)}: {why}"
    return Note("drawn", "Drawn peak", (text,))
