"""A compaction test ready to fill in: what `new moisture-density` writes."""

from buildsite.kinds.kind import Ask, Blank

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
standard: {{designation: {standard}, edition: {edition}, method: {method},
  variant: none}}
preparation:                # moist | dry
processed_through:          # sieve, such as No. 4
specimens:                  # separate | reused
rammer: {{operation: , face: }}   # mechanical | manual; round | sector
layers:
blows_per_layer:
prepared: {{on: , by: }}
compacted: {{on: {on}, by: {by}}}
dried: {{on: , by: }}
entered: {{by: , checked_by: }}
status: in-progress         # in-progress | complete | withdrawn
units: {{compacted: {compacted_unit}, moisture: g}}
equipment: {{mold: , rammer: , balance: , moisture_balance: , oven: , sieve: }}
mold_mass:                  # as weighed for this test
weighed_with: mold          # mold | mold and base plate
water_added: each           # each | cumulative
curve: {{form: auto}}
points:
"""
    + POINT * 5
    + """oven: {{in: , out: , temperature_c: }}   # in, out: YYYY-MM-DDTHH:MM
remarks: ""
"""
)

BLANK = Blank(
    TEXT,
    prefix="",
    asks=(
        Ask("project", "Project"),
        Ask("sample", "Sample"),
        Ask("standard", "Standard, such as AASHTO T 99", "AASHTO T 99"),
        Ask("edition", "Edition, such as 22"),
        Ask("method", "Method", "A"),
        Ask("on", "Compacted on (YYYY-MM-DD)"),
        Ask("by", "Compacted by (staff code)"),
        Ask("compacted_unit", "Unit of the mold's masses", "g", ("g", "kg", "lb")),
    ),
)
