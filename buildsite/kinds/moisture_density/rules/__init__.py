"""Every check of a compaction test, by subject."""

from buildsite.kinds.moisture_density.case import Test
from buildsite.kinds.moisture_density.rules import (
    columns,
    curve,
    dates,
    demands,
    drawn,
    equipment,
    material,
    method,
    moisture,
    molds,
    oversize,
    people,
    points,
    rammers,
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
    *method.RULES,
    *material.RULES,
    *molds.RULES,
    *rammers.RULES,
    *equipment.RULES,
    *dates.RULES,
    *people.RULES,
    *demands.RULES,
)
