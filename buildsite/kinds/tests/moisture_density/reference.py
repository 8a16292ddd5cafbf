"""
A compaction test as the reference of field tests.

What it answers is read from its result: that of the record, as `show --json` has it, or
one that was kept. A kept result of before has less; it tells what it has.
"""

from collections.abc import Mapping
from dataclasses import fields
from decimal import Decimal
from typing import Any, TypeVar

from buildsite.kinds.answers import OversizeFact, SpecificGravityFact
from buildsite.kinds.field_answers import Peak, ReferenceFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.whole_soil import (
    UNCORRECTED,
    field_reference,
)
from buildsite.kinds.used import drop_blanks, plain
from buildsite.record.units import UNITS
from buildsite.soil.rounding import snap

KIND_NAME = "moisture-density"
PEAK = ("maximum_dry_density", "optimum_water_content")
CORRECTED = tuple(f"corrected_{name}" for name in PEAK)
REPORTS = tuple(zip((*PEAK, *CORRECTED), ("kg/m3", "%") * 2, strict=True))
"""Results of a compaction test, and of a one-point, with their units."""


def governing(case: Test) -> tuple[str, ...]:
    """Return the names of the results that field tests are judged by."""
    whole = case.values.corrected is not None and field_reference(case) != UNCORRECTED
    names = CORRECTED if whole else PEAK
    return names if names[0] in case.results else ()


def reference_of(case: Test) -> ReferenceFacts | None:
    """Return what field tests are told of a test, from its results."""
    results = {
        name: {"value": one.value, "reported": one.reported}
        for name, one in case.results.items()
    }
    ref = Ref(ReferenceFacts, (), str(case.record.id), ())
    return answer_from_result({"results": results}, ref)


def told(case: Test) -> Mapping[str, Any]:
    """Return the part of a result that field tests use besides its figures."""
    method, values = case.method, case.values
    parts = {
        "effort": method.effort if method is not None else "",
        "sieve": method.sieve if method is not None else "",
        "gravity": drop_blanks(plain(values.gravity)),
        "oversize": drop_blanks(plain(values.oversize)),
    }
    return {name: part for name, part in parts.items() if part}


def answer_from_result(result: Mapping[str, Any], ref: Ref) -> ReferenceFacts | None:
    """Return the facts of a reference, from a result as in `show --json`."""
    if ref.asks is not ReferenceFacts:
        return None
    standard, soil = result.get("standard") or {}, result.get("soil") or {}
    curve = result.get("curve") or {}
    peak, unit = peak_of(result, PEAK)
    corrected, _ = peak_of(result, CORRECTED)
    return ReferenceFacts(
        id=ref.id,
        kind=KIND_NAME,
        project=str(result.get("project") or project_in(result)),
        sample=str(result.get("sample") or sample_in(result)),
        soil_name=str(soil.get("name", "")),
        soil_class=str(soil.get("class", "")),
        designation=str(standard.get("designation", "")),
        edition=str(standard.get("edition", "")),
        method=str(standard.get("method", "")),
        effort=str(result.get("effort", "")),
        sieve=str(result.get("sieve", "")),
        density_unit=unit or str(curve.get("density_unit", "")),
        peak=peak,
        corrected=corrected,
        specific_gravity=gravity_of(result),
        oversize=fact_of(OversizeFact, result.get("oversize")),
        revision=f"{ref.id} r{result['revision']}" if "revision" in result else "",
        why_none="" if peak is not None else str(curve.get("words", "")),
    )


def peak_of(
    result: Mapping[str, Any], names: tuple[str, ...]
) -> tuple[Peak | None, str]:
    """Return a peak, unrounded and as reported, and the unit of the report."""
    found = [result.get("results", {}).get(name) for name in names]
    if any(one is None for one in found):
        return None, ""
    density, water = found
    digits, _, unit = density["reported"].partition(" ")
    if unit not in UNITS:
        return None, ""
    reported_water = Decimal(water["reported"].partition(" ")[0])
    top, at = (snap(float(one["value"])) for one in (density, water))
    return Peak(top, at, Decimal(digits), reported_water), unit


F = TypeVar("F", SpecificGravityFact, OversizeFact)
IN_DIGITS = (
    "value",
    "water_temperature_c",
    "passing_value",
    "percent_retained",
    "bulk_specific_gravity",
    "water_content",
    "absorption",
)
"""Fields of both facts that are numbers, kept as text with their digits."""

MAY_LACK = ("bulk_basis",)
"""Fields that are None where nothing is stated, and no blank text."""


def fact_of(kind: type[F], told: Mapping[str, Any] | None) -> F | None:
    """Return a fact from its fields as JSON has them."""
    if not told:
        return None
    found: dict[str, Any] = {}
    for name in (one.name for one in fields(kind)):
        value = told.get(name)
        if name in IN_DIGITS:
            found[name] = None if value is None else Decimal(str(value))
        else:
            found[name] = value if value or name in MAY_LACK else ""
    return kind(**found)


def gravity_of(result: Mapping[str, Any]) -> SpecificGravityFact | None:
    """Return the specific gravity; of a result of before, its value alone."""
    told = result.get("gravity")
    if told:
        return fact_of(SpecificGravityFact, told)
    value = (result.get("curve") or {}).get("specific_gravity")
    if value is None:
        return None
    return SpecificGravityFact(Decimal(repr(snap(float(value)))), "", None, "")


def parts_of_inputs(result: Mapping[str, Any]) -> list[list[str]]:
    """Return the paths of a result's inputs, in parts."""
    return [name.split("/") for name in result.get("inputs") or {}]


def project_in(result: Mapping[str, Any]) -> str:
    """Return the project by the path of its record among the inputs."""
    return next(
        (way[-2] for way in parts_of_inputs(result) if way[-1] == "project.yaml"), ""
    )


def sample_in(result: Mapping[str, Any]) -> str:
    """Return the sample by the path of its record among the inputs."""
    return next(
        (
            way[-1].removesuffix(".yaml")
            for way in parts_of_inputs(result)
            if "samples" in way
        ),
        "",
    )
