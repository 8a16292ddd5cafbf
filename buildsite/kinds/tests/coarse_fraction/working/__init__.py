"""The working of a coarse fraction: the split, and the particles weighed in water."""

from buildsite.kinds.steps import Steps
from buildsite.kinds.tests.coarse_fraction.compute import Test
from buildsite.kinds.tests.coarse_fraction.working.particles import (
    mean_steps,
    particle_steps,
)
from buildsite.kinds.tests.coarse_fraction.working.split import (
    retained_steps,
    split_steps,
)


def working(case: Test) -> tuple[Steps, ...]:
    """Return every step from the masses to the results."""
    parts = (
        Steps("split", "Split on the sieves", tuple(split_steps(case))),
        Steps("particles", "Coarse particles", tuple(particle_steps(case))),
        Steps(
            "worked",
            "From readings to results",
            (*retained_steps(case), *mean_steps(case)),
        ),
    )
    return tuple(one for one in parts if one.steps)
