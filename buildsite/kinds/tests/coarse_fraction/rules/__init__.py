"""Every check of a coarse fraction, by subject."""

from buildsite.kinds.tests.coarse_fraction.case import Test
from buildsite.kinds.tests.coarse_fraction.model import STONES, WATERS
from buildsite.kinds.tests.coarse_fraction.rules import columns, specimens, split
from buildsite.kinds.tests.coarse_fraction.rules import particles as stones
from buildsite.kinds.tests.shared.containers import container_rules
from buildsite.kinds.tests.shared.rules import shared
from buildsite.kinds.tests.shared.rules.dates import UNDATED
from buildsite.kinds.tests.shared.rules.oven import all_weighed_again
from buildsite.kinds.tests.shared.rules.oven import rules_of as oven_rules
from buildsite.record.flags import Rule

RULES: tuple[Rule[Test], ...] = (
    *shared("coarse-fraction"),
    UNDATED,
    *columns.RULES,
    *split.RULES,
    *stones.RULES,
    *specimens.RULES,
    *container_rules(
        WATERS.lines,
        {
            "oven-mass-rose": stones.mass_rose,
            "not-dried-to-constant-mass": stones.still_drying,
        },
    ),
    *oven_rules(
        all_weighed_again(STONES.lines, "oven_dry"), "oven_dry", stones.soak_hours
    ),
)
