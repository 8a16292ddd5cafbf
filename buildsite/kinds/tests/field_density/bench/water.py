"""The water content in the field and from the oven, and the coarse fraction."""

from collections.abc import Iterator
from dataclasses import replace

from buildsite.kinds.bench_spec import Part, Reading
from buildsite.kinds.tests.field_density.bench.apparatus import read
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.model import CONTAINERS, SPLIT
from buildsite.kinds.tests.field_density.water import FIELD_DRIED, way_of
from buildsite.kinds.tests.shared import bench as parts

WAYS = ("oven", "stove", "microwave", "gas-pressure", "gauge")
LINES = parts.LineList("containers", "Container", "container")


def water_parts(case: Test) -> Iterator[Part]:
    """Yield the parts on water and coarse fraction; the dry masses come last."""
    record, way = case.record, way_of(case.record)
    by = Reading("water_content_by", "Water content by", takes="choice", choices=WAYS)
    yield Part("Water content", (), (by, *stated(case, way)))
    if way == "gauge":
        yield from split_parts(case)
        return
    if way == "gas-pressure":
        yield from split_parts(case)
        yield from oven_check(case)
        return
    yield from parts.tared(case, CONTAINERS.lines)
    before, after = parts.container_readings(case)
    yield LINES.part("Containers", before)
    yield from split_parts(case)
    if way == "oven":
        yield later(parts.oven(case.method))
        yield later(
            parts.equipment(("moisture_balance", "Moisture balance"), ("oven", "Oven"))
        )
        yield later(LINES.part("After the oven", (after,)))
        yield parts.act("Weighing dry", "dried", "Weighed dry", needed=True, last=True)
        return
    yield parts.equipment(("moisture_balance", "Moisture balance"))
    yield LINES.part(f"After the {way}", (after,))
    if record.dried is not None:
        yield parts.act("Weighing dry", "dried", "Weighed dry", needed=False)
    yield from oven_check(case)


def stated(case: Test, way: str) -> tuple[Reading, ...]:
    """Return the questions for a water content that is read off directly."""
    if way != "gas-pressure":
        return ()
    return (
        Reading("water_content", "Water content as read", "%"),
        Reading(
            "water_basis",
            "Read by wet or dry mass",
            takes="choice",
            choices=("wet", "dry"),
            usual="wet",
        ),
    )


def split_parts(case: Test) -> Iterator[Part]:
    """Yield the part on the coarse fraction, where the record has begun one."""
    asked = case.record.coarse is not None
    yield Part(
        "Coarse fraction",
        ("coarse",),
        (
            Reading("sieve", "Split on sieve", takes="text", paper=not asked),
            read(case, SPLIT, "wet_retained", needed=False, paper=not asked),
            read(case, SPLIT, "wet_passing", needed=False, paper=not asked),
            Reading(
                "water_retained",
                "Water content of the retained",
                "%",
                needed=False,
                paper=not asked,
            ),
        ),
    )


def oven_check(case: Test) -> Iterator[Part]:
    """Yield the part on the oven's water content, where it is still awaited."""
    record = case.record
    begun = record.oven_check is not None
    if way_of(record) not in FIELD_DRIED or not (begun or case.values.preliminary):
        return
    lines = ("oven_check", "containers")
    before, after = parts.container_readings(case)
    readings = (*before, after)
    check = Part(
        "Oven check of the water content",
        lines,
        readings,
        once=False,
        line="Oven container",
        label="container",
    )
    yield later(check)


def later(part: Part) -> Part:
    """Return a part that is done after the morning on the fill."""
    return replace(part, later=True)
