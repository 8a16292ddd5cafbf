"""Checks of the fitted curve and its peak."""

from collections.abc import Iterator

from buildsite.kinds.answers import LaboratoryFacts
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.rules.common import (
    curve_field,
    field_of,
    gravity_assumed,
    highest_point,
    note_until_complete,
    percent,
    quantity_word,
    saturation_at,
    soil_of,
    solids_of,
)
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.kinds.tests.shared.completeness import is_complete
from buildsite.record.flags import Doubt, Rule, Severity, error, note, warning
from buildsite.soil.curves import AUTO, FORMS, NoPeak

NOT_BRACKETED = ("highest-point-first", "highest-point-last", "peak-outside-points")
SHAPELESS = (*NOT_BRACKETED, "flat", "two-peaks", "bulge")
"""Reasons for no peak that lie in the points, not in their number or curve type."""

OF_THE_FIT = ("peak-outside-points", "bulge")
"""Those of them that do not apply where a person drew the curve."""

SPREAD_POINTS = 1.0
SPREAD_SHARE = 0.06
"""
Allowed range of the optimum over the curve types: a point of water content, or a share
of the optimum if that is more, which is a point at the optimum of a lean clay. Common
practice; docs/false-alarms.md shows how often sound tests have more. [%, 1]
"""


def shapeless_curve(case: Test) -> NoPeak | None:
    """Return the missing peak, where the reason lies in the points."""
    curve = case.values.curve
    if not isinstance(curve, NoPeak) or curve.reason not in SHAPELESS:
        return None
    drawn = case.values.is_drawn
    return None if drawn and curve.reason in OF_THE_FIT else curve


def often_without_peak(case: Test) -> bool:
    """Return whether soils of this class often show no optimum."""
    soil = soil_of(case)
    return soil is not None and soil.often_no_peak


def found_words(curve: NoPeak, top: PointValues | None) -> str:
    """Return why there is no peak; a highest point at an end by its place."""
    end = ENDS.get(curve.reason)
    if end is None or top is None:
        return curve.words
    return f"the highest point at the {end} end, {percent(top.water_content)}"


ENDS = {"highest-point-first": "dry", "highest-point-last": "wet"}


@warning("no-well-defined-optimum", "common practice")
def no_well_defined_optimum(case: Test) -> Iterator[Doubt]:
    """Points without an optimum; a note for clean sands and gravels."""
    curve, soil = shapeless_curve(case), soil_of(case)
    if curve is None or not (often_without_peak(case) or curve.reason == "flat"):
        return
    clean = often_without_peak(case) and soil is not None
    yield Doubt(
        field=("points",),
        found=found_words(curve, highest_point(case)),
        expected="one optimum among the points",
        mend=f"no action needed: a {soil.name} often shows none; the report states it"
        if clean and soil is not None
        else FURTHER_APART,
        severity=Severity.NOTE if clean else note_until_complete(case),
    )


@warning("peak-not-bracketed", "common practice")
def peak_not_bracketed(case: Test) -> Iterator[Doubt]:
    """A highest point that is the driest or wettest: no peak is extrapolated."""
    curve = shapeless_curve(case)
    if curve is None or curve.reason not in NOT_BRACKETED or often_without_peak(case):
        return
    top = highest_point(case)
    side = "drier" if curve.reason == "highest-point-first" else "wetter"
    if curve.reason == "peak-outside-points":
        side = "drier or wetter"
    yield Doubt(
        field=field_of(top) if top is not None else ("points",),
        found=found_words(curve, top),
        expected="lower points on both sides of the highest point",
        mend=f"compact a {side} point",
        severity=note_until_complete(case),
    )


@warning("two-peaks", "common practice")
def two_peaks(case: Test) -> Iterator[Doubt]:
    """Points, or a curve through them, that fall and rise again."""
    curve = shapeless_curve(case)
    if curve is None or curve.reason != "two-peaks" or often_without_peak(case):
        return
    low, soil = valley(case), soil_of(case)
    which = f"point {low.number}" if low is not None else "the low point"
    yield Doubt(
        field=field_of(low) if low is not None else ("points",),
        found=curve.words,
        expected="one peak",
        mend=f"check the masses of {which} and of the higher points next to it; "
        "repeat a point that does not fit" + (CLEAN_SAND if soil is None else ""),
        severity=note_until_complete(case),
    )


CLEAN_SAND = "; if the soil is a clean sand, state its class on the sample"


def valley(case: Test) -> PointValues | None:
    """Return the point that lies deepest between two higher ones, if any does."""
    points = sorted(case.values.on_curve, key=lambda point: point.water_content or 0.0)
    dry = [point.dry_density or 0.0 for point in points]
    depths = [
        (min(max(dry[:i]), max(dry[i + 1 :])) - dry[i], -i)
        for i in range(1, len(dry) - 1)
    ]
    depth, place = max(depths, default=(0.0, 0))
    return points[-place] if depth > 0 else None


@warning("peak-where-nothing-was-measured", "common practice")
def peak_where_nothing_was_measured(case: Test) -> Iterator[Doubt]:
    """A peak well above every point, in a gap between two."""
    curve = shapeless_curve(case)
    if curve is None or curve.reason != "bulge" or often_without_peak(case):
        return
    top = highest_point(case)
    yield Doubt(
        field=field_of(top) if top is not None else ("points",),
        found=curve.words,
        expected="a point near the peak",
        mend="compact a point in the wider gap next to the highest point",
        severity=note_until_complete(case),
    )


@warning("curve-not-fitted", "common practice")
def curve_not_fitted(case: Test) -> Iterator[Doubt]:
    """A curve type that cannot be fitted to the points."""
    curve = case.values.curve
    if not isinstance(curve, NoPeak) or curve.reason in SHAPELESS:
        return
    if curve.reason == "too-few-points" and len(case.values.on_curve) < ENOUGH_POINTS:
        return  # flagged as too few points
    alike = curve.reason == "too-few-points"
    yield Doubt(
        field=curve_field(case),
        found=curve.words,
        expected=f"different {quantity_word(case, 'water_content')}s"
        if alike
        else f"points that fit the curve type {curve.form}",
        mend=FURTHER_APART
        if curve.asked == AUTO
        else "choose another curve type, or leave out curve.form",
        severity=note_until_complete(case),
    )


FURTHER_APART = "check the moisture containers; compact points further apart"

ENOUGH_POINTS = 4
"""With this many points, too few water contents means that some are equal."""


@error("unknown-curve-form", "record format 1")
def unknown_curve_form(case: Test) -> Iterator[Doubt]:
    """A curve type that is unknown."""
    asked = case.values.requested_form
    if asked == "drawn" or asked == AUTO or asked in FORMS:
        return
    own = case.record.curve is not None and case.record.curve.form is not None
    yield Doubt(
        field=("curve", "form") if own else (),
        found=asked if own else f"{asked}, from the laboratory's procedures",
        expected=", ".join((AUTO, *FORMS)),
        mend="enter one of these" + ("" if own else " in lab.yaml, procedures.curve"),
    )


@note("curve-form-not-usual", "common practice")
def curve_form_not_usual(case: Test) -> Iterator[Doubt]:
    """A curve type other than the laboratory's usual one."""
    lab = case.inputs.get(LaboratoryFacts, "lab")
    curve = case.record.curve
    if lab is None or curve is None or curve.form is None or curve.drawn is not None:
        return
    known = curve.form == AUTO or curve.form in FORMS
    if known and curve.form != lab.curve:
        yield Doubt(
            field=("curve", "form"),
            found=curve.form,
            expected=f"{lab.curve}, as in lab.yaml",
            mend="no action if the soil requires it: state why in curve.reason",
        )


@warning("peak-moves-with-form", "common practice")
def peak_moves_with_form(case: Test) -> Iterator[Doubt]:
    """An optimum that varies with the curve type by more than a point or 6 %."""
    values = case.values
    if isinstance(values.curve, NoPeak) or values.is_drawn:
        return
    if not is_complete(case):
        return
    found = values.spread
    waters = found.water_content if found is not None else None
    if waters is None:
        return
    allowed = max(SPREAD_POINTS, SPREAD_SHARE * (values.optimum_water_content or 0.0))
    if waters[1] - waters[0] > allowed:
        yield Doubt(
            field=curve_field(case),
            found=f"an optimum from {percent(waters[0])} to {percent(waters[1])}, "
            "depending on the curve type",
            expected=f"a range of at most {allowed:.1f} points",
            mend=f"compact a point near {percent(values.optimum_water_content)}",
        )


@warning("saturation-at-optimum-unusual", "common practice")
def saturation_at_optimum_unusual(case: Test) -> Iterator[Doubt]:
    """Saturation at the optimum outside the usual range for the soil."""
    values, soil, top = case.values, soil_of(case), highest_point(case)
    solids, dry = solids_of(case), values.maximum_dry_density
    water = values.optimum_water_content
    if soil is None or solids is None or dry is None or water is None or top is None:
        return
    full = saturation_at(dry, water, solids)
    low, high = soil.saturation
    if full is None or full > 100 or low <= full <= high:
        return  # above 100 %: flagged as right of zero air voids
    first = "the assumed specific gravity" if gravity_assumed(case) else "the masses"
    yield Doubt(
        field=field_of(top),
        found=f"{percent(full)} saturated at the optimum",
        expected=f"{low:g} to {high:g} % for {soil.grain}-grained soil"
        if soil.grain == "fine"
        else f"{low:g} to {high:g} % for {soil.grain}",
        mend=f"check {first}, the volume of the mold and the class of the soil",
        severity=note_until_complete(case),
        basis=soil.cells["saturation_low"].basis,
    )


RULES: tuple[Rule[Test], ...] = (
    no_well_defined_optimum,
    peak_not_bracketed,
    two_peaks,
    peak_where_nothing_was_measured,
    curve_not_fitted,
    unknown_curve_form,
    curve_form_not_usual,
    peak_moves_with_form,
    saturation_at_optimum_unusual,
)
