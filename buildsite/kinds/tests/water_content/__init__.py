"""The water content of a sample: model, computation, rules and sheet of one kind."""

from collections.abc import Mapping
from typing import Any

from buildsite.kinds.across import Trace
from buildsite.kinds.bench_spec import Bench
from buildsite.kinds.kind import Kind, Lines, Ref, Result
from buildsite.kinds.reporting import percent_result
from buildsite.kinds.tests.shared.containers import masses_read
from buildsite.kinds.tests.shared.links import common_refs, device_refs, once
from buildsite.kinds.tests.shared.traces import trace_of
from buildsite.kinds.tests.water_content.blank import BLANK
from buildsite.kinds.tests.water_content.case import Test
from buildsite.kinds.tests.water_content.compute import Values, compute
from buildsite.kinds.tests.water_content.model import WaterContent
from buildsite.kinds.tests.water_content.rules import RULES
from buildsite.kinds.tests.water_content.sheet import sheet


def needs(record: WaterContent) -> tuple[Ref, ...]:
    """Ask what a test of any kind asks."""
    return once(*common_refs(record), *device_refs(record))


def answers(case: Test, ref: Ref) -> object | None:
    """Give no value to other records: a sample states what it was received with."""
    return None


ENOUGH = 3
"""Readings that two containers can't share by chance: empty, wet, dry."""


def trace(record: WaterContent, file: str) -> Trace:
    """Leave each container's masses: a sample may be weighed on many days."""
    return trace_of(
        record,
        file,
        [
            (("containers", i), masses_read(one, ENOUGH))
            for i, one in enumerate(record.containers)
        ],
        repeats=False,
    )


def results(case: Test) -> Mapping[str, Result]:
    """Report the mean of the containers."""
    water = case.values.water_content
    if water is None:
        return {}
    return {"water_content": percent_result("water_content", water, case.method)}


def detail(case: Test) -> Mapping[str, Any]:
    """Each container, as `show --json` gives it."""
    return {
        "containers": [
            {
                "water_content": one.water_content,
                "moist_soil": one.moist_soil,
                "dry_soil": one.dry_soil,
                "rejected": one.rejected,
            }
            for one in case.values.containers
        ]
    }


def lay_out(case: Test) -> Bench:
    """Lay out the bench sheet. Imported late: `check` never asks for it."""
    from buildsite.kinds.tests.water_content.bench import bench

    return bench(case)


KIND: Kind[WaterContent, Values] = Kind(
    name="water-content",
    title="Water content",
    group="test",
    model=WaterContent,
    needs=needs,
    answers=answers,
    compute=compute,
    results=results,
    detail=detail,
    sheet=sheet,
    rules=RULES,
    trace=trace,
    blank=BLANK,
    bench=lay_out,
    takes="water-content",
    lines=Lines("containers", "container", (("water_content", "%", 2),)),
)
