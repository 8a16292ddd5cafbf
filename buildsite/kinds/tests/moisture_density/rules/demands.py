"""What a laboratory may demand of each point."""

from collections.abc import Iterator

from buildsite.kinds.tests.moisture_density.case import Test
from buildsite.kinds.tests.moisture_density.rules.common import each_container
from buildsite.record.flags import Field


def no_container(case: Test) -> Iterator[Field]:
    """Containers that nobody named."""
    for _, field, one in each_container(case):
        if one.container is None:
            yield (*field, "container")


def no_water_added(case: Test) -> Iterator[Field]:
    """Points whose water nobody wrote down."""
    for i, point in enumerate(case.record.points):
        if point.water_added_ml is None and point.mold_and_wet_soil is not None:
            yield ("points", i, "water_added_ml")


AT_POINTS = {"container": no_container, "water_added_ml": no_water_added}
"""Demands that are met point by point."""
