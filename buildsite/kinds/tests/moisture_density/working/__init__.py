"""The working of a compaction test: points, curve, results, whole soil, targets."""

from collections.abc import Iterator

from buildsite.kinds.steps import Steps
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.working.curve import curve_steps
from buildsite.kinds.tests.moisture_density.working.specimens import specimen_parts
from buildsite.kinds.tests.moisture_density.working.targets import target_steps
from buildsite.kinds.tests.moisture_density.working.whole_soil import whole_soil_steps
from buildsite.kinds.tests.shared.working import unit_note


def working(case: Test) -> tuple[Steps, ...]:
    """Return every step from the readings to the results."""
    return tuple(one for one in parts(case) if one.steps or one.paragraphs)


def parts(case: Test) -> Iterator[Steps]:
    """Yield the steps under their headings."""
    yield from specimen_parts(case, case.record)
    yield curve_steps(case)
    yield whole_soil_steps(case)
    yield target_steps(case)
    yield Steps("units", "Units", (), unit_note(case.values.density_unit))
