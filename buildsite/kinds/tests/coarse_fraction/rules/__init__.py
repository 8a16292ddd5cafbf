"""Every check of a coarse fraction, by subject."""

from buildsite.kinds.tests.coarse_fraction.compute import Test
from buildsite.kinds.tests.coarse_fraction.model import CONTAINERS, PARTICLES
from buildsite.kinds.tests.coarse_fraction.rules import method, particles, readings
from buildsite.kinds.tests.shared.containers import container_rules
from buildsite.kinds.tests.shared.rules import common_rules, oven
from buildsite.record.flags import Rule

RULES: tuple[Rule[Test], ...] = (
    *common_rules("coarse-fraction"),
    *readings.RULES,
    *particles.RULES,
    *method.RULES,
    *container_rules(
        CONTAINERS.lines,
        {
            "oven-mass-rose": particles.mass_rose,
            "not-dried-to-constant-mass": particles.still_drying,
        },
    ),
    *oven.rules_of(
        oven.all_weighed_again(PARTICLES.lines, "oven_dry"),
        "oven_dry",
        method.soak_hours,
    ),
)
