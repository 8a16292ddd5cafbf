"""What several rules ask of a case, and how they say a value."""

from buildsite.kinds.limits import POSSIBLE_GRAVITY
from buildsite.kinds.reporting import point_density, to_places
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.model import Point
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.kinds.tests.shared.completeness import is_complete, sample_of
from buildsite.record.flags import Field, Severity
from buildsite.record.units import UNITS
from buildsite.soil.curves import Solids
from buildsite.soil.phase import saturation
from buildsite.standards.soils import SoilClass, soil_class


def note_until_complete(case: Test) -> Severity | None:
    """Only a note while a test goes on, or once it was withdrawn."""
    return None if is_complete(case) else Severity.NOTE


def note_if_rejected(point: Point) -> Severity | None:
    """Only a note at a rejected point: its fault is why it was rejected."""
    return None if point.rejected is None else Severity.NOTE


def field_of(point: PointValues) -> Field:
    """Where a computed point stands in the record."""
    return ("points", point.number - 1)


def soil_of(case: Test) -> SoilClass | None:
    """Class of the soil, where the sample says one that we know."""
    sample = sample_of(case)
    return soil_class(sample.soil_class) if sample and sample.soil_class else None


def gravity_field(case: Test) -> Field:
    """Where the specific gravity comes from: the test's own, else its sample."""
    own = case.record.specific_gravity is not None
    return ("specific_gravity",) if own else ("sample",)


def oversize_field(case: Test) -> Field:
    """Where the oversize comes from: the test's own, else its sample."""
    return ("oversize",) if case.record.oversize is not None else ("sample",)


def curve_field(case: Test) -> Field:
    """Where a record speaks of its curve; the points where it does not."""
    return ("curve",) if case.record.curve is not None else ("points",)


def gravity_assumed(case: Test) -> bool:
    """Whether the specific gravity was taken, not measured."""
    gravity = case.values.gravity
    return gravity is not None and gravity.basis != "measured"


def solids_of(case: Test) -> Solids | None:
    """What zero air voids rests on; None for a specific gravity that no soil has."""
    gravity, (low, high) = case.values.gravity, POSSIBLE_GRAVITY
    if gravity is None or not low <= gravity.value <= high:
        return None
    return case.values.solids


def saturation_at(density: float, water: float, solids: Solids) -> float | None:
    """Saturation, where any voids are left. [%]"""
    if density >= solids.specific_gravity * solids.water_density:
        return None
    return saturation(density, water, *solids)


def highest_point(case: Test) -> PointValues | None:
    """The densest point of the curve."""
    return max(
        case.values.on_curve,
        key=lambda point: point.dry_density or 0.0,
        default=None,
    )


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
