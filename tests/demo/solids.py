"""
Specific gravities, worked forward: pycnometers as they truly are, and soil in them.

A pycnometer has a true mass and a true volume. A filling with water is off by a bead at
the mark, standard deviation 0.02 mL (common practice). Soil of a true specific gravity
G, referred to water of 20 °C, displaces its dry mass over G times the density of water
at 20 °C; a hundredth of a millilitre or two of air stays in it.
"""

from dataclasses import dataclass
from datetime import date

from tests.demo.bench import braces
from tests.demo.laboratory import BALANCES, WATER, Chance, read
from tests.demo.soil import SOILS
from tests.demo.write import OVENS, schema, workday

BEAD = 0.02  # mL
AIR = (0.01, 0.02)  # mL, least and most


@dataclass(frozen=True)
class Pycnometer:
    """A flask: true mass [g] and volume [mL], and when it was filled."""

    mass: float
    volume: float
    filled: date
    by: str
    next_due: date


PYCNOMETERS = {
    "PY-01": Pycnometer(98.374, 249.618, date(2026, 9, 2), "T04", date(2027, 9, 2)),
    "PY-02": Pycnometer(101.126, 249.884, date(2026, 9, 2), "T04", date(2027, 9, 2)),
}
FILLED_AT = (21, 22, 22, 23, 24)
"""Temperature of the water of each filling [°C]."""


@dataclass(frozen=True)
class Solids:
    """A specific gravity as planned: soil in each pycnometer [g], water [°C]."""

    id: str
    project: str
    sample: str
    standard: str
    on: date
    people: tuple[str, str]
    soil: tuple[float, ...]
    water: int

    @property
    def file(self) -> str:
        """Its path in the archive."""
        return f"records/{self.project}/tests/{self.id}.yaml"


GRAVITIES = (
    Solids(
        id="AQ-0019",
        project="alder-quay",
        sample="AQ-S07",
        standard='designation: AASHTO T 100, edition: "15"',
        on=date(2026, 10, 13),
        people=("T07", "T04"),
        soil=(40.0, 41.0),
        water=23,
    ),
)


def pycnometer_text(id: str) -> str:
    """The whole record of a pycnometer."""
    one, chance, balance = PYCNOMETERS[id], Chance(id), BALANCES["B-03"]
    lines = [
        schema("pycnometer", 1),
        "format: 1",
        "kind: pycnometer",
        f"id: {id}",
        "name: volumetric flask",
        "capacity: 250",
        "units: {mass: g, volume: cm3}",
        "calibrations:",
        f"  - on: {one.filled}",
        f"    by: {one.by}",
        f"    next_due: {one.next_due}",
        "    state: as found",
        f"    mass: {balance.weigh(one.mass, chance)}",
        "    fillings:",
    ]
    for at in FILLED_AT:
        water = (one.volume + chance.normal(BEAD)) * WATER[at] / 1000
        full = balance.weigh(one.mass + water, chance)
        warm = read(at + chance.normal(0.02), "0.1")
        lines.append(f"      - {{full: {full}, temperature_c: {warm}}}")
    return "\n".join(lines) + "\n"


def determination(test: Solids, id: str, soil: float) -> str:
    """One pycnometer with soil and water."""
    one, chance = PYCNOMETERS[id], Chance(f"{test.id} {id}")
    balance, true = BALANCES["B-03"], SOILS[test.sample].gravity
    dry = soil + chance.between(0.0, 1.0)
    solid = dry / (true * WATER[20] / 1000)
    room = one.volume - solid - chance.between(*AIR) + chance.normal(BEAD)
    both = one.mass + dry + room * WATER[test.water] / 1000
    return braces(
        [
            ("pycnometer", id),
            ("pycnometer_soil_and_water", str(balance.weigh(both, chance))),
            ("temperature_c", str(read(test.water + chance.normal(0.02), "0.1"))),
            ("dry_soil", str(balance.weigh(dry, chance))),
        ]
    )


def gravity_text(test: Solids) -> str:
    """The whole record of a specific gravity."""
    first, last = test.people
    dried = workday(test.on, 1)
    pairs = zip(PYCNOMETERS, test.soil, strict=True)
    lines = [
        schema("specific-gravity", 2),
        "format: 1",
        "kind: specific-gravity",
        f"id: {test.id}",
        f"project: {test.project}",
        f"sample: {test.sample}",
        f"standard: {{{test.standard}, method: none, variant: none}}",
        "specimen: moist",
        "processed_through: No. 4",
        f"prepared: {{on: {test.on}, by: {first}}}",
        "deaired: {by: boiling, hours: 0.5}",
        f"tested: {{on: {test.on}, by: {first}}}",
        f"dried: {{on: {dried}, by: {last}}}",
        f"entered: {{by: {first}, checked_by: {last}}}",
        f"reviewed: {{on: {workday(dried, 1)}, by: E02}}",
        "status: complete",
        "units: {mass: g}",
        f"equipment: {{balance: B-03, oven: {OVENS[test.project]}, sieve: S-04}}",
        "determinations:",
        *(f"  - {determination(test, id, soil)}" for id, soil in pairs),
    ]
    return "\n".join(lines) + "\n"


def texts() -> dict[str, str]:
    """Every file that is generated here, by its path in the archive."""
    flasks = {f"records/equipment/{id}.yaml": pycnometer_text(id) for id in PYCNOMETERS}
    return flasks | {test.file: gravity_text(test) for test in GRAVITIES}
