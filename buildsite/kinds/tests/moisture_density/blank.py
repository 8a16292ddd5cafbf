"""The blank record of a compaction test: what `new moisture-density` writes."""

from buildsite.kinds.blank import Ask
from buildsite.kinds.kind import late
from buildsite.kinds.tests.shared.blank import OVEN, asks, blank_of

SOIL = """\
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
"""
READINGS = """\
units: {{compacted: {compacted_unit}, moisture: {moisture_unit}}}
equipment: {{mold: {mold}, rammer: {rammer}, balance: {balance},
  moisture_balance: {moisture_balance}, oven: {oven}, sieve: {sieve}}}
mold_mass: {mold_mass}   # {mold_mass_note}
weighed_with: {weighed_with}   # mold | mold and base plate
water_added: {water_added}   # each | cumulative
curve: {{form: auto}}
points:
"""
POINT = (
    "  - {{water_added_ml: , mold_and_wet_soil: , container: , container_mass: , "
    "container_and_wet: , container_and_dry: }}\n"
)

BLANK = blank_of(
    "moisture-density",
    SOIL,
    READINGS + POINT * 5 + OVEN,
    asks=(
        *asks("AASHTO T 99", "Compacted", Ask("method", "Method", "A")),
        Ask("compacted_unit", "Unit of mold masses", "g", ("g", "kg", "lb")),
    ),
    places=(
        *("preparation", "processed_through", "specimens", "operation", "face"),
        *("layers", "blows_per_layer", "moisture_unit", "mold", "rammer", "balance"),
        *("moisture_balance", "oven", "sieve", "mold_mass", "mold_mass_note"),
        *("weighed_with", "water_added"),
    ),
    suggest=late("buildsite.kinds.tests.moisture_density.suggest", "suggest"),
)
