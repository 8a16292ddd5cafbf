"""The specific gravity of soil solids by pycnometer, as one kind of test."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from buildsite.kinds.answers import SpecificGravityFact
from buildsite.kinds.blank import Ask
from buildsite.kinds.kind import Kind, Ref, Result, late
from buildsite.kinds.reporting import rounded
from buildsite.kinds.tests.shared.blank import Load, asks, blank_of, suggest_by
from buildsite.kinds.tests.shared.kind import kind_of_test
from buildsite.kinds.tests.specific_gravity.compute import Test, Values, compute
from buildsite.kinds.tests.specific_gravity.links import compared, needs
from buildsite.kinds.tests.specific_gravity.model import (
    DETERMINATIONS,
    SpecificGravityTest,
)
from buildsite.kinds.tests.specific_gravity.rules import RULES
from buildsite.soil.rounding import plain, round_half_even, snap
from buildsite.standards.method import Method

UNRULED_PLACES = 2
"""Decimals where the standard is not on file: common practice."""


def reported(value: float, method: Method | None) -> Result:
    """Report a specific gravity to the place required by the method."""
    text = (
        rounded(value, method.report("specific_gravity", ""))
        if method is not None
        else plain(round_half_even(snap(value), UNRULED_PLACES))
    )
    return Result(value, "", text)


def results(case: Test) -> Mapping[str, Result]:
    """Report the mean, and the value including coarse particles where there are any."""
    found = {
        "specific_gravity": case.values.mean,
        "combined_specific_gravity": case.values.combined,
    }
    return {
        name: reported(value, case.method)
        for name, value in found.items()
        if value is not None
    }


def detail(case: Test) -> Mapping[str, Any]:
    """Return the determinations and their range for `show --json`."""
    values = case.values
    lines = [
        {
            "pycnometer": one.pycnometer,
            "dry_soil_kg": one.dry_soil,
            "full_of_water_kg": one.full_of_water,
            "temperature_c": one.temperature,
            "temperature_factor": one.factor,
            "specific_gravity": one.specific_gravity,
            "rejected": one.rejected,
            "transcribed": ["specific_gravity"] if one.transcribed else [],
        }
        for one in values.determinations
    ]
    about: dict[str, Any] = {
        "determinations": lines,
        "spread": values.spread,
        "passing": case.record.processed_through or "",
    }
    if values.coarse is not None:
        about["coarse"] = values.coarse
    return about


def answer_from_result(
    result: Mapping[str, Any], ref: Ref
) -> SpecificGravityFact | None:
    """
    Return the specific gravity for another record, from a result as in `show --json`.

    It is the reported one: others use what the report states.
    """
    if ref.asks is not SpecificGravityFact:
        return None
    found = result.get("results", {})
    fine, whole = found.get("specific_gravity"), found.get("combined_specific_gravity")
    if fine is None:
        return None
    value = Decimal(fine["reported"])
    if whole is None:
        return SpecificGravityFact(value, "measured", None, ref.id)
    return SpecificGravityFact(
        Decimal(whole["reported"]),
        "measured",
        None,
        ref.id,
        passing=str(result.get("passing") or ""),
        passing_value=value,
    )


FULL_PYCNOMETER = 0.8
"""Mass of a 500 mL pycnometer with soil and water, in kg: common practice."""

LINE = (
    "  - {{pycnometer: , dry_soil: , pycnometer_soil_and_water: , temperature_c: }}\n"
)

BLANK = blank_of(
    "specific-gravity",
    """\
specimen:                   # moist | oven-dry
processed_through: No. 4
prepared: {{on: , by: }}
deaired: {{by: , hours: }}    # boiling | vacuum | heat and vacuum
tested: {{on: {on}, by: {by}}}
dried: {{on: , by: }}
""",
    """\
units: {{mass: g}}
equipment: {{balance: {balance}, oven: {oven}, sieve: {sieve}}}
# Coarse particles retained on the sieve, to be included by dry mass:
# coarse: {{percent_retained: , specific_gravity: , basis: }}   # apparent | oven-dry
determinations:             # dry_soil, or container, container_mass, container_and_dry
"""
    + LINE * 2,
    asks=asks(
        "AASHTO T 100",
        "Tested",
        Ask("method", "Method; none if the standard has only one", "none"),
        edition="15",
    ),
    places=("balance", "oven", "sieve"),
    suggest=suggest_by(
        SpecificGravityTest.work,
        {"balance": Load(0.00001, FULL_PYCNOMETER, "resolution_mass_g")},
    ),
)

KIND: Kind[SpecificGravityTest, Values] = kind_of_test(
    Kind(
        reports=(("specific_gravity", ""), ("combined_specific_gravity", "")),
        name="specific-gravity",
        title="Specific gravity test",
        group="test",
        model=SpecificGravityTest,
        needs=needs,
        compute=compute,
        results=results,
        detail=detail,
        rules=RULES,
        sheet=late(f"{__name__}.sheet", "sheet"),
        working=late(f"{__name__}.working", "working"),
        bench=late(f"{__name__}.bench", "bench"),
        blank=BLANK,
        answer_from_result=answer_from_result,
    ),
    compared=compared,
    line_values=(("temperature_c", "°C", 1), ("specific_gravity", "", 3)),
    columns=[DETERMINATIONS],
)
