"""Every check of a field density."""

from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.model import COLUMNS, CONTAINERS
from buildsite.kinds.tests.field_density.rules import (
    apparatus,
    conduct,
    gauges,
    holes,
    moisture,
    readings,
    references,
)
from buildsite.kinds.tests.shared.containers import container_rules, disagree_rule
from buildsite.kinds.tests.shared.rules import columns, common_rules, oven
from buildsite.record.flags import Rule

DRY = "container_and_dry"

UNITS = {
    "mass": "the masses of apparatus, sand and soil",
    "moisture": "the containers' masses",
    "density": "the densities",
    "volume": "the volumes",
}

RULES: tuple[Rule[Test], ...] = (
    *common_rules("field-density", readings.DEMANDED),
    *columns.rules_of(COLUMNS, UNITS, missing=readings.missing_reading),
    *container_rules(CONTAINERS.lines),
    *oven.rules_of(oven.all_weighed_again(CONTAINERS.lines, DRY), DRY),
    disagree_rule(readings.containers_disagree),
    *holes.RULES,
    *apparatus.RULES,
    *gauges.RULES,
    *moisture.RULES,
    *references.RULES,
    *conduct.RULES,
)
