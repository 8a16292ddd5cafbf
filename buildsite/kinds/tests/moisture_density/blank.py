"""A compaction test ready to fill in: what `new moisture-density` writes."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from buildsite.kinds.kind import Ask, Blank

if TYPE_CHECKING:
    from buildsite.kinds.archive_context import Around

POINT = (
    "  - {{water_added_ml: , mold_and_wet_soil: , container: , container_mass: , "
    "container_and_wet: , container_and_dry: }}\n"
)

TEXT = (
    """format: 1
kind: moisture-density
id: {id}
project: {project}
sample: {sample}
standard: {{designation: {standard}, edition: {edition}, method: {method}}}
preparation: {preparation}   # moist | dry
processed_through: {processed_through}   # sieve, such as No. 4
specimens: {specimens}   # separate | reused
# rammer: mechanical | manual; round | sector
rammer: {{operation: {operation}, face: {face}}}
layers: {layers}
blows_per_layer: {blows_per_layer}
prepared: {{on: , by: }}
compacted: {{on: {on}, by: {by}}}
dried: {{on: , by: }}
entered: {{by: , checked_by: }}
status: in-progress         # in-progress | complete | withdrawn
units: {{compacted: {compacted_unit}, moisture: {moisture_unit}}}
equipment: {{mold: {mold}, rammer: {rammer}, balance: {balance},
  moisture_balance: {moisture_balance}, oven: {oven}, sieve: {sieve}}}
mold_mass: {mold_mass}   # {mold_mass_note}
weighed_with: {weighed_with}   # mold | mold and base plate
water_added: {water_added}   # each | cumulative
curve: {{form: auto}}
points:
"""
    + POINT * 5
    + """oven: {{in: , out: , temperature_c: }}   # in, out: YYYY-MM-DDTHH:MM
remarks: ""
"""
)


def suggest(around: "Around") -> Mapping[str, str]:
    """Suggest what can be known. Imported when it is asked: `check` never does."""
    from buildsite.kinds.tests.moisture_density.suggest import suggest as known

    return known(around)


BLANK = Blank(
    TEXT,
    prefix="",
    asks=(
        Ask("project", "Project"),
        Ask("sample", "Sample"),
        Ask("standard", "Standard, such as AASHTO T 99", "AASHTO T 99"),
        Ask("edition", "Edition, such as 22 or 12(2021)"),
        Ask("method", "Method", "A"),
        Ask("on", "Compacted on (YYYY-MM-DD)"),
        Ask("by", "Compacted by (staff code)"),
        Ask("compacted_unit", "Unit of the mold's masses", "g", ("g", "kg", "lb")),
    ),
    places=(
        *("preparation", "processed_through", "specimens", "operation", "face"),
        *("layers", "blows_per_layer", "moisture_unit", "mold", "rammer", "balance"),
        *("moisture_balance", "oven", "sieve", "mold_mass", "mold_mass_note"),
        *("weighed_with", "water_added"),
    ),
    suggest=suggest,
)
