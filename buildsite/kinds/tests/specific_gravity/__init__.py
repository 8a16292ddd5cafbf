"""The specific gravity of soil solids by pycnometer: one kind, cut by subject."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from buildsite.kinds.answers import SpecificGravityFact
from buildsite.kinds.kind import Kind, Lines, Ref
from buildsite.kinds.tests.specific_gravity.bench import bench
from buildsite.kinds.tests.specific_gravity.blank import BLANK
from buildsite.kinds.tests.specific_gravity.case import Test
from buildsite.kinds.tests.specific_gravity.compute import Values, compute
from buildsite.kinds.tests.specific_gravity.links import needs, trace
from buildsite.kinds.tests.specific_gravity.model import SpecificGravityTest
from buildsite.kinds.tests.specific_gravity.rules import RULES
from buildsite.kinds.tests.specific_gravity.rules.readings import MASSES
from buildsite.kinds.tests.specific_gravity.sheet import results, sheet


def detail(case: Test) -> Mapping[str, Any]:
    """Determinations, and what they have in common, as `show --json` gives them."""
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
    Tell another record the specific gravity, out of a result as `show --json` has it.

    It is the reported one: what a report states is what others may use.
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


def answers(case: Test, ref: Ref) -> SpecificGravityFact | None:
    """Tell what the record comes to now, where nothing was issued of it."""
    found = {name: {"reported": one.reported} for name, one in results(case).items()}
    passing = case.record.processed_through or ""
    return answer_from_result({"results": found, "passing": passing}, ref)


DETERMINATIONS = Lines(
    "determinations",
    "determination",
    (("temperature_c", "°C", 1), ("specific_gravity", "", 3)),
)

KIND: Kind[SpecificGravityTest, Values] = Kind(
    name="specific-gravity",
    title="Specific gravity test",
    group="test",
    model=SpecificGravityTest,
    needs=needs,
    answers=answers,
    compute=compute,
    results=results,
    detail=detail,
    sheet=sheet,
    rules=RULES,
    trace=trace,
    blank=BLANK,
    bench=bench,
    takes="specific-gravity",
    answer_from_result=answer_from_result,
    lines=DETERMINATIONS,
    units=dict.fromkeys(MASSES, "mass"),
)
