"""The water content of a sample, as one kind of test."""

from collections.abc import Mapping
from typing import Any

from buildsite.kinds.blank import Ask
from buildsite.kinds.kind import Kind, Result, late
from buildsite.kinds.reporting import percent_result
from buildsite.kinds.tests.shared import blank
from buildsite.kinds.tests.shared.columns import as_written
from buildsite.kinds.tests.shared.kind import kind_of_test
from buildsite.kinds.tests.shared.links import common_needs
from buildsite.kinds.tests.water_content.model import (
    CONTAINERS,
    Test,
    Values,
    WaterContent,
    compute,
)
from buildsite.kinds.tests.water_content.rules import RULES

ENOUGH = 3
"""Readings that two containers can't share by chance: empty, wet, dry."""


def results(case: Test) -> Mapping[str, Result]:
    """Report the mean of the containers."""
    water = case.values.water_content
    if water is None:
        return {}
    return {"water_content": percent_result("water_content", water, case.method)}


def detail(case: Test) -> Mapping[str, Any]:
    """Return the containers for `show --json`."""
    names = ("water_content", "moist_soil", "dry_soil", "rejected")
    return {
        "containers": [
            {name: getattr(one, name) for name in names}
            for one in case.values.containers
        ]
    }


BLANK = blank.blank_of(
    "water-content",
    """\
largest_particle:           # the finest sieve that all of the soil passes, as No. 4
left_out:                   # material excluded from the specimen, if any
tested: {{on: {on}, by: {by}}}
dried: {{on: , by: }}
""",
    """units: {{moisture: g}}
equipment: {{moisture_balance: {moisture_balance}, oven: {oven}}}
containers:
  - {{container: , container_mass: , container_and_wet: , container_and_dry: }}
"""
    + blank.OVEN,
    standard=blank.NO_VARIANT,
    asks=blank.asks(
        "AASHTO T 265",
        "Weighed wet",
        Ask("method", "Method (ASTM D2216: A or B; AASHTO T 265: none)", "none"),
    ),
    places=("moisture_balance", "oven"),
    suggest=blank.suggest_by(
        WaterContent.work,
        {"moisture_balance": blank.Load(0.0001, 0.3, "resolution_moisture_g")},
    ),
)

KIND: Kind[WaterContent, Values] = kind_of_test(
    Kind(
        reports=(("water_content", "%"),),
        name="water-content",
        title="Water content",
        group="test",
        model=WaterContent,
        needs=common_needs,
        compute=compute,
        results=results,
        detail=detail,
        rules=RULES,
        sheet=late(f"{__name__}.sheet", "sheet"),
        working=late(f"{__name__}.working", "working"),
        bench=late(f"{__name__}.sheet", "bench"),
        blank=BLANK,
    ),
    compared=lambda record: as_written(record, CONTAINERS, ENOUGH),
    line_values=(("water_content", "%", 2),),
    columns=[CONTAINERS],
)
