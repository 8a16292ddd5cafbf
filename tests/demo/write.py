"""From a plan to the text of its record."""

from datetime import date, datetime, time, timedelta

from tests.demo.bench import braces, mold_mass, points
from tests.demo.laboratory import (
    BALANCES,
    CALIBRATIONS,
    MOLDS,
    PLATES,
    WATER,
    Calibration,
    Chance,
    Mold,
    read,
)
from tests.demo.plans import METHODS, RAMMERS, Test

SIEVES = {"No. 4": "S-04", "3/8 in": "S-09", "3/4 in": "S-19"}
OVENS = {"heron-flats": "O-01", "alder-quay": "O-02"}


def workday(on: date, days: int) -> date:
    """Go on, or back, by working days: Monday to Friday."""
    step = timedelta(days=1 if days > 0 else -1)
    while days:
        on += step
        if on.weekday() < 5:
            days -= 1 if days > 0 else -1
    return on


def schema(kind: str, depth: int) -> str:
    """First line: what an editor completes and checks by."""
    return f"# yaml-language-server: $schema={'../' * depth}.schema/{kind}.json"


def heading(test: Test) -> list[str]:
    """What is tested, by which method."""
    method = METHODS[test.method]
    standard = f"designation: {method.designation}, edition: {method.edition}"
    if method.edition.isdecimal():
        standard = f'designation: {method.designation}, edition: "{method.edition}"'
    operation, face = RAMMERS[test.rammer]
    return [
        schema("moisture-density", 2),
        "format: 1",
        "kind: moisture-density",
        f"id: {test.id}",
        f"project: {test.project}",
        f"sample: {test.sample}",
        f"standard: {{{standard}, method: {method.letter}, variant: none}}",
        f"preparation: {test.preparation}",
        *([f"dried_back: {test.dried_back}"] if test.dried_back else []),
        f"processed_through: {method.sieve}",
        f"specimens: {test.specimens}",
        f"rammer: {{operation: {operation}, face: {face}}}",
        f"layers: {method.layers}",
        f"blows_per_layer: {method.blows}",
    ]


def oven(test: Test) -> tuple[datetime, datetime]:
    """When the containers went in and came out."""
    if test.oven_hours:
        start = datetime.combine(workday(test.on, 1), time(7, 30))
        return start, start + timedelta(hours=test.oven_hours[-1])
    start = datetime.combine(test.on, time(14, 40)) + timedelta(
        minutes=5 * (int(test.id[-1]) % 5)
    )
    return start, datetime.combine(workday(test.on, 1), time(8, 10))


def acts(test: Test) -> list[str]:
    """Who did what, and when."""
    compacted, dried, checked = test.people
    fresh = test.specimens == "separate" and (
        test.overnight or not test.water.stood_hours
    )
    prepared = workday(test.on, -1) if fresh else test.on
    lines = [
        f"prepared: {{on: {prepared}, by: {compacted}}}",
        f"compacted: {{on: {test.on}, by: {compacted}}}",
    ]
    if test.status != "in-progress":
        lines += [
            f"dried: {{on: {oven(test)[1]:%Y-%m-%d}, by: {dried}}}",
            f"entered: {{by: {compacted}, checked_by: {checked}}}",
        ]
    if test.status == "complete":
        reviewed = workday(oven(test)[1].date(), test.reviewed_after)
        lines.append(f"reviewed: {{on: {reviewed}, by: {test.reviewer}}}")
    return [*lines, f"status: {test.status}"]


def fitted_out(test: Test) -> list[str]:
    """Units and equipment."""
    fine = "B-04" if test.containers[0][0] == "P" else "B-03"
    used = [
        ("mold", test.mold),
        ("rammer", test.rammer),
        ("balance", "B-02" if test.unit == "lb" else "B-01"),
        ("moisture_balance", fine),
        ("oven", OVENS[test.project]),
        ("sieve", SIEVES[METHODS[test.method].sieve]),
    ]
    density = ", density: kN/m3" if "drawn" in test.curve else ""
    return [
        f"units: {{compacted: {test.unit}, moisture: {BALANCES[fine].unit}{density}}}",
        f"equipment: {braces(used)}",
        f"mold_mass: {mold_mass(test)}",
        "weighed_with: mold",
        "water_added: each",
    ]


def text_of(test: Test) -> str:
    """The whole record of a test."""
    start, end = oven(test)
    heat = read(110 + Chance(f"{test.id} oven").normal(1.0), "1")
    dates = f"in: {start:%Y-%m-%dT%H:%M}, out: {end:%Y-%m-%dT%H:%M}"
    lines = [
        *heading(test),
        *acts(test),
        *fitted_out(test),
        test.curve.strip(),
        *(["uncertainty: yes"] if test.uncertainty else []),
        "points:",
        *(f"  - {line}" for line in points(test)),
        f"oven: {{{dates}, temperature_c: {heat}}}",
        *test.words.strip().splitlines(),
    ]
    return "\n".join(lines) + "\n"


def filling(mold: Mold, one: Calibration, chance: Chance) -> str:
    """Weigh the mold between its glass plates, empty and full of water."""
    empty = mold.weighs(one.on) + PLATES[mold.nominal] + chance.normal(1.5)
    water = mold.volume(one.on) * WATER[one.temperature] / 1000
    full = empty + water + chance.normal(0.6)  # a drop more, a small bubble
    readings = [
        ("empty_with_plates", str(read(empty, "0.1"))),
        ("full_with_plates", str(read(full, "0.1"))),
        ("temperature_c", str(one.temperature)),
    ]
    return braces(readings)


def measuring(mold: Mold, one: Calibration, chance: Chance) -> str:
    """Measure six diameters and three heights with a micrometer to 0.02 mm."""
    area = 3.141592653589793 / 4 * mold.across**2
    height = mold.volume(one.on) * 1000 / area
    across = [read(mold.across + chance.normal(0.03), "0.01") for _ in range(6)]
    tall = [read(height + chance.normal(0.03), "0.01") for _ in range(3)]
    diameters = ", ".join(str(value) for value in across)
    heights = ", ".join(str(value) for value in tall)
    return f"{{diameters: [{diameters}], heights: [{heights}]}}"


def mold_text(id: str) -> str:
    """The whole record of a mold."""
    mold = MOLDS[id]
    lines = [
        schema("mold", 1),
        "format: 1",
        "kind: mold",
        f"id: {id}",
        f"nominal: {mold.nominal}",
        "units: {mass: g, length: mm, volume: cm3}",
        "calibrations:",
    ]
    for one in CALIBRATIONS[id]:
        chance = Chance(f"{id} calibration {one.on}")
        mass = read(mold.weighs(one.on) + chance.normal(0.3), "1")
        lines += [
            f"  - {{on: {one.on}, by: {one.by}, next_due: {one.next_due}, "
            f"state: {one.state}, weighed_with: mold, mass: {mass},",
            f"     water: {filling(mold, one, chance)},",
            f"     dimensions: {measuring(mold, one, chance)}}}",
        ]
    return "\n".join(lines) + "\n"
