"""What a family of curves asks of a compaction test: its curve, and how it was made."""

from collections.abc import Mapping
from typing import Any

from buildsite.kinds.field_answers import CompactedAs, FamilyCurve, ReferenceFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.tests.moisture_density import reference
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.soil.rounding import snap


def answer_from_result(
    result: Mapping[str, Any], ref: Ref
) -> ReferenceFacts | FamilyCurve | None:
    """Return what others ask of a result: a reference, or a curve of a family."""
    if ref.asks is FamilyCurve:
        return family_curve(result, ref.id)
    return reference.answer_from_result(result, ref)


def family_curve(result: Mapping[str, Any], id: str) -> FamilyCurve | None:
    """
    Return the curve of a test for a family, from a result as in `show --json`.

    It is that of the soil in the mold, without a correction for oversize: a one-point
    compacts the same fraction.
    """
    curve, standard = result.get("curve") or {}, result.get("standard") or {}
    line = tuple((snap(water), snap(dry)) for water, dry in curve.get("line") or ())
    peak, unit = reference.peak_of(result, reference.PEAK)
    if not line or peak is None:
        return None
    return FamilyCurve(
        id=id,
        designation=str(standard.get("designation", "")),
        method=str(standard.get("method", "")),
        peak=peak,
        points=tuple(
            (snap(one["water_content"]), snap(one["dry_density"]))
            for one in result.get("points", ())
            if is_on_curve(one)
        ),
        line=line,
        revision=f"{id} r{result['revision']}" if "revision" in result else "",
        specific_gravity=reference.gravity_of(result),
        density_unit=unit,
        water_density=curve.get("water_density"),
        edition=str(standard.get("edition", "")),
        effort=str(result.get("effort", "")),
    )


def is_on_curve(point: Mapping[str, Any]) -> bool:
    """Whether a point counts for the curve."""
    measured = (point.get("water_content"), point.get("dry_density"))
    return not point.get("rejected") and None not in measured


def compacted_as(case: Test, ref: Ref) -> CompactedAs | None:
    """Return how the specimens were made, as the record says."""
    if ref.asks is not CompactedAs:
        return None
    record, rammer = case.record, case.record.rammer
    used = record.standard
    return CompactedAs(
        id=record.id,
        designation=used.designation,
        edition=used.edition or "",
        method=used.method,
        effort=case.method.effort if case.method is not None else "",
        preparation=record.preparation or "",
        operation=(rammer.operation if rammer is not None else None) or "",
        face=(rammer.face if rammer is not None else None) or "",
    )
