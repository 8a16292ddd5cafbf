"""The curves that one point is held against: of a family, of one test, or stated."""

from dataclasses import replace
from decimal import Decimal

from buildsite.kinds.field_answers import (
    CompactedAs,
    FamilyCurve,
    FamilyFacts,
    Peak,
)
from buildsite.kinds.kind import Inputs
from buildsite.kinds.tests.one_point.model import OnePoint, StatedMember
from buildsite.record.units import to_si
from buildsite.soil.curves import fit, sample
from buildsite.soil.curves.family import Member

NEAR_PEAK = 0.1
"""A stated point so near to the stated optimum is the peak itself. [%]"""


def member_name(i: int, one: StatedMember) -> str:
    """Return how a stated curve is called."""
    return one.name or f"member {i + 1}"


def stated_curve(i: int, one: StatedMember, unit: str) -> FamilyCurve:
    """Return a stated curve: through its points and its peak, with no other turn."""
    peak = to_si(one.maximum_dry_density, unit)
    optimum = float(one.optimum_water_content)
    points = sorted(
        (float(at.water_content), to_si(at.dry_density, unit)) for at in one.points
    )
    apart = [at for at in points if abs(at[0] - optimum) > NEAR_PEAK]
    drawn = fit("modified-akima", sorted([*apart, (optimum, peak)])).line
    line = sample(drawn, 60) if drawn is not None else ((optimum, peak),)
    return FamilyCurve(
        id=member_name(i, one),
        designation="",
        method="",
        peak=Peak(
            peak, optimum, one.maximum_dry_density, Decimal(one.optimum_water_content)
        ),
        points=tuple(points),
        line=line,
        density_unit=unit,
    )


def curve_of_test(id: str, inputs: Inputs) -> FamilyCurve | None:
    """Return the curve of a single test, and how it was compacted."""
    curve, made = inputs.get(FamilyCurve, id), inputs.get(CompactedAs, id)
    if curve is None or made is None:
        return curve
    return replace(
        curve,
        designation=curve.designation or made.designation,
        edition=curve.edition or made.edition,
        method=curve.method or made.method,
        effort=curve.effort or made.effort,
        preparation=made.preparation,
        operation=made.operation,
        face=made.face,
    )


def curves_of(record: OnePoint, inputs: Inputs) -> tuple[FamilyCurve, ...]:
    """Return the curves that the record names or states."""
    unit = record.units.density
    if record.members and unit is not None:
        return tuple(stated_curve(i, one, unit) for i, one in enumerate(record.members))
    if record.family is not None:
        family = inputs.get(FamilyFacts, record.family)
        return family.members if family is not None else ()
    if record.reference is not None:
        curve = curve_of_test(record.reference, inputs)
        return (curve,) if curve is not None else ()
    return ()


def member_of(curve: FamilyCurve) -> Member:
    """Return a curve as the rule for one point takes it."""
    peak = curve.peak
    return Member(
        curve.id, peak.optimum_water_content, peak.maximum_dry_density, curve.line
    )
