"""AQ-0005: a test of 2011 by another laboratory, taken over from its paper report."""

from tests.demo.bench import DENSITY_NOISE, WATER_NOISE, braces
from tests.demo.laboratory import Chance, read
from tests.demo.soil import SOILS

FILE = "records/alder-quay/tests/AQ-0005.yaml"
WATERS = (14.5, 16.4, 18.3, 20.4, 22.6)
GRAVITY = 9.80665  # m/s²

HEAD = """\
# yaml-language-server: $schema=../../.schema/moisture-density.json
format: 1
kind: moisture-density
id: AQ-0005
project: alder-quay
sample: AQ-S05
standard: {designation: ASTM D698, edition: 07e1, method: A, variant: none}
preparation: moist
processed_through: No. 4
specimens: separate
rammer: {operation: manual, face: round}
layers: 3
blows_per_layer: 25
compacted: {on: 2011-05-17}
dried: {on: 2011-05-18}
entered: {by: T04, checked_by: T07}
reviewed: {on: 2026-07-22, by: E02}
status: complete
units: {density: kN/m3}
curve: {form: auto}
points:
"""

TAIL = """\
external: {laboratory: Old Mole Testing Station (invented), report: "OM 2011/0417"}
remarks: "Page 3 of the report has dry densities and water contents, no weighings."
accepted:
  - flag: no-authority
    by: E02
    reason: "The test is of 2011; T04 and T07 entered it from the paper in July 2026"
  - flag: wet-leg-unlike-soil
    by: E02
    reason: "The paper prints 0.1 kN/m³, which is 2 % of saturation; gravity assumed"
"""


def text() -> str:
    """The whole record: what the paper prints, to the places it prints."""
    lines = []
    for number, water in enumerate(WATERS, start=1):
        chance = Chance(f"AQ-0005 point {number}")
        held = water + chance.normal(0.3)
        stated = SOILS["AQ-S05"].dry_density("standard", held)
        dry = (stated + chance.normal(DENSITY_NOISE)) * GRAVITY / 1000
        found = held + chance.normal(WATER_NOISE)
        fields = [
            ("dry_density", str(read(dry, "0.1"))),
            ("water_content", str(read(found, "0.1"))),
        ]
        lines.append(f"  - {braces(fields)}\n")
    return HEAD + "".join(lines) + TAIL
