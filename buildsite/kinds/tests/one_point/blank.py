"""The blank record of a one-point: what `new one-point` writes."""

from buildsite.kinds.blank import Ask, Blank
from buildsite.kinds.kind import late
from buildsite.kinds.tests.shared.blank import ENTERED, OVEN

TEXT = """\
format: 1
kind: one-point
id: {id}
project: {project}
# where the soil was taken; or sample: the sample, if one was logged in
position: {{station: {station}, offset: {offset}, side: {side}}}
family: {family}   # or reference: a single compaction test
standard: {{designation: {standard}, edition: {edition}, method: {method},
  effort: {effort}}}
preparation: {preparation}   # moist | dry, as the family
processed_through: {processed_through}   # sieve, such as No. 4
# rammer: mechanical | manual; round | sector, as the family
rammer: {{operation: {operation}, face: {face}}}
layers: {layers}
blows_per_layer: {blows_per_layer}
compacted: {{on: {on}, by: {by}}}
dried: {{on: , by: }}
"""
READINGS = """\
units: {{compacted: {compacted_unit}, moisture: {moisture_unit}, position: \
{position_unit}}}
equipment: {{mold: {mold}, rammer: {rammer}, balance: {balance},
  moisture_balance: {moisture_balance}, oven: {oven}, sieve: {sieve}}}
mold_mass: {mold_mass}
weighed_with: {weighed_with}   # mold | mold and base plate
water_content_by: {water_by}   # oven | microwave | stove | gas-pressure
point: {{mold_and_wet_soil: , container: , container_mass: ,
  container_and_wet: , container_and_dry: }}
"""

BLANK = Blank(
    f'{TEXT}{ENTERED}{READINGS}{OVEN}remarks: ""\n',
    prefix="P",
    asks=(
        Ask("project", "Project"),
        Ask("family", "Family of curves"),
        Ask("station", "Station, such as 12+40"),
        Ask("offset", "Offset from the centerline"),
        Ask("side", "Side", choices=("left", "right", "centerline")),
        Ask("position_unit", "Unit of offsets", "m", ("m", "ft")),
        Ask("standard", "Standard, such as AASHTO T 272", "AASHTO T 272"),
        Ask("edition", "Edition, such as 18"),
        Ask("method", "Method, as that of the family", "A"),
        Ask("effort", "Standard of the curves", "T 99", ("T 99", "T 180")),
        Ask("on", "Compacted on (YYYY-MM-DD)"),
        Ask("by", "Compacted by (staff code)"),
        Ask("compacted_unit", "Unit of mold masses", "g", ("g", "kg", "lb")),
    ),
    places=(
        *("preparation", "processed_through", "operation", "face", "layers"),
        *("blows_per_layer", "moisture_unit", "mold", "rammer", "balance"),
        *("moisture_balance", "oven", "sieve", "mold_mass", "weighed_with", "water_by"),
    ),
    suggest=late("buildsite.kinds.tests.one_point.suggest", "suggest"),
)
