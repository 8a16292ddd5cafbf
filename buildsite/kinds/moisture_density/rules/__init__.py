"""Every check of a compaction test, by subject."""

from buildsite.kinds.moisture_density.case import Test
from buildsite.kinds.moisture_density.rules import (
    columns,
    curve,
    drawn,
    moisture,
    oversize,
    points,
    readings,
    series,
    soil,
    standing,
)
from buildsite.record.flags import Rule

RULES: tuple[Rule[Test], ...] = (
    *standing.RULES,
    *columns.RULES,
    *readings.RULES,
    *moisture.RULES,
    *points.RULES,
    *series.RULES,
    *curve.RULES,
    *drawn.RULES,
    *soil.RULES,
    *oversize.RULES,
)
