"""Every check of a specific gravity test, by subject."""

from buildsite.kinds.tests.shared.rules import common_rules
from buildsite.kinds.tests.specific_gravity.compute import Test
from buildsite.kinds.tests.specific_gravity.rules import (
    method,
    pycnometers,
    readings,
    values,
)
from buildsite.record.flags import Rule

RULES: tuple[Rule[Test], ...] = (
    *common_rules("specific-gravity"),
    *readings.RULES,
    *pycnometers.RULES,
    *values.RULES,
    *method.RULES,
)
