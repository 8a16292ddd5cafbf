"""All checks of a one-point, by subject."""

from buildsite.kinds.tests.moisture_density.rules import (
    method,
    moisture,
    molds,
    points,
    rammers,
    readings,
)
from buildsite.kinds.tests.one_point.compute import Test
from buildsite.kinds.tests.one_point.model import COLUMNS, CONTAINERS
from buildsite.kinds.tests.one_point.rules import curves
from buildsite.kinds.tests.one_point.rules.reused import (
    AT_POINT,
    containers_disagree,
    missing_reading,
    of_point,
)
from buildsite.kinds.tests.shared.containers import container_rules, disagree_rule
from buildsite.kinds.tests.shared.rules import columns, common_rules, oven
from buildsite.record.flags import Rule

DRY = "container_and_dry"

UNITS = {
    "compacted": "mold and soil",
    "moisture": "the moisture containers",
    "density": "the densities",
    "volume": "mold_volume",
    "mass": "the split",
}
"""Entries of `units`, and what each is the unit of."""

REUSED = (
    readings.two_forms_of_one_value,
    readings.volume_stated_and_calibrated,
    readings.values_transcribed,
    readings.soil_no_heavier_than_mold,
    moisture.water_content_like_a_fraction,
    moisture.moisture_specimen_too_small,
    points.right_of_zero_air_voids,
    points.impossible_density,
    points.unusual_density,
    points.water_bled,
    method.layers_unlike_method,
    method.blows_unlike_method,
    method.sieve_unlike_method,
    method.compaction_not_stated,
    method.preparation_missing,
    method.rammer_operation_missing,
    *molds.RULES,
    *rammers.RULES,
)
"""Checks of a full test that hold for one specimen of it."""

RULES: tuple[Rule[Test], ...] = (
    *common_rules("one-point", AT_POINT),
    *columns.rules_of(COLUMNS, UNITS, missing=missing_reading),
    *container_rules(CONTAINERS.lines),
    *oven.rules_of(oven.all_weighed_again(CONTAINERS.lines, DRY), DRY),
    disagree_rule(containers_disagree),
    *map(of_point, REUSED),
    *curves.RULES,
)
