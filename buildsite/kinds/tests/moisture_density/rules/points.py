"""Checks of the points: possible values, number, and range."""

from collections.abc import Iterator

from buildsite.kinds.tests.moisture_density.compute import FEWEST_POINTS, Test
from buildsite.kinds.tests.moisture_density.rules.common import (
    curve_field,
    density,
    field_of,
    gravity_assumed,
    has_impossible_density,
    note_if_rejected,
    note_until_complete,
    percent,
    possible_dry,
    quantity_word,
    soil_of,
    solids_of,
)
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.record.flags import Doubt, Field, Rule, Severity, error, note, warning
from buildsite.soil.curves import Solids
from buildsite.soil.lines import zero_air_voids_density
from buildsite.standards.cells import Cell
from buildsite.standards.soils import SoilClass

GRAVITY_PLAY = 0.02
WATER_PLAY = 0.3
"""Allowed error of a point: specific gravity [1], water content [%]."""

USUAL_DRY = (1000.0, 2500.0)
"""Usual dry densities of compacted soil. [kg/m³]"""

SEVERAL = 3
"""From this many points on, a fault that they all share is flagged once."""

WET_LEG_FROM = 2.0
"""Least distance from the optimum at which a point has the saturation of the wet side:
nearer to it, saturation still rises. docs/false-alarms.md. [%]"""


@error("right-of-zero-air-voids", "water fills the voids at most")
def right_of_zero_air_voids(case: Test) -> Iterator[Doubt]:
    """A point or peak right of zero air voids."""
    solids = solids_of(case)
    if solids is None:
        return
    assumed = gravity_assumed(case)
    for field, dry, water, what in points_beyond_air_voids(case, solids):
        play = zero_air_voids_density(
            max(water - WATER_PLAY, 0.0),
            solids.specific_gravity + GRAVITY_PLAY,
            solids.water_density,
        )
        line = zero_air_voids_density(water, *solids)
        suspect = SUSPECT_CURVE if what else SUSPECT_READINGS
        yield Doubt(
            field=field,
            found=f"{what}{density(case, dry)} at {percent(water)}, above the "
            "zero-air-voids line",
            expected=f"at most {density(case, line)} "
            f"(specific gravity {solids.specific_gravity:g})",
            mend=SUSPECT_GRAVITY if assumed else suspect,
            severity=None if dry > play and not assumed else Severity.WARNING,
        )


def points_beyond_air_voids(
    case: Test, solids: Solids
) -> Iterator[tuple[Field, float, float, str]]:
    """
    Yield every point right of zero air voids; the peak only where no point is.

    With its field, dry density [kg/m³], water content [%], and a lead for the peak.
    """
    values, impossible, raised = case.values, possible_dry(case)[1], False
    for point in values.points:
        dry, water = point.dry_density, point.water_content
        if dry is None or water is None or point.rejected:
            continue
        if dry >= impossible:
            raised = True  # flagged as an impossible density
        elif dry > zero_air_voids_density(water, *solids):
            raised = True
            yield field_of(point), dry, water, ""
    peak, optimum = values.maximum_dry_density, values.optimum_water_content
    if raised or peak is None or optimum is None:
        return
    if peak > zero_air_voids_density(optimum, *solids):
        yield curve_field(case), peak, optimum, "a peak of "


SUSPECT_GRAVITY = (
    "measure the specific gravity, which is assumed; then check the masses of the mold "
    "and of the moisture container"
)
SUSPECT_READINGS = (
    "check the mass and volume of the mold, the moisture container, and the specific "
    "gravity"
)
SUSPECT_CURVE = (
    "check the points next to the peak and the specific gravity; compact a point near "
    "the peak"
)


@warning("wet-leg-unlike-soil", "common practice")
def wet_leg_unlike_soil(case: Test) -> Iterator[Doubt]:
    """Saturation on the wet side outside the usual range for fine-grained soil."""
    soil, optimum = soil_of(case), case.values.optimum_water_content
    usual = soil.wet_leg_saturation if soil is not None else None
    if soil is None or usual is None or optimum is None or solids_of(case) is None:
        return
    low, high = usual
    for point in case.values.on_curve:
        full = point.saturation
        beyond = (point.water_content or 0.0) >= optimum + WET_LEG_FROM
        if full is None or full > 100 or not beyond or low <= full <= high:
            continue  # above 100 %: flagged as right of zero air voids
        yield Doubt(
            field=field_of(point),
            found=f"{percent(full)} saturated",
            expected=f"{low:g} to {high:g} % at {WET_LEG_FROM:g} points or more wet of "
            f"optimum, for {of_class(soil)}",
            mend="check the specific gravity, the volume of the mold, and this point's "
            "masses",
            basis=soil.cells["wet_leg_low"].basis,
        )


def of_class(soil: SoilClass) -> str:
    """
    Return a class in words, for a range that is its own.

    >>> from buildsite.standards.soils import soil_class
    >>> of_class(soil_class("ML")), of_class(soil_class("fine"))
    ('silt (ML)', 'fine-grained soil')
    """
    own = soil.symbol != soil.grain
    return f"{soil.name} ({soil.symbol})" if own else soil.name


@error("impossible-density", "no soil is denser than its solids")
def impossible_density(case: Test) -> Iterator[Doubt]:
    """A density impossible for soil, or above that of its solids."""
    low, high = possible_dry(case)
    yield from impossible_wet(case, low, high)
    known = [
        (p, p.dry_density) for p in case.values.points if p.dry_density is not None
    ]
    wrong = [
        (point, dry) for point, dry in known if has_impossible_density(case, point)
    ]
    expected = f"{density(case, low)} to {density(case, high)}"
    if len(wrong) == len(known) >= SEVERAL and not any(p.rejected for p, _ in known):
        ends = sorted(dry for _, dry in wrong)
        yield Doubt(
            field=("units", "compacted" if case.record.units.compacted else "density"),
            found=f"{quantity_word(case, 'dry_density')} impossible at every point, "
            f"{density(case, ends[0])} to {density(case, ends[-1])}",
            expected=expected,
            mend="check the unit of the masses first, then the mass and volume of the "
            "mold: one error affects all points",
        )
        return
    for point, dry in wrong:
        yield Doubt(
            field=field_of(point),
            found=f"a {quantity_word(case, 'dry_density')} of {density(case, dry)}",
            expected=expected,
            mend="check the units, the volume of the mold, and the decimal point",
            severity=note_if_rejected(case.record.points[point.number - 1]),
        )


def impossible_wet(case: Test, low: float, high: float) -> Iterator[Doubt]:
    """Doubt a point not yet dried that weighs less or more than any soil."""
    for point in case.values.points:
        wet = point.wet_density
        if wet is None or point.dry_density is not None:
            continue
        if not has_impossible_density(case, point):
            continue
        if wet <= 0:
            continue  # flagged as no heavier than the mold
        yield Doubt(
            field=field_of(point),
            found=f"a {quantity_word(case, 'wet_density')} of {density(case, wet)}",
            expected=f"{density(case, low)} to {density(case, high)}",
            mend="check the units, the mass of the mold, and the decimal point",
            severity=note_if_rejected(case.record.points[point.number - 1]),
        )


@warning("unusual-density", "common practice")
def unusual_density(case: Test) -> Iterator[Doubt]:
    """A dry density outside 1000 to 2500 kg/m³."""
    (low, high), (least, most) = USUAL_DRY, possible_dry(case)
    for point in case.values.on_curve:
        dry = point.dry_density or 0.0
        if not least <= dry < most or low <= dry <= high:
            continue
        yield Doubt(
            field=field_of(point),
            found=f"a {quantity_word(case, 'dry_density')} of {density(case, dry)}",
            expected=f"{density(case, low)} to {density(case, high)} for most soils",
            mend="check the units and the mass and volume of the mold; accept the flag "
            "if they are right",
        )


@note("water-bled", "common practice")
def water_bled(case: Test) -> Iterator[Doubt]:
    """A point at which water bled out of the mold."""
    for i, point in enumerate(case.record.points):
        if point.bleeding:
            yield Doubt(
                field=("points", i, "bleeding"),
                found="bleeding",
                expected="no bleeding",
                mend="no action needed: this is the "
                f"{quantity_word(case, 'water_content')} after bleeding; the optimum "
                "is drier",
            )


@warning("too-few-points", "the method's least number of points")
def too_few_points(case: Test) -> Iterator[Doubt]:
    """Fewer points on the curve than the method requires."""
    cell = case.cell("least_points")
    least = int(cell.value) if cell is not None else FEWEST_POINTS
    count = len(case.values.on_curve)
    if case.record.points and count < least:
        made = [point for point in case.record.points if point.model_fields_set]
        left_out = max(len(made) - count, 0)
        kept = sum(point.rejected is None for point in made)
        yield Doubt(
            field=("points",),
            found=f"{count} on the curve" + (f", {left_out} not used" * bool(left_out)),
            expected=f"{least} or more",
            mend="correct the points that are not used"
            if kept >= least
            else "compact more points, on the side of the optimum that has fewer",
            severity=note_until_complete(case),
            basis=cell.basis if cell is not None else None,
        )


@warning("too-few-points-on-a-side", "the method's least number of points on each side")
def too_few_points_on_a_side(case: Test) -> Iterator[Doubt]:
    """Fewer points dry or wet of optimum than the method requires."""
    cell = case.cell("least_points_each_side")
    optimum = case.values.optimum_water_content
    if cell is None or optimum is None:
        return
    waters = [point.water_content or 0.0 for point in case.values.on_curve]
    sides = {
        "dry": sum(water < optimum for water in waters),
        "wet": sum(water > optimum for water in waters),
    }
    for side, count in sides.items():
        if count < int(cell.value):
            yield Doubt(
                field=("points",),
                found=f"{count} {side} of optimum, {percent(optimum)}",
                expected=f"{cell.value} or more on each side",
                mend=f"compact a {'drier' if side == 'dry' else 'wetter'} point",
                severity=note_until_complete(case),
                basis=cell.basis,
            )


@warning("stopped-before-wet-mass-fell", "the method's rule for ending the series")
def stopped_before_wet_mass_fell(case: Test) -> Iterator[Doubt]:
    """A series that ended while the wet mass still rose, against the method."""
    cell = wet_mass_cell(case)
    known = [point for point in case.values.on_curve if point.wet_density is not None]
    if cell is None or len(known) < FEWEST_POINTS:
        return
    before, last = known[-2:]
    if wet_density_of(last) > wet_density_of(before) * (1 + 1e-9):
        yield Doubt(
            field=field_of(last),
            found=f"{quantity_word(case, 'wet_density')} up from "
            f"{density(case, before.wet_density)} to "
            f"{density(case, last.wet_density)} at the wettest point",
            expected="no rise at the wettest point",
            mend="add water and compact one more point",
            severity=note_until_complete(case),
            basis=cell.basis,
        )


def wet_mass_cell(case: Test) -> Cell | None:
    """Return the cell of a method that goes on until the wet mass stops rising."""
    cell = case.cell("stop_when_wet_mass_falls")
    return cell if cell is not None and cell.value == "yes" else None


def wet_density_of(point: PointValues) -> float:
    """Return the wet density of a point that is known to have one."""
    return point.wet_density if point.wet_density is not None else 0.0


RULES: tuple[Rule[Test], ...] = (
    right_of_zero_air_voids,
    wet_leg_unlike_soil,
    impossible_density,
    unusual_density,
    water_bled,
    too_few_points,
    too_few_points_on_a_side,
    stopped_before_wet_mass_fell,
)
