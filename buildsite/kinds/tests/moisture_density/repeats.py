"""Repeat compaction tests of one sample, compared with the repeatability."""

from collections.abc import Iterator
from functools import partial

from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.kind import Compared
from buildsite.kinds.reporting import (
    density_result,
    finer,
    percent_result,
    readable_text,
    result_word,
)
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.shared import repeats
from buildsite.kinds.tests.shared.repeats import Pair
from buildsite.record.units import from_si
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method

DENSITY, OPTIMUM = "maximum_dry_density", "optimum_water_content"


def difference_text(case: Test, name: str, value: float, more: int) -> str:
    """Write a difference as the result is reported, with so many more decimals."""
    if name == DENSITY:
        unit = case.values.density_unit
        reported = density_result(name, value, case.method, unit).reported
        return readable_text(finer(reported, from_si(value, unit), more))
    reported = percent_result(name, value, case.method).reported
    return f"{finer(reported, value, more)[:-2]} points"


def soil_class_of(case: Test) -> str:
    """Return the class of the soil: some standards state their precision by it."""
    sample = case.inputs.get(SampleFacts, case.record.sample)
    return sample.soil_class if sample is not None else ""


def common_results(earlier: Test, later: Test) -> Iterator[Pair]:
    """Yield each result that both tests have."""
    for name in (DENSITY, OPTIMUM):
        one, other = getattr(earlier.values, name), getattr(later.values, name)
        if one is not None and other is not None:
            method, unit = later.method, later.values.density_unit
            yield Pair(
                label=result_word(method, name, unit),
                one=one,
                other=other,
                stated=repeatability_cell(method, soil_class_of(later), name)
                if method
                else None,
                difference_text=partial(difference_text, later, name),
                soil=soil_class_of(later),
            )


def repeatability_cell(method: Method, soil: str, name: str) -> Cell | None:
    """Return the repeatability of a result, where the standard states one."""
    quantity = "density" if name == DENSITY else "water_content"
    return method.for_soil(f"repeatability_{quantity}", soil)


def compared(earlier: Test, later: Test) -> Compared:
    """Compare two repeat tests."""
    return repeats.compare(earlier, later, common_results(earlier, later))
