"""The log-in of a sample: its text, and the questions for it."""

from buildsite.kinds.blank import Ask, Blank, answered

BLANK = Blank(
    """format: 1
kind: sample
id: {id}
project: {project}
received: {{on: {received_on}, by: {received_by}, condition: {condition}}}
# by: customer, or a staff code
sampled: {{on: {sampled_on}, by: {sampled_by}, method: {sampling_method},
  place: {place}}}
# class_basis: tested | visual. What the customer states, in soil, gradation,
# specific_gravity or oversize: given_by: customer
soil: {{name: {soil}, class: {soil_class}, class_basis: {class_basis}, group: {group},
  source: {source}}}
# % by dry mass, cumulative
gradation: {{retained_3_4_in: {retained_3_4_in}, retained_3_8_in: {retained_3_8_in},
  retained_no_4: {retained_no_4}}}
as_received_water_content: {water_content}   # %
# measured | assumed
specific_gravity: {{value: {specific_gravity}, basis: {gravity_basis}}}
# oversize: {{sieve: No. 4, percent_retained: , bulk_specific_gravity: ,
#   bulk_basis: , water_content: , absorption: }}  # oven-dry | SSD
retained_until: {retained_until}
remarks: {remarks}
""",
    prefix="S",
    asks=(
        Ask("project", "Project"),
        Ask("received_on", "Received on (YYYY-MM-DD)"),
        Ask("received_by", "Received by (staff code)"),
        Ask("condition", "Condition, such as moist, two sealed bags"),
        Ask("sampled_by", "Sampled by (customer, or a staff code)"),
        Ask("sampled_on", "Sampled on (YYYY-MM-DD)"),
        Ask("place", "Place of sampling"),
        Ask("sampling_method", "Sampling method, such as stockpile by shovel"),
        Ask("soil", "Soil, such as brown lean clay"),
        Ask("soil_class", "Class by ASTM D2487, such as CL"),
        Ask(
            "class_basis",
            "Classified by tests, or by eye",
            "",
            ("tested", "visual"),
            when=answered("soil_class"),
        ),
        Ask("group", "Group by AASHTO M 145, such as A-6"),
        Ask("source", "Source of the soil, such as north pit"),
        Ask("retained_3_4_in", "Retained on 3/4 in, % by dry mass (Enter: not known)"),
        Ask(
            "retained_3_8_in",
            "Retained on 3/8 in, coarser included, %",
            when=answered("retained_3_4_in"),
        ),
        Ask(
            "retained_no_4",
            "Retained on No. 4, coarser included, %",
            when=answered("retained_3_4_in"),
        ),
        Ask("water_content", "Water content as received, %"),
        Ask("specific_gravity", "Specific gravity, if known"),
        Ask(
            "gravity_basis",
            "That specific gravity is",
            "assumed",
            ("measured", "assumed"),
            when=answered("specific_gravity"),
        ),
        Ask("retained_until", "Keep until (YYYY-MM-DD)"),
        Ask("remarks", "Remarks"),
    ),
)
