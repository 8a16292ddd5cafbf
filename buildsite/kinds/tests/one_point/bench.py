"""The bench sheet of a one-point, in the order of the work."""

from dataclasses import replace

from buildsite.kinds.bench_spec import LOCAL_RULES, Bench, Part, Progress, Reading
from buildsite.kinds.reporting import point_density, to_places
from buildsite.kinds.tests.moisture_density.bench.readings import (
    choice_reading,
    count_reading,
    empty_mold_readings,
    rammer_readings,
    soil_readings,
)
from buildsite.kinds.tests.moisture_density.model import FILLED_MOLD
from buildsite.kinds.tests.one_point.compute import Test
from buildsite.kinds.tests.one_point.model import CONTAINERS
from buildsite.kinds.tests.one_point.rules.reused import by_effort
from buildsite.kinds.tests.one_point.wording import CAUTIONS, STEPS, TICKS
from buildsite.kinds.tests.shared.bench import (
    act,
    container_readings,
    entry,
    equipment,
    oven,
    reading,
    tared,
)
from buildsite.record.units import unit

FORMS = ("wet_density", "dry_density")
"""Transcribed densities: such a point has no mass of a filled mold."""

WAYS = ("oven", "microwave", "stove", "gas-pressure")


def specimen_parts(case: Test) -> tuple[Part, ...]:
    """Return the parts of the specimen: filled mold and container, then the dry one."""
    before, after = container_readings(case, unless=("water_content",))
    filled = reading(case, FILLED_MOLD, unless=FORMS)
    in_oven = case.record.water_content_by in (None, "oven")
    drying = (oven(case.method),) if in_oven else ()
    return (
        Part("Specimen", ("point",), (filled, *before)),
        *drying,
        Part("After drying", ("point",), (after,)),
    )


def progress(case: Test) -> Progress:
    """Return the point so far, and the curve that it leads to."""
    values, name = case.values, case.values.density_unit
    point = values.point
    if point is None or point.dry_density is None:
        return Progress(())
    text = (
        f"{point_density(point.dry_density, name)} {unit(name).shown} at "
        f"{to_places(point.water_content, 1)} %: {values.why}"
    )
    return Progress(((1, text),))


def bench(case: Test) -> Bench:
    """Return the bench sheet of one test."""
    method = case.values.effort
    of_curves = by_effort(case)
    soil = tuple(one for one in soil_readings(method) if one.name != "specimens")
    by = choice_reading("water_content_by", "Water content by", WAYS)
    return Bench(
        parts=(
            *place_parts(case),
            Part("Soil", (), tuple(replace(one, needed=False) for one in soil)),
            act("Preparing", "prepared", "Prepared", needed=False),
            act("Compacting", "compacted", "Compacted", needed=True),
            Part(
                "Effort",
                (),
                (count_reading("layers", method), counted_blows(case)),
            ),
            Part("Rammer", ("rammer",), rammer_readings(method)),
            equipment(
                ("mold", "Mold"),
                ("rammer", "Rammer no."),
                ("balance", "Balance for mold and soil"),
                ("moisture_balance", "Balance for containers"),
                ("oven", "Oven"),
                ("sieve", "Sieve"),
                spare=("sieve", "oven", *(("mold",) * bool(case.record.mold_volume))),
            ),
            Part("Empty mold", (), empty_mold_readings(of_curves)),
            *tared(case, CONTAINERS.lines),
            Part("Drying", (), (replace(by, usual="oven"),)),
            *specimen_parts(case),
            act("Weighed dry", "dried", "Weighed dry", needed=False, last=True),
            entry(),
        ),
        steps=STEPS,
        ticks=TICKS,
        cautions=(*CAUTIONS, LOCAL_RULES),
        progress=lambda: progress(case),
    )


def place_parts(case: Test) -> tuple[Part, ...]:
    """Return the part on the place, where no sample is named."""
    record = case.record
    if record.sample is not None:
        return ()
    by_grid = record.position is not None and record.position.station is None
    sides = ("left", "right", "centerline")
    readings = (
        Reading("station", "Station", takes="text", needed=not by_grid, paper=by_grid),
        Reading("offset", "Offset", record.units.position or "", needed=False),
        Reading("side", "Side", takes="choice", choices=sides, needed=False),
    )
    return (Part("Place", ("position",), readings),)


def counted_blows(case: Test) -> Reading:
    """Return the question for the blows on each layer."""
    return count_reading("blows_per_layer", case.values.effort)
