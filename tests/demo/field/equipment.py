"""The records of the fill's apparatus: its calibrations and counts, as read."""

from datetime import date, timedelta

from tests.demo.bench import braces
from tests.demo.field.apparatus import (
    BAGS,
    CONE,
    CONTAINER,
    CYLINDER_MASS,
    CYLINDER_VOLUME,
    counts,
    gauge_days,
    sand_in_container,
)
from tests.demo.laboratory import Chance, read
from tests.demo.write import schema

ACROSS = 101.6
"""Inside diameter of the drive cylinder [mm]."""


def sand_cone_text() -> str:
    """The sand cone: three masses of sand in cone and plate, three for each bag."""
    chance = Chance("SC-01 cone")
    cone = ", ".join(str(read(CONE + chance.normal(2.0), "1")) for _ in range(3))
    lines = [
        schema("sand-cone", 1),
        "format: 1",
        "kind: sand-cone",
        "id: SC-01",
        'name: "sand cone with plate, 6.5 in opening"',
        'plate: "SC-01 P"',
        "units: {mass: g, volume: cm3, density: g/cm3}",
        "calibrations:",
        f"  - {{on: 2026-10-29, by: T07, next_due: 2027-10-29, state: as found, "
        f"sand: graded silica sand, sand_in_cone: [{cone}]}}",
        "bags:",
    ]
    for bag, on, density in BAGS:
        masses = ", ".join(str(sand_in_container(bag, i, density)) for i in range(3))
        due = on + timedelta(days=14)
        lines += [
            f'  - bag: "{bag}"',
            "    sand: graded silica sand",
            "    determinations:",
            f"      - {{on: {on}, by: T07, next_due: {due}, container_volume: "
            f"{CONTAINER:.0f}, sand_in_container: [{masses}]}}",
        ]
    return "\n".join(lines) + "\n"


def cylinder_text() -> str:
    """The drive cylinder: its mass, and its volume by dimensions."""
    chance = Chance("DC-01 calibration")
    height = CYLINDER_VOLUME * 1000 / (3.141592653589793 / 4 * ACROSS**2)
    across = [read(ACROSS + chance.normal(0.02), "0.01") for _ in range(4)]
    tall = [read(height + chance.normal(0.03), "0.01") for _ in range(4)]
    measured = [
        ("diameters", f"[{', '.join(map(str, across))}]"),
        ("heights", f"[{', '.join(map(str, tall))}]"),
    ]
    lines = [
        schema("drive-cylinder", 1),
        "format: 1",
        "kind: drive-cylinder",
        "id: DC-01",
        "name: drive cylinder, 4 in",
        "units: {mass: g, length: mm, volume: cm3}",
        "calibrations:",
        f"  - {{on: 2026-10-28, by: T04, next_due: 2027-10-28, state: as found, mass: "
        f"{read(CYLINDER_MASS + chance.normal(0.3), '1')}, "
        f"dimensions: {braces(measured)}}}",
    ]
    return "\n".join(lines) + "\n"


def gauge_text() -> str:
    """The gauge: calibration, leak test, standard counts of each working day."""
    lines = [
        schema("gauge", 1),
        "format: 1",
        "kind: gauge",
        "id: G-01",
        "name: nuclear moisture-density gauge",
        'serial: "KB-0417 (invented)"',
        'licence: "license KB-R-22 (invented)"',
        "units: {density: lb/ft3}",
        "calibrations:",
        "  - {on: 2026-02-17, next_due: 2027-02-17, state: as left, certificate: "
        '"invented 26-204", checks: [{known: 110.2, measured: 110.0}, '
        "{known: 135.0, measured: 135.3}]}",
        "leak_tests:",
        "  - {on: 2026-09-08, next_due: 2027-03-08, result: passed, certificate: "
        '"invented L-118"}',
        "counts:",
    ]
    for on in gauge_days(date(2026, 11, 16)):
        density, water = counts(on)
        lines.append(f"  - {{on: {on}, by: T04, density: {density}, water: {water}}}")
    return "\n".join(lines) + "\n"


def texts() -> dict[str, str]:
    """Every apparatus, by its path in the archive."""
    return {
        "records/equipment/SC-01.yaml": sand_cone_text(),
        "records/equipment/DC-01.yaml": cylinder_text(),
        "records/equipment/G-01.yaml": gauge_text(),
    }
