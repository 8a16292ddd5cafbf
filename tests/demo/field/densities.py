"""From the plan of a field test to the text of its record."""

from datetime import datetime, time
from math import cos, radians

from tests.demo.bench import WATER_NOISE, Field, braces
from tests.demo.field.apparatus import dug, gauge_readings, pushed
from tests.demo.field.model import Ground, between, rolled, share
from tests.demo.field.plan import (
    ABUTMENT,
    CONE,
    CYLINDER,
    GAUGE,
    PIT_4,
    QUARRY,
    TESTS,
    Lift,
    Planned,
    number_of,
)
from tests.demo.laboratory import BALANCES, Chance, container_mass, read
from tests.demo.soil import POUND_PER_CUBIC_FOOT, SOILS, Soil
from tests.demo.write import schema, workday

STONES = 0.131  # over the 3/4 in sieve, as sample HF-S04 states them
STANDARDS = {
    CONE: ("AASHTO T 191", "14(2018)"),
    GAUGE: ("AASHTO T 310", "22"),
    CYLINDER: ("AASHTO T 204", "90(2004)"),
}
DISPOSED = "HF-F0059"
DISPOSITION = (
    '{as: accepted-as-is, document: "letter HF/E/31", by: E02, on: 2026-11-23}'
)
"""The failure that the engineer of record accepts as it is, and how."""


def soil_of(lift: Lift) -> Soil:
    """The soil of a lift."""
    soil = between(lift.place) if lift.soil == PIT_4 else SOILS[lift.soil]
    assert isinstance(soil, Soil)
    return soil


def ground_of(test: Planned) -> Ground:
    """The soil at the place of a test as it truly is."""
    lift, soil = test.lift, soil_of(test.lift)
    stones = 0.0
    if lift.soil == QUARRY:
        spread = Chance(f"{place_of(test)} stones")
        stones = STONES * (1 + spread.normal(0.08))
    return rolled(
        soil,
        lift.effort,
        soil.tops[lift.effort].water_content + test.off,
        test.part if test.part is not None else share(test.passes),
        Chance(f"{place_of(test)} {test.on if not test.check_of else ''}".strip()),
        stones,
    )


def place_of(test: Planned) -> str:
    """Name of a place: a check is at the place of its test."""
    return f"{test.lift.zone} {test.lift.number} {test.station} {test.offset}"


def coordinates(test: Planned) -> str:
    """
    Where a handheld receiver says the place is: north along the line, east of it.

    The line begins in the middle of the South Pacific, where no fill can be.
    """
    hundreds, _, metres = test.station.partition("+")
    along = 100 * int(hundreds) + float(metres)
    beside = {"left": -1, "right": 1, "centerline": 0}[test.side] * float(test.offset)
    north = START[0] + along / METRES_A_DEGREE
    east = START[1] + beside / (METRES_A_DEGREE * cos(radians(START[0])))
    return f"latitude: {north:.6f}, longitude: {east:.6f}"


START = (-47.21, -118.45)  # latitude, longitude [degrees]
METRES_A_DEGREE = 111_200.0  # of latitude, to 0.3 % (common practice)


def heading(test: Planned) -> list[str]:
    """What is tested, where, by whom, and against what."""
    id, lift = number_of(test), test.lift
    designation, edition = STANDARDS[test.apparatus]
    side = f"station: {test.station}, offset: {test.offset}, side: {test.side}"
    if test.lift.zone == ABUTMENT:
        side += f", {coordinates(test)}"
    works = [
        ("thickness_loose", str(lift.loose)),
        ("thickness_compacted", str(lift.compacted)),
        ("roller", f'"{lift.roller}"'),
        ("passes", str(test.passes)),
        ("source", f'"{source_of(lift)}"'),
    ]
    lines = [
        schema("field-density", 2),
        "format: 1",
        "kind: field-density",
        f"id: {id}",
        "project: heron-flats",
        f"purpose: {test.purpose}",
        f"zone: {lift.zone}",
        f'lift: "{lift.number}"',
        f"position: {{{side}}}",
        f"works: {braces(works)}",
        f"apparatus: {test.apparatus}",
        f'standard: {{designation: {designation}, edition: "{edition}", method: none}}',
        f"reference: {lift.reference}",
        f"reference_basis: {lift.basis}",
        f"reference_by: {test.by}",
        f'tested: {{on: {test.on}, at: "{test.at}", by: {test.by}}}',
    ]
    if test.retest_of:
        lines += [
            f"retest_of: {test.retest_of}",
            f'rework: {{what: "{test.rework}", on: {test.on}, by: contractor}}',
        ]
    if test.check_of:
        lines.append(f"check_of: {test.check_of}")
    return lines


def source_of(lift: Lift) -> str:
    """Where the soil of a lift comes from."""
    return {
        PIT_4: "borrow pit 4",
        "HF-S13": "borrow pit 5",
        QUARRY: "quarry stockpile 4",
        "HF-S02": "borrow pit 2",
    }[lift.soil]


def container(test: Planned, which: int, ground: Ground) -> list[Field]:
    """One container of soil, dried overnight."""
    pan = bool(ground.stones)
    index = sum(one.on == test.on for one in TESTS[: TESTS.index(test)])
    name = f"P{50 + index}" if pan else f"{50 + index}"
    chance = Chance(f"{number_of(test)} container {which}")
    balance, empty = BALANCES["B-04" if pan else "B-03"], container_mass(name)
    wet = chance.between(560, 620) if pan else chance.between(145, 180)
    dry = wet / (1 + (ground.water + chance.normal(WATER_NOISE)) / 100)
    return [
        ("container", f'"{name}"'),
        ("container_mass", str(balance.weigh(empty, chance))),
        ("container_and_wet", str(balance.weigh(empty + wet, chance))),
        ("container_and_dry", str(balance.weigh(empty + dry, chance))),
    ]


def dried(test: Planned) -> list[str]:
    """Who dried the soil, when, and how hot the oven was."""
    out = workday(test.on, 1)
    heat = read(110 + Chance(f"{number_of(test)} oven").normal(1.0), "1")
    start = datetime.combine(test.on, time(16, 20))
    end = datetime.combine(out, time(8, 10))
    return [
        f"oven: {{in: {start:%Y-%m-%dT%H:%M}, out: {end:%Y-%m-%dT%H:%M}, "
        f"temperature_c: {heat}}}"
    ]


def other(by: str) -> str:
    """The colleague who checks an entry."""
    return {"T07": "T04", "T04": "T07"}[by]


def acts(test: Planned, *, oven: bool) -> list[str]:
    """Who entered the readings and who checked them."""
    day = workday(test.on, 1)
    lines = [f"dried: {{on: {day}, by: {other(test.by)}}}"] if oven else []
    return [
        *lines,
        f"entered: {{by: {test.by}, checked_by: {other(test.by)}}}",
        "status: complete",
    ]


def coarse(test: Planned, ground: Ground) -> list[str]:
    """The split of the soil of a hole, or of what was dug beside a gauge."""
    chance = Chance(f"{number_of(test)} split")
    dry = 3200 + chance.between(-150, 150)
    stones, fine = dry * ground.stones * 1.009, dry * (1 - ground.stones)
    moist = fine * (1 + ground.fine_water / 100)
    fields = [
        ("sieve", "3/4 in"),
        ("wet_retained", str(read(stones, "1"))),
        ("wet_passing", str(read(moist, "1"))),
        ("water_retained", "0.9"),
        ("water_passing", str(read(ground.fine_water, "0.1"))),
        ("specific_gravity", "{value: 2.64, basis: oven-dry}"),
    ]
    return [f"coarse: {braces(fields)}"]


def by_cone(test: Planned, ground: Ground) -> list[str]:
    """Units, equipment and readings of a sand cone."""
    volume = 2450.0 if ground.stones else 1150.0
    hole = dug(number_of(test), test.on, ground.wet_density, volume)
    fine = "B-04" if ground.stones else "B-03"
    return [
        "units: {mass: g, moisture: g, position: m, depth: in}",
        f"equipment: {{sand_cone: SC-01, balance: B-01, moisture_balance: {fine}, "
        "oven: O-01}",
        f"largest_particle: {'1 in' if ground.stones else 'No. 4'}",
        f'sand_bag: "{hole.bag}"',
        f"apparatus_before: {hole.before}",
        f"apparatus_after: {hole.after}",
        f"wet_soil: {hole.soil}",
    ]


def by_cylinder(test: Planned, ground: Ground) -> list[str]:
    """Units, equipment and readings of a drive cylinder."""
    return [
        "units: {mass: g, moisture: g, position: m, depth: in}",
        "equipment: {cylinder: DC-01, balance: B-01, moisture_balance: B-03, "
        "oven: O-01}",
        "largest_particle: No. 4",
        "cylinder_specimen: {recovery: full, ends: sound, soil: cohesive}",
        f"cylinder_and_wet_soil: {pushed(number_of(test), ground.wet_density)}",
    ]


def by_gauge(test: Planned, ground: Ground) -> list[str]:
    """Units, equipment and readings of a gauge."""
    pound = POUND_PER_CUBIC_FOOT
    water = ground.dry_density * ground.water / 100
    read_off = gauge_readings(
        number_of(test), ground.wet_density / pound, water / pound
    )
    readings = ", ".join(
        f"{{wet_density: {density}, water: {water}}}" for density, water in read_off
    )
    depth = "4" if test.lift.compacted == 6 else "6"
    soil = source_of(test.lift)
    return [
        "units: {mass: g, density: lb/ft3, position: m, depth: in}",
        "equipment: {gauge: G-01}",
        f"largest_particle: {'1 in' if ground.stones else 'No. 4'}",
        "water_content_by: gauge",
        f"gauge: {{mode: direct, depth: {depth}, readings: [{readings}], offset: "
        f"{{value: 0.6, unit: lb/ft3, applied: here, soil: {soil}}}}}",
    ]


def text_of(test: Planned) -> str:
    """The whole record of a field test."""
    ground = ground_of(test)
    oven = test.apparatus != GAUGE
    made = {CONE: by_cone, CYLINDER: by_cylinder, GAUGE: by_gauge}[test.apparatus]
    lines = [*heading(test), *acts(test, oven=oven), *made(test, ground)]
    if oven:
        lines += [
            "water_content_by: oven",
            "water_fraction: total",
            "containers:",
            f"  - {braces(container(test, 0, ground))}",
            *dried(test),
        ]
    if ground.stones:
        lines += coarse(test, ground)
    return "\n".join(lines) + "\n"


def texts() -> dict[str, str]:
    """Every field test, by its path in the archive."""
    return {
        f"records/heron-flats/tests/{number_of(test)}.yaml": text_of(test)
        for test in TESTS
    }
