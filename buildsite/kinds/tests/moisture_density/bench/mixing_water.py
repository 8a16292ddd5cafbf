"""The soil that is left: how much lies in the pan, and the water that it takes."""

from decimal import Decimal

from buildsite.kinds.tests.moisture_density.bench.next_point import SeriesState, Target
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.estimates import (
    as_received,
    share_of_moist,
    soil_in_pan,
    water_added,
)
from buildsite.record.units import to_si
from buildsite.soil.phase import water_to_add
from buildsite.standards.cells import Cell
from buildsite.values import dataclass

LOOSEST = 1000.0
"""Compacted soil is denser than water: common practice. [kg/m³]"""

SPILLED = 1.10
"""Moist soil that a mold takes, over what it holds: what stands above the rim is cut
off. Common practice."""

LEAST_REUSED_A_KG = 7 * 0.45359237
"""Soil to begin method A with, where it is used again from point to point: 7 lb at
least, common practice. A pound is 0.453 592 37 kg (NIST SP 811)."""


@dataclass(frozen=True)
class Pan:
    """Moist soil at hand: its mass [kg] and water content [%], and what says so."""

    mass: float | None
    water_content: float | None
    mass_basis: str
    water_basis: str


@dataclass(frozen=True)
class WaterToAdd:
    """Water to add [kg; 1 kg is 1 L], below zero to let dry; per kg of moist soil."""

    mass: float | None
    per_kg: float | None


@dataclass(frozen=True)
class SoilSupply:
    """Whether the soil suffices: what there is, what is needed [kg], and by what."""

    there: float | None
    needed: float | None
    basis: str

    @property
    def enough(self) -> bool | None:
        """None where nobody can say."""
        if self.there is None or self.needed is None:
            return None
        return self.there >= self.needed


def pan_of(
    case: Test, state: SeriesState, mass: float | None, water: float | None
) -> Pan:
    """
    Say what lies in the pan.

    Parameters
    ----------
    case, state
        The test.
    mass, water
        As weighed [kg] and measured [%] just now, where they were.
    """
    guess, basis = (
        fresh_soil(case)
        if case.record.specimens == "separate" or not state.points
        else left_over(case)
    )
    content, source = (
        start_water(case)
        if case.record.specimens == "separate" or not state.points
        else last_water(state)
    )
    return Pan(
        mass=guess if mass is None else mass,
        water_content=content if water is None else water,
        mass_basis=basis if mass is None else "weighed now",
        water_basis=source if water is None else "measured now",
    )


def left_over(case: Test) -> tuple[float | None, str]:
    """What the last point left in the pan, used again: less its moisture specimens."""
    for i in reversed(range(len(case.record.points))):
        pan, added = soil_in_pan(case, i), water_added(case, i)
        if pan is None or added is None:
            continue
        taken = sum(moist_taken(case, k) for k in range(i, len(case.record.points)))
        more = [water_added(case, k) for k in range(i + 1, len(case.record.points))]
        water = sum(each for each in more if each is not None)
        basis = f"weighed for point {i + 1}, water added, moisture specimens taken"
        return pan + added + water - taken, basis
    return None, "no soil in the pan was weighed"


def moist_taken(case: Test, i: int) -> float:
    """Moist soil that went into the containers of a point. [kg]"""
    unit = case.record.units.moisture
    taken = [
        one.container_and_wet - one.container_mass
        for one in case.record.points[i].all_containers
        if one.container_and_wet is not None and one.container_mass is not None
    ]
    return to_si(sum(taken, Decimal(0)), unit) if unit is not None else 0.0


def fresh_soil(case: Test) -> tuple[float | None, str]:
    """What one specimen is made of: as the last one, else as the method has it."""
    for i in reversed(range(len(case.record.points))):
        pan = soil_in_pan(case, i)
        if pan is not None:
            return pan, f"as for point {i + 1}"
    cell = specimen_cell(case)
    return (cell.si, cell.basis) if cell is not None else (None, "not weighed")


def specimen_cell(case: Test) -> Cell | None:
    """What one specimen takes, by the method's row."""
    separate = case.record.specimens == "separate"
    return case.cell("specimen_mass" if separate else "sample_mass")


def last_water(state: SeriesState) -> tuple[float | None, str]:
    """Water content of the soil that was compacted last, and is used again."""
    last = max(state.points, key=lambda one: one.number)
    how = "measured" if last.measured else f"estimated from {last.basis}"
    return last.water_content, f"of point {last.number}, {how}"


def start_water(case: Test) -> tuple[float | None, str]:
    """Water content of soil that no water was added to yet."""
    for point in case.values.points:
        share = share_of_moist(case, point.number - 1)
        if point.water_content is not None and share is not None:
            start = point.water_content - share * (1 + point.water_content / 100)
            return max(start, 0.0), f"of point {point.number}, less the water added"
    found = as_received(case)
    back = case.record.dried_back
    how = "as dried back" if back is not None else "as received"
    return found, how if found is not None else "not known"


def water_for(pan: Pan, aim: Target | None) -> WaterToAdd | None:
    """
    Water that brings the pan to the target.

    With m the moist soil and w₀ its content, m / (1 + w₀/100) is dry; each point takes
    a hundredth of that in water. So 10 mL raise 1 kg of dry soil by one point.
    """
    if aim is None or pan.water_content is None:
        return None
    each = water_to_add(1.0, pan.water_content, aim.water_content)
    mass = None if pan.mass is None else each * pan.mass
    return WaterToAdd(mass, each)


def soil_for(case: Test, pan: Pan, more: int, left: float | None) -> SoilSupply:
    """
    Say whether the soil suffices for the points still to make.

    Parameters
    ----------
    case, pan
        The test, and what lies in its pan.
    more
        Points still to make.
    left
        Soil at hand as weighed now, where it was. [kg]
    """
    begun = any(point.wet_soil for point in case.values.points)
    if not more:
        return SoilSupply(left, None, "no more points are wanted")
    if case.record.specimens == "separate":
        cell = specimen_cell(case)
        if cell is None:
            return SoilSupply(left, None, "the method's row is silent")
        several = "1 specimen" if more == 1 else f"{more} specimens"
        basis = f"{several} of {cell} ({cell.basis})"
        return SoilSupply(left, cell.si * more, basis)
    there = pan.mass if left is None else left
    if not begun:
        return soil_to_begin(case, there)
    filled = max(point.wet_soil or 0.0 for point in case.values.points)
    needed = filled * SPILLED
    return SoilSupply(there, needed, "a mold filled above its rim (common practice)")


def soil_to_begin(case: Test, there: float | None) -> SoilSupply:
    """Soil to begin with, where it is used again."""
    cell, method = specimen_cell(case), case.method
    if method is not None and method.name == "A" and method.mold == "4 in":
        return SoilSupply(there, LEAST_REUSED_A_KG, "7 lb at least (common practice)")
    if cell is None:
        return SoilSupply(there, None, "the method's row is silent")
    return SoilSupply(there, cell.si, f"about {cell} ({cell.basis})")
