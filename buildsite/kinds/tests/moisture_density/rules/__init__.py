"""Every check of a compaction test, by subject."""

from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.rules import (
    curve,
    dates,
    drawn,
    material,
    method,
    moisture,
    molds,
    oversize,
    points,
    rammers,
    readings,
    series,
    soil,
)
from buildsite.kinds.tests.moisture_density.rules.readings import AT_POINTS
from buildsite.kinds.tests.shared.rules import shared
from buildsite.record.flags import Rule

RULES: tuple[Rule[Test], ...] = (
    *shared("compaction", AT_POINTS, dates.UNDATED),
    *readings.RULES,
    *moisture.RULES,
    *points.RULES,
    *series.RULES,
    *curve.RULES,
    *drawn.RULES,
    *soil.RULES,
    *oversize.RULES,
    *method.RULES,
    *material.RULES,
    *molds.RULES,
    *rammers.RULES,
    *dates.RULES,
)
