"""Every check of a compaction test, by subject."""

from buildsite.kinds.moisture_density.case import Test
from buildsite.kinds.moisture_density.rules import readings
from buildsite.record.flags import Rule

RULES: tuple[Rule[Test], ...] = (*readings.RULES,)
