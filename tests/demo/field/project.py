"""What the specification of Heron Flats asks, as its project states it."""

REQUIREMENTS = """\
engineer_of_record: [E02]
requirements:
  - zone: embankment
    clause: "204.3 (invented)"
    standard: {designation: AASHTO T 99, method: A}
    least_percent_compaction: "95"
    water_content: {from: -2, to: 2, as: points}
    compare: rounded
    reference_values: reported
    oversize: none
    tests_required: {each: lift, number: 4}
  - zone: upper 2 ft
    clause: "204.5 (invented)"
    standard: {designation: AASHTO T 180, method: D}
    least_percent_compaction: "95"
    water_content: {from: -20, to: 20, as: percent of optimum}
    compare: rounded
    reference_values: reported
    oversize: laboratory-to-field
    tests_required: {each: lift, number: 4}
  - zone: abutment backfill
    clause: "502.7 (invented)"
    standard: {designation: AASHTO T 180, method: A}
    water_content: {from: -2, to: 2, as: points}
    compare: rounded
    reference_values: reported
    oversize: none
    tests_required: {each: lift, number: 4}
    lot: {average_of: 4, average: "97", each: "95"}
"""


def with_requirements(text: str) -> str:
    """The project's record with these in place of the requirements that it has."""
    kept, keep = [], True
    for line in text.splitlines(keepends=True):
        if not line.startswith(" "):
            keep = not line.startswith(("requirements:", "engineer_of_record:"))
        kept += [line] if keep else []
    return "".join(kept) + REQUIREMENTS
