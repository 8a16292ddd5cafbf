"""
The apparatus of the fill as it truly is, and what the records say of it.

- Sand runs with a bulk density of its own bag, found in a container of known volume
  three times each fortnight. In a hole it lies denser or looser by 0.3 % (standard
  deviation; common practice).
- The gauge reads wet density 0.4 % high, and water 0.6 lb/ft³ low in the clay, whose
  bound water it does not see alike; both with a scatter from reading to reading
  (0.4 lb/ft³ and 0.3 lb/ft³; common practice). The offset of the water was found
  before, for each soil, against the oven, and is added here. Its standard counts fall
  slowly, as its source does, and scatter by 0.3 % and 0.6 %.
- A drive cylinder is pushed in and trimmed; its soil is denser by 0.2 % for that.
- Balances and containers are those of the laboratory.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import exp

from tests.demo.laboratory import Chance, read
from tests.demo.write import workday

SAND_NOISE = 0.003  # share of the sand's density in a hole
CONE = 1478.0  # sand that fills cone and plate [g]
CONTAINER = 2831.0  # volume of the container for the sand [cm³]

BAGS = (
    # bag, the day its sand was found, true bulk density [g/cm³]
    ("14", date(2026, 10, 30), 1.438),
    ("15", date(2026, 11, 12), 1.446),
)
"""Each bag serves a fortnight at most."""

CYLINDER_VOLUME, CYLINDER_MASS = 943.2, 1021.4  # [cm³], [g]
CYLINDER_PUSHED = 1.002

GAUGE_DENSITY, GAUGE_WATER = 1.004, -0.6  # share; lb/ft³
GAUGE_NOISE = (0.4, 0.3)  # wet density, water [lb/ft³]
COUNTS = (2412.0, 684.0)  # density, water, on the first day
HALF_LIFE = (
    30.1 * 365,
    432.6 * 365,
)  # days: Cs-137, Am-241 (nuclear data; from memory)
COUNT_NOISE = (0.003, 0.006)
FIRST_COUNTS = date(2026, 10, 26)


def bag_of(on: date) -> tuple[str, float]:
    """Bag in use on a day, and its true bulk density [g/cm³]."""
    bag, _, density = [one for one in BAGS if one[1] < on][-1]
    return bag, density


def counts(on: date) -> tuple[int, int]:
    """Standard counts of a day: density, water."""
    chance = Chance(f"G-01 counts {on}")
    days = (on - FIRST_COUNTS).days
    found = [
        count * exp(-0.693147 * days / life) * (1 + chance.normal(noise))
        for count, life, noise in zip(COUNTS, HALF_LIFE, COUNT_NOISE, strict=True)
    ]
    return round(found[0]), round(found[1])


def gauge_days(last: date) -> list[date]:
    """Days on which the gauge was counted: each working day."""
    on, found = FIRST_COUNTS, []
    while on <= last:
        found.append(on)
        on = workday(on, 1)
    return found


@dataclass(frozen=True)
class Hole:
    """What was read of a test hole: apparatus before and after, wet soil [g]."""

    bag: str
    before: Decimal
    after: Decimal
    soil: Decimal


def dug(id: str, on: date, wet_density: float, volume: float) -> Hole:
    """Dig a hole of about a volume [cm³], fill it with sand, weigh the soil."""
    chance = Chance(f"{id} hole")
    bag, sand = bag_of(on)
    hole = volume * (1 + chance.between(-0.06, 0.06))
    run = CONE + hole * sand * (1 + chance.normal(SAND_NOISE))
    before = 7150 + chance.between(-250, 250)
    return Hole(
        bag,
        read(before + chance.normal(0.3), "1"),
        read(before - run + chance.normal(0.3), "1"),
        read(hole * wet_density / 1000 + chance.normal(0.5), "1"),
    )


def pushed(id: str, wet_density: float) -> Decimal:
    """The cylinder with its soil [g]."""
    chance = Chance(f"{id} cylinder")
    soil = CYLINDER_VOLUME * wet_density / 1000 * CYLINDER_PUSHED
    return read(CYLINDER_MASS + soil + chance.normal(0.8), "1")


def gauge_readings(
    id: str, wet_density: float, water: float, count: int = 2
) -> list[tuple[Decimal, Decimal]]:
    """Readings turned by 90°: wet density and mass of water by volume [lb/ft³]."""
    found = []
    for number in range(count):
        chance = Chance(f"{id} reading {number}")
        density = wet_density * GAUGE_DENSITY + chance.normal(GAUGE_NOISE[0])
        seen = water + GAUGE_WATER + chance.normal(GAUGE_NOISE[1])
        found.append((read(density, "0.1"), read(seen, "0.1")))
    return found


def sand_in_container(bag: str, number: int, density: float) -> Decimal:
    """One determination: the sand that fills the container [g]."""
    chance = Chance(f"bag {bag} determination {number}")
    return read(CONTAINER * density * (1 + chance.normal(0.0015)), "1")
