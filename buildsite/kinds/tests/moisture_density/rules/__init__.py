"""Every check of a compaction test, by subject."""

from buildsite.kinds.tests.moisture_density.case import Test
from buildsite.kinds.tests.moisture_density.rules import (
    columns,
    curve,
    dates,
    drawn,
    equipment,
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
from buildsite.kinds.tests.moisture_density.rules.demands import AT_POINTS
from buildsite.kinds.tests.shared.rules import shared
from buildsite.record.flags import Rule

RULES: tuple[Rule[Test], ...] = (
    *shared("compaction", AT_POINTS),
    *columns.RULES,
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
    *equipment.RULES,
    *dates.RULES,
)
