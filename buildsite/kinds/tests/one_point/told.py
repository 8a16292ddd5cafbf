"""What a one-point tells: its part of a result, and its answer as a reference."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from buildsite.kinds.field_answers import ReferenceFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.tests.field_density.places import position_texts, position_words
from buildsite.kinds.tests.moisture_density import reference
from buildsite.kinds.tests.moisture_density.specimens import POINT_UNITS
from buildsite.kinds.tests.moisture_density.whole_soil import (
    UNCORRECTED,
    field_reference,
)
from buildsite.kinds.tests.one_point.compute import Test
from buildsite.kinds.used import drop_blanks, plain
from buildsite.soil.curves.family import Found, Refused

KIND_NAME = "one-point"


def curve(case: Test) -> dict[str, Any]:
    """Return the curve that the point leads to, and by which rule."""
    values, found = case.values, case.values.found
    gravity = values.gravity
    about: dict[str, Any] = {
        "rule": values.rule,
        "why": values.why,
        "members": list(found.members),
        "percent_of_optimum": found.percent_of_optimum,
        "line": [],
        "specific_gravity": float(gravity.value) if gravity is not None else None,
        "water_density": values.water_density,
        "density_unit": values.density_unit,
    }
    if isinstance(found, Refused):
        return {**about, "reason": found.reason}
    return {
        **about,
        "share": found.share,
        "line": found.curve.line,
        "revisions": [one.revision for one in values.curves if one.id in found.members],
    }


def governing(case: Test) -> tuple[str, ...]:
    """Return the names of the results that field tests are judged by."""
    whole = case.values.corrected is not None and field_reference(case) != UNCORRECTED
    names = reference.CORRECTED if whole else reference.PEAK
    return names if names[0] in case.results else ()


def detail(case: Test) -> Mapping[str, Any]:
    """Return point and curve, as `show --json` gives them."""
    values, record = case.values, case.record
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
    effort = values.effort
    parts = {
        "family": record.family or "",
        "place": position_words(record),
        "position": position_texts(record),
        "effort": effort.effort if effort is not None else "",
        "compacted_as": effort.designation if effort is not None else "",
        "sieve": effort.sieve if effort is not None else "",
        "gravity": drop_blanks(plain(values.gravity)),
        "oversize": drop_blanks(plain(values.oversize)),
    }
    told = {name: part for name, part in parts.items() if part}
    return {
        "points": points,
        "point_units": POINT_UNITS,
        "curve": curve(case),
        **told,
    }


def answer_from_result(result: Mapping[str, Any], ref: Ref) -> ReferenceFacts | None:
    """
    Return the facts of a reference, from a result as in `show --json`.

    The standard is that of the curves, T 99 or T 180: it is what a requirement names.
    """
    facts = reference.answer_from_result(result, ref)
    if facts is None:
        return None
    found = result.get("curve") or {}
    why = str(found.get("why", "")) if facts.peak is None else ""
    return replace(
        facts,
        kind=KIND_NAME,
        designation=str(result.get("compacted_as") or facts.designation),
        edition="" if result.get("compacted_as") else facts.edition,
        why_none=why,
    )


def is_found(case: Test) -> bool:
    """Whether the point leads to a curve."""
    return isinstance(case.values.found, Found)
