"""What a coarse fraction reports, and what it tells other tests: rounded once."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from buildsite.kinds.answers import OversizeFact
from buildsite.kinds.kind import Ref, Result
from buildsite.kinds.reporting import gravity_result, percent_result
from buildsite.kinds.tests.coarse_fraction.case import Test


def reported(case: Test) -> Mapping[str, Result]:
    """Every result there is, in the order of the report."""
    values, found = case.values, case.values.gravities
    percents = {
        "percent_retained": values.percent_retained,
        "oversize_water_content": values.water_content,
        "absorption": found.absorption if found is not None else None,
    }
    gravities = (
        {
            "bulk_specific_gravity": found.bulk,
            "ssd_bulk_specific_gravity": found.surface_dry,
            "apparent_specific_gravity": found.apparent,
        }
        if found is not None
        else {}
    )
    results = {
        **{
            name: percent_result(name, value, case.method)
            for name, value in percents.items()
            if value is not None
        },
        **{
            name: gravity_result(name, value, case.method)
            for name, value in gravities.items()
        },
    }
    return {name: results[name] for name in ORDER if name in results}


ORDER = (
    "percent_retained",
    "oversize_water_content",
    "bulk_specific_gravity",
    "ssd_bulk_specific_gravity",
    "apparent_specific_gravity",
    "absorption",
)


def figure(results: Mapping[str, Any], name: str) -> Decimal | None:
    """The figure of a result as it is reported, without its unit."""
    found = results.get(name)
    return None if found is None else Decimal(found["reported"].partition(" ")[0])


def answer_from_result(result: Mapping[str, Any], ref: Ref) -> OversizeFact | None:
    """
    Tell another test what the oversize is, out of a result as `show --json` has it.

    It is as reported: the reader of both reports can follow that. The bulk specific
    gravity is the oven-dry one, by which corrections for oversize are made (AASHTO
    T 224, ASTM D4718).
    """
    if ref.asks is not OversizeFact:
        return None
    results = result.get("results", {})
    retained = figure(results, "percent_retained")
    if retained is None:
        return None
    bulk = figure(results, "bulk_specific_gravity")
    return OversizeFact(
        sieve=str(result.get("sieve") or ""),
        percent_retained=retained,
        bulk_specific_gravity=bulk,
        bulk_basis="oven-dry" if bulk is not None else None,
        water_content=figure(results, "oversize_water_content"),
        absorption=figure(results, "absorption"),
        source=ref.id,
    )


def answers(case: Test, ref: Ref) -> OversizeFact | None:
    """Tell what the record comes to now, where nothing was issued of it."""
    found = {name: {"reported": one.reported} for name, one in reported(case).items()}
    return answer_from_result({"results": found, "sieve": case.record.sieve}, ref)
