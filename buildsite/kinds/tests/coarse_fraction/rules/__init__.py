"""Every check of a coarse fraction, by subject."""

from buildsite.kinds.tests.coarse_fraction.case import Test
from buildsite.kinds.tests.coarse_fraction.rules import columns, specimens, split
from buildsite.kinds.tests.coarse_fraction.rules import particles as stones
from buildsite.kinds.tests.shared.containers import container_rules
from buildsite.kinds.tests.shared.rules import shared
from buildsite.kinds.tests.shared.rules.dates import UNDATED
from buildsite.kinds.tests.shared.rules.equipment import rules_of as devices
from buildsite.kinds.tests.shared.rules.oven import hours_rule
from buildsite.kinds.tests.shared.rules.oven import rules_of as oven_rules
from buildsite.record.flags import Rule


def is_weighed_again(case: Test) -> bool:
    """Whether all of the stones were weighed dry more than once."""
    dried = [one.oven_dry for one in case.record.specimens if one.rejected is None]
    return bool(dried) and all(masses and len(masses) > 1 for masses in dried)


RULES: tuple[Rule[Test], ...] = (
    *shared("coarse-fraction"),
    UNDATED,
    *columns.RULES,
    *split.RULES,
    *stones.RULES,
    *specimens.RULES,
    *container_rules(
        split.held,
        {
            "oven-mass-rose": stones.mass_rose,
            "not-dried-to-constant-mass": stones.still_drying,
        },
    ),
    hours_rule(stones.soak_hours),
    *oven_rules(is_weighed_again, "oven_dry"),
    *devices(columns.weighings, {"moisture_balance": ("resolution_moisture_g",)}),
)
