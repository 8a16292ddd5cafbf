"""Compute the point, the curve that it leads to, and that curve's peak, in SI."""

from decimal import Decimal
from typing import TypeAlias

from buildsite.kinds.answers import (
    LaboratoryFacts,
    OversizeFact,
    SampleFacts,
    SpecificGravityFact,
)
from buildsite.kinds.field_answers import FamilyCurve
from buildsite.kinds.kind import Case, Inputs
from buildsite.kinds.stated_facts import stated_gravity, stated_oversize
from buildsite.kinds.tests.moisture_density.compute import (
    STATED_TEMPERATURE_C,
    gravity_in_mold,
    report_unit,
)
from buildsite.kinds.tests.moisture_density.specimens import PointValues, point_values
from buildsite.kinds.tests.moisture_density.whole_soil import Corrected, correct
from buildsite.kinds.tests.one_point.curves import curves_of, member_of
from buildsite.kinds.tests.one_point.model import OnePoint, as_full_test
from buildsite.kinds.tests.one_point.wording import why
from buildsite.record.units import to_si
from buildsite.soil.curves import Solids
from buildsite.soil.curves.family import LEAST, MOST, ON_CURVE, Found, Refused, find
from buildsite.soil.field_density import coarse_percent
from buildsite.soil.rounding import exact
from buildsite.soil.water import COLDEST, WARMEST, water_density
from buildsite.standards.method import Method
from buildsite.standards.tables import find as find_method
from buildsite.values import dataclass

REFUSED = "refused"
UNREAD = Refused("unread")
"""Before density and water content are there."""


@dataclass(frozen=True)
class Values:
    """All computed values of one point."""

    points: tuple[PointValues, ...]
    gravity: SpecificGravityFact | None
    water_density: float
    effort: Method | None  # of the curves: T 99 or T 180, with the letter
    curves: tuple[FamilyCurve, ...]
    found: Found | Refused
    why: str
    oversize: OversizeFact | None
    corrected: Corrected | None
    density_unit: str  # of the report

    @property
    def point(self) -> PointValues | None:
        """Return the specimen's values."""
        return self.points[0] if self.points else None

    @property
    def on_curve(self) -> tuple[PointValues, ...]:
        """Return the specimen where it has a density, as a full test has its points."""
        return tuple(one for one in self.points if one.dry_density is not None)

    @property
    def rule(self) -> str:
        """Return on-member, between-members or refused."""
        return self.found.rule if isinstance(self.found, Found) else REFUSED

    @property
    def maximum_dry_density(self) -> float | None:
        """Return the maximum that the point leads to. [kg/m³]"""
        return self.found.curve.peak if isinstance(self.found, Found) else None

    @property
    def optimum_water_content(self) -> float | None:
        """Return the optimum that the point leads to. [%]"""
        return self.found.curve.optimum if isinstance(self.found, Found) else None

    @property
    def solids(self) -> Solids | None:
        """Return what the zero-air-voids line is computed from."""
        if self.gravity is None:
            return None
        return Solids(float(self.gravity.value), self.water_density)


Test: TypeAlias = Case[OnePoint, Values]
"""A one-point with its record, method, answers and values."""


def effort_of(record: OnePoint) -> Method | None:
    """Return the method of the curves: that of T 99 or T 180 with the same letter."""
    used = record.standard
    return find_method(used.effort, used.method, "none") if used.effort else None


def gravity_of(
    record: OnePoint, inputs: Inputs, curves: tuple[FamilyCurve, ...]
) -> SpecificGravityFact | None:
    """Return the specific gravity of the test, its sample, or all its curves."""
    stated = record.specific_gravity
    if stated is not None and (stated.test is not None or stated.value is not None):
        return stated_gravity(stated, record.id, inputs)
    sample = inputs.get(SampleFacts, record.sample or "")
    if sample is not None and sample.specific_gravity is not None:
        return sample.specific_gravity
    known = [one.specific_gravity for one in curves if one.specific_gravity is not None]
    if len(known) < len(curves) or not known:
        return None
    # Of another sample of the family: good for a line on a figure, no measurement.
    middle = sorted(known, key=lambda fact: fact.value)[len(known) // 2]
    return SpecificGravityFact(middle.value, "assumed", None, middle.source)


def oversize_of(record: OnePoint, inputs: Inputs) -> OversizeFact | None:
    """Return the oversize: by the split of the soil as dug, stated, or the sample's."""
    split = record.coarse
    if split is not None:
        return oversize_of_split(record)
    stated = record.oversize
    if stated is not None and (stated.test or stated.percent_retained is not None):
        return stated_oversize(stated, record.id, inputs)
    sample = inputs.get(SampleFacts, record.sample or "")
    return sample.oversize if sample is not None else None


def share_of_split(record: OnePoint) -> Decimal | None:
    """Return the oversize by dry mass, of the moist masses of a split. [%]"""
    split, unit = record.coarse, record.units.mass
    if split is None or unit is None:
        return None
    masses = [one for one in (split.wet_retained, split.wet_passing) if one is not None]
    waters = [
        one for one in (split.water_retained, split.water_passing) if one is not None
    ]
    if len(masses) < 2 or len(waters) < 2 or min(masses) < 0 or not any(masses):
        return None
    share = coarse_percent(*(to_si(one, unit) for one in masses), *map(float, waters))
    return exact(share)


def oversize_of_split(record: OnePoint) -> OversizeFact | None:
    """Return the oversize by the split, or by its stated percentage."""
    split = record.coarse
    if split is None:
        return None
    percent = split.percent_retained
    percent = share_of_split(record) if percent is None else percent
    gravity = split.specific_gravity
    if percent is None:
        return None
    return OversizeFact(
        split.sieve or "",
        percent,
        gravity.value if gravity is not None else None,
        gravity.basis if gravity is not None else None,
        split.water_retained,
        gravity.absorption if gravity is not None else None,
        record.id,
    )


def curve_found(
    point: PointValues | None,
    curves: tuple[FamilyCurve, ...],
    method: Method | None,
) -> Found | Refused:
    """Return the curve that the point leads to, within the limits of the method."""
    if point is None or point.dry_density is None or point.water_content is None:
        return UNREAD
    on_curve = ON_CURVE
    if len(curves) == 1:
        on_curve = max(on_curve, limit(method, ALONE, 0.0) / point.dry_density)
    return find(
        [member_of(one) for one in curves],
        point.water_content,
        point.dry_density,
        least=limit(method, "percent_of_optimum_least", LEAST),
        most=limit(method, "percent_of_optimum_most", MOST),
        on_curve=on_curve,
    )


ALONE = "individual_curve_within"
"""Cell of the greatest distance of a point from a single reference curve."""


def limit(method: Method | None, name: str, else_: float) -> float:
    """Return a limit of the method, in SI; another where it has none."""
    cell = method.optional(name) if method is not None else None
    return cell.si if cell is not None else else_


def compute(record: OnePoint, inputs: Inputs, method: Method | None) -> Values:
    """Compute a one-point from its readings and from the curves it names."""
    curves, effort = curves_of(record, inputs), effort_of(record)
    gravity = gravity_in_mold(gravity_of(record, inputs, curves), effort)
    heat = gravity.water_temperature_c if gravity is not None else None
    temperature = float(STATED_TEMPERATURE_C if heat is None else heat)
    density = water_density(min(max(temperature, COLDEST), WARMEST))
    solids = Solids(float(gravity.value), density) if gravity is not None else None
    points = tuple(
        point_values(as_full_test(record), i, inputs, effort, solids)
        for i in range(len(record.points))
    )
    found = curve_found(points[0] if points else None, curves, method)
    coarse = oversize_of(record, inputs)
    lab = inputs.get(LaboratoryFacts, "lab")
    least = lab.oversize_least_percent if lab is not None else None
    corrected = None
    if isinstance(found, Found):
        corrected = correct(
            found.curve.peak,
            found.curve.optimum,
            coarse,
            effort,
            None if least is None else float(least),
        )
    return Values(
        points=points,
        gravity=gravity,
        water_density=density,
        effort=effort,
        curves=curves,
        found=found,
        why=why(found, points, curves),
        oversize=coarse,
        corrected=corrected,
        density_unit=report_unit(as_full_test(record), inputs, method),
    )
