"""Helpers that several rules share."""

from buildsite.kinds.limits import POSSIBLE_GRAVITY
from buildsite.kinds.reporting import point_density, result_word, to_places
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.model import Point
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.kinds.tests.shared.completeness import is_complete, sample_of
from buildsite.record.flags import Field, Severity
from buildsite.record.units import UNITS
from buildsite.soil.curves import Solids
from buildsite.soil.phase import saturation
from buildsite.standards.soils import SoilClass, soil_class

POSSIBLE_DRY = (500.0, 3000.0)
"""Possible dry densities of compacted soil. [kg/m³]"""


def note_until_complete(case: Test) -> Severity | None:
    """Return NOTE while a test is in progress or once it was withdrawn."""
    return None if is_complete(case) else Severity.NOTE


def note_if_rejected(point: Point) -> Severity | None:
    """Return NOTE at a rejected point: the fault is why it was rejected."""
    return None if point.rejected is None else Severity.NOTE


def field_of(point: PointValues) -> Field:
    """Return the field of a computed point."""
    return ("points", point.number - 1)


def soil_of(case: Test) -> SoilClass | None:
    """Return the class of the soil, where the sample states a known one."""
    sample = sample_of(case)
    return soil_class(sample.soil_class) if sample and sample.soil_class else None


def gravity_field(case: Test) -> Field:
    """Return the field that states the specific gravity: of the test or its sample."""
    own = case.record.specific_gravity is not None
    return ("specific_gravity",) if own else ("sample",)


def oversize_field(case: Test) -> Field:
    """Return the field that states the oversize: of the test or its sample."""
    return ("oversize",) if case.record.oversize is not None else ("sample",)


def curve_field(case: Test) -> Field:
    """Return the field `curve`, or `points` where the record has no `curve`."""
    return ("curve",) if case.record.curve is not None else ("points",)


def gravity_assumed(case: Test) -> bool:
    """Return whether the specific gravity was assumed."""
    gravity = case.values.gravity
    return gravity is not None and gravity.basis != "measured"


def solids_of(case: Test) -> Solids | None:
    """Return the solids; None for a specific gravity that no soil has."""
    gravity, (low, high) = case.values.gravity, POSSIBLE_GRAVITY
    if gravity is None or not low <= gravity.value <= high:
        return None
    return case.values.solids


def saturation_at(density: float, water: float, solids: Solids) -> float | None:
    """Return the saturation [%]; None where there are no voids."""
    if density >= solids.specific_gravity * solids.water_density:
        return None
    return saturation(density, water, *solids)


def highest_point(case: Test) -> PointValues | None:
    """Return the densest point of the curve."""
    return max(
        case.values.on_curve,
        key=lambda point: point.dry_density or 0.0,
        default=None,
    )


def quantity_word(case: Test, name: str) -> str:
    """Return a quantity's name in the word of the test's standard."""
    return result_word(case.method, name, case.values.density_unit)


def percent(value: float | None) -> str:
    """
    Write a water content or a saturation.

    >>> percent(12.345)
    '12.3 %'
    """
    return f"{to_places(value, 1)} %"


def density(case: Test, value: float | None) -> str:
    """Write a density in the unit of the report."""
    unit = case.values.density_unit
    return f"{point_density(value, unit)} {UNITS[unit].shown}"


def possible_dry(case: Test) -> tuple[float, float]:
    """Return the possible dry densities of this soil: never above its solids."""
    low, high = POSSIBLE_DRY
    solids = solids_of(case)
    if solids is not None and not gravity_assumed(case):
        high = min(high, solids.specific_gravity * solids.water_density)
    return low, high


def has_impossible_density(case: Test, point: PointValues) -> bool:
    """Return whether a point is denser or looser than any soil, as a flag says."""
    low, high = possible_dry(case)
    found = point.wet_density if point.dry_density is None else point.dry_density
    return found is not None and not low <= found < high
