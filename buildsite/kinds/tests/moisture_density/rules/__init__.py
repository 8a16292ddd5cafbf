"""All checks of a compaction test, by subject."""

from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.rules import (
    curve,
    dates,
    drawn,
    method,
    moisture,
    molds,
    out_of_line,
    oversize,
    points,
    rammers,
    readings,
    soil,
)
from buildsite.kinds.tests.moisture_density.rules.readings import AT_POINTS
from buildsite.kinds.tests.shared.rules import common_rules
from buildsite.record.flags import Rule

RULES: tuple[Rule[Test], ...] = (
    *common_rules("compaction", AT_POINTS, dates.compaction_undated),
    *readings.RULES,
    *moisture.RULES,
    *points.RULES,
    *curve.RULES,
    *drawn.RULES,
    *out_of_line.RULES,
    *soil.RULES,
    *oversize.RULES,
    *method.RULES,
    *molds.RULES,
    *rammers.RULES,
    *dates.RULES,
)
