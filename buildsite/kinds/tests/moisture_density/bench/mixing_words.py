"""The water to add and the soil in the pan, in words."""

from collections.abc import Iterator
from dataclasses import replace

from buildsite.kinds.tests.moisture_density.bench.mixing_water import (
    LOOSEST,
    Pan,
    WaterToAdd,
    is_possible,
)
from buildsite.kinds.tests.moisture_density.bench.trend import ExpectedOptimum
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.rules.common import percent, quantity_word
from buildsite.record.units import UNITS, from_si, to_si
from buildsite.soil.phase import water_to_add

KILO = 1000
"""Grams in a kilogram, and milliliters of water: 1 mL is taken as 1 g."""


def water_line(case: Test, pan: Pan, water: WaterToAdd | None) -> str:
    """Return the water to add, in milliliters."""
    if water is None or water.per_kg is None or pan.water_content is None:
        word = quantity_word(case, "water_content")
        return (
            f"Water to add: 10 mL per percent of {word} per kg of dry soil. "
            f"For the amount, give the {word} of the soil with --water-content."
        )
    at = f"{percent(pan.water_content)} ({pan.water_basis})"
    whole = water.mass is not None and is_possible(case, pan)
    if water.per_kg < 0:
        amount = f"{-water.per_kg * KILO:.0f} g for each kg"
        if whole and water.mass is not None and pan.now:
            amount = f"{-water.mass * KILO:.0f} g, or {amount}"
        return (
            f"The soil at {at} is too wet. Use soil that was not wetted, or dry "
            f"this soil by {amount}."
        )
    if water.mass is None or pan.mass is None or not whole:
        total = (
            "" if pan.now else " For the total, give the soil in the pan with --pan."
        )
        return (
            f"Water to add: {water.per_kg * KILO:.0f} mL for each kg of wet soil at "
            f"{at}.{total}"
        )
    return (
        f"Water to add: {water.mass * KILO:.0f} mL, to {pan.mass:.2f} kg of soil "
        f"({pan.mass_basis}) at {at}."
    )


def percent_lines(case: Test, pan: Pan, best: ExpectedOptimum | None) -> Iterator[str]:
    """Yield the water for one percent, of a pan that was weighed without a target."""
    given = pan.now and pan.water_now and is_possible(case, pan)
    held, water = pan.mass, pan.water_content
    if not given or held is None or water is None:
        return
    one = water_to_add(held, water, water + 1)
    word = quantity_word(case, "water_content")
    yield (
        f"Each percent of {word} takes {one * KILO:.0f} mL in {held:.2f} kg of "
        f"soil at {percent(water)}. For a target, give --aim."
    )
    if best is not None and best.water_content > water:
        whole = water_to_add(held, water, best.water_content)
        yield f"To {percent(best.water_content)}, it takes {whole * KILO:.0f} mL."


def impossible_pan_lines(case: Test, pan: Pan) -> Iterator[str]:
    """Doubt a pan weighed now that is too little or too much: perhaps another unit."""
    volume = case.method.mold_volume_m3 if case.method is not None else None
    unit = case.record.units.compacted or "kg"
    if not pan.now or volume is None or pan.mass is None or is_possible(case, pan):
        return
    much = "not enough" if pan.mass < volume * LOOSEST else "too much"
    read = f"{from_si(pan.mass, unit):.10g}"
    yield (
        f"Check the pan: {read} {UNITS[unit].shown} of soil is {much} for the mold "
        f"({volume * 1e6:.0f} cm³). --pan is read in {unit}, as the mold's masses."
        f"{meant(case, pan, float(read), unit)}"
    )


def meant(case: Test, pan: Pan, read: float, unit: str) -> str:
    """Return what the pan would be in another unit, if that is possible."""
    for other in ("kg", "g", "lb"):
        value = to_si(read, other)
        if other != unit and is_possible(case, replace(pan, mass=value)):
            shown = UNITS[other].shown
            there = f"{from_si(value, unit):.{0 if unit == 'g' else 2}f}"
            return f" For {read:.10g} {shown}, give --pan {there}."
    return ""


def mass(value: float, unit: str) -> str:
    """
    Write a mass in a unit, as finely as soil in a pan is weighed.

    >>> mass(2.26796, "g"), mass(2.26796, "lb")
    ('2268 g', '5.00 lb')
    """
    return f"{from_si(value, unit):.{0 if unit == 'g' else 2}f} {UNITS[unit].shown}"
