"""
A technician's day, worked forward: from a planned water content to readings.

The order is that of the bench. Water is measured out to 5 mL and a little of it dries
off in mixing; a specimen comes out a little denser or looser than the soil's model
says (standard deviation 0.4 lb/ft³, about the single-operator figure of ASTM D698;
from memory); what goes into a container is a little wetter or drier than the rest
(0.15 points; common practice); balances show their last place. Nothing is fitted and
no reading is looked at again.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from decimal import Decimal
from math import exp

from tests.demo.laboratory import BALANCES, MOLDS, Balance, Chance, container_mass
from tests.demo.plans import METHODS, Mishap, Test
from tests.demo.soil import POUND_PER_CUBIC_FOOT, SOILS

DENSITY_NOISE = 0.4 * POUND_PER_CUBIC_FOOT  # kg/m³
WATER_NOISE = 0.15  # points
MIXING_LOSS = (0.03, 0.01)  # share of the water added: mean, deviation
CLEARING_LOSS = 0.005  # share of the soil lost each time it is broken up
DRYING_HOURS = 1.1  # in which the oven takes all but 1/e of the water

Field = tuple[str, str]


@dataclass(frozen=True)
class Mixed:
    """Soil ready to compact: its water content [%], and what was done to get there."""

    water: float
    added: int  # mL
    taken: Decimal | None  # moist soil weighed out, in the sheet's unit


def scale(test: Test) -> Balance:
    """Balance for the mold."""
    return BALANCES["B-02" if test.unit == "lb" else "B-01"]


def fine_scale(test: Test) -> Balance:
    """Balance for the containers: pans are too heavy for the finer one."""
    return BALANCES["B-04" if test.containers[0][0] == "P" else "B-03"]


def mishap(test: Test, number: int) -> Mishap:
    """What went wrong at a point."""
    found = [one for one in test.mishaps if one.point == number]
    return found[0] if found else Mishap(number)


def stays(chance: Chance) -> float:
    """Share of the added water that mixing leaves in the soil."""
    return 1 - MIXING_LOSS[0] - chance.normal(MIXING_LOSS[1])


def to_five(volume: float) -> int:
    """To what the cylinder is filled [mL]."""
    return max(0, 5 * round(volume / 5))


def separate(test: Test) -> Iterator[Mixed]:
    """Mix fresh soil for each point."""
    plan = test.water
    for number, target in enumerate(test.water.targets, start=1):
        chance = Chance(f"{test.id} mixing {number}")
        grams = plan.soil + chance.between(-20, 20)
        dry = grams / (1 + plan.before / 100)
        added = to_five(dry * (target - plan.before) / 100)
        water = plan.before + 100 * added * stays(chance) / dry
        yield Mixed(water, added, scale(test).weigh(grams, chance))


def reused(test: Test) -> Iterator[Mixed]:
    """Bring the same soil up again and again; the caller says when it is enough."""
    plan = test.water
    moist, water, target = plan.soil, plan.before, test.water.targets[0]
    number = 0
    while True:
        number += 1
        chance = Chance(f"{test.id} mixing {number}")
        dry = moist / (1 + water / 100)
        added = to_five(dry * (target - water) / 100)
        water += 100 * added * stays(chance) / dry
        yield Mixed(water, added, None)
        taken = sum(METHODS[test.method].moist_specimen) / 2 * test.containers[1]
        moist = (dry * (1 + water / 100) - taken) * (1 - CLEARING_LOSS)
        # A point that was lost is made again, without more water.
        target += 0.0 if mishap(test, number).lost else plan.step


def mold_mass(test: Test) -> Decimal:
    """The empty mold as weighed for this test."""
    grams = MOLDS[test.mold].weighs(test.on)
    return scale(test).weigh(grams, Chance(f"{test.id} mold"))


def mold_and_wet_soil(test: Test, number: int, water: float) -> Decimal:
    """The mold, filled, struck off and weighed."""
    chance = Chance(f"{test.id} compaction {number}")
    soil, mold = SOILS[test.sample], MOLDS[test.mold]
    stated = soil.dry_density(METHODS[test.method].effort, water)
    dry = (stated + chance.normal(DENSITY_NOISE)) * (1 - mishap(test, number).lost)
    wet = dry * (1 + soil.holds(water) / 100)
    return scale(test).weigh(
        mold.weighs(test.on) + wet / 1000 * mold.volume(test.on), chance
    )


def container(test: Test, number: int, which: int, water: float) -> list[Field]:
    """One container of a point: empty, with wet soil, after the oven."""
    letter, count = test.containers[0][:1], test.containers[1]
    first = int(test.containers[0].lstrip("P"))
    index = first + (number - 1) * count + which
    name = f"P{index:02}" if letter == "P" else f"{index:02}"
    chance = Chance(f"{test.id} container {number} {which}")
    balance, empty = fine_scale(test), container_mass(name)
    wet = chance.between(*METHODS[test.method].moist_specimen)
    dry = wet / (
        1 + (SOILS[test.sample].holds(water) + chance.normal(WATER_NOISE)) / 100
    )
    fields = [
        ("container", f'"{name}"'),
        ("container_mass", str(balance.weigh(empty, chance))),
        ("container_and_wet", str(balance.weigh(empty + wet, chance))),
    ]
    if in_oven(test, number):
        return fields
    left = [exp(-hours / DRYING_HOURS) for hours in test.oven_hours] or [0.0]
    masses = [
        balance.weigh(empty + dry + (wet - dry) * share, chance) for share in left
    ]
    listed = ", ".join(str(one) for one in masses)
    written = listed if len(masses) == 1 else f"[{listed}]"
    return [*fields, ("container_and_dry", written)]


def in_oven(test: Test, number: int) -> bool:
    """Whether a point was compacted a day later and is not yet dry."""
    return number > len(test.water.targets) - test.undried and test.undried > 0


def compacted_at(test: Test, number: int) -> datetime:
    """When a point's turn came: every 25 minutes, from nine or after lunch."""
    day = test.on + timedelta(days=1 if in_oven(test, number) else 0)
    same_day = test.water.stood_hours and not test.overnight
    start = time(12, 40) if same_day else time(9)
    return datetime.combine(day, start) + timedelta(minutes=25 * (number - 1))


def braces(fields: list[Field]) -> str:
    """Write one mapping on a line."""
    return "{" + ", ".join(f"{key}: {value}" for key, value in fields) + "}"


def point(test: Test, number: int, mixed: Mixed, filled: Decimal) -> str:
    """One line of the sheet."""
    fields: list[Field] = [("water_added_ml", str(mixed.added))]
    if mixed.taken is not None:
        fields.append(("specimen_mass", str(mixed.taken)))
    if test.water.stood_hours:
        stood = timedelta(minutes=round(test.water.stood_hours * 60))
        wetted = compacted_at(test, number) - stood
        fields.append(("wetted_at", f"{wetted:%Y-%m-%dT%H:%M}"))
        fields.append(("compacted_at", f"{compacted_at(test, number):%Y-%m-%dT%H:%M}"))
    if in_oven(test, number):
        day = compacted_at(test, number).date()
        fields.append(("compacted", f"{{on: {day}, by: {test.people[0]}}}"))
    fields.append(("mold_and_wet_soil", str(filled)))
    found = [
        container(test, number, which, mixed.water)
        for which in range(test.containers[1])
    ]
    if len(found) == 1:
        fields += found[0]
    else:
        listed = ", ".join(braces(one) for one in found)
        fields.append(("containers", f"[{listed}]"))
    if mixed.water >= test.bleeding_from:
        fields.append(("bleeding", "yes"))
    why = mishap(test, number).rejected
    if why:
        fields.append(("rejected", f'{{by: {test.reviewer}, reason: "{why}"}}'))
    return braces(fields)


def points(test: Test) -> list[str]:
    """Every line of the sheet, without what was judged afterwards."""
    lines: list[str] = []
    last = Decimal(0)
    mixes = separate(test) if test.specimens == "separate" else reused(test)
    for number, mixed in enumerate(mixes, start=1):
        filled = mold_and_wet_soil(test, number, mixed.water)
        lines.append(point(test, number, mixed, filled))
        # Soil that is brought up step by step: on until the wet mass falls.
        if (
            test.specimens == "reused"
            and filled < last
            and not mishap(test, number).lost
        ):
            break
        last = filled
    return lines
