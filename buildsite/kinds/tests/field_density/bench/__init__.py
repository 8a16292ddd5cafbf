"""The bench of a field density: what is read at the tailgate, in order of the hands."""

from buildsite.kinds.bench_spec import LOCAL_RULES, Bench, Part
from buildsite.kinds.tests.field_density.bench.apparatus import apparatus_parts
from buildsite.kinds.tests.field_density.bench.doubts import doubts_of
from buildsite.kinds.tests.field_density.bench.place import place_parts
from buildsite.kinds.tests.field_density.bench.progress import (
    progress_of,
    verdict_told,
)
from buildsite.kinds.tests.field_density.bench.water import water_parts
from buildsite.kinds.tests.field_density.bench.words import cautions, steps, ticks
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.shared import bench as parts


def bench(case: Test) -> Bench:
    """Return the bench of one test: only what its apparatus reads."""
    asked: tuple[Part, ...] = (
        *place_parts(case),
        *apparatus_parts(case),
        *water_parts(case),
        parts.entry(),
    )
    return Bench(
        parts=asked,
        steps=steps(case),
        ticks=ticks(case.record),
        cautions=(*cautions(case.record), LOCAL_RULES),
        progress=progress_of(case),
        odd=doubts_of(case),
        verdict=verdict_told(case),
    )
