"""Mixing: the soil in the pan, the water to add, and the soil supply."""

from decimal import Decimal
from math import fsum

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
"""Least density of compacted soil: common practice. [kg/m³]"""

SPILLED = 1.10
"""Moist soil used over the soil in the mold, for trimming: common practice."""


@dataclass(frozen=True)
class Pan:
    """
    Moist soil in the pan: mass [kg] and water content [%], with their bases.

    `weighed`: the mass is of a weighing, now or at an earlier point; `now` and
    `water_now`: mass and water content are of this moment.
    """

    mass: float | None
    water_content: float | None
    mass_basis: str
    water_basis: str
    weighed: bool = False
    now: bool = False
    water_now: bool = False


@dataclass(frozen=True)
class WaterToAdd:
    """Water to add, in total [kg] and per kg of moist soil; negative: dry the soil."""

    mass: float | None
    per_kg: float | None


@dataclass(frozen=True)
class SoilSupply:
    """The soil supply: soil available, soil needed [kg], and the basis."""

    there: float | None
    needed: float | None
    basis: str

    @property
    def enough(self) -> bool | None:
        """Return whether the soil is enough; None where not known."""
        if self.there is None or self.needed is None:
            return None
        return self.there >= self.needed


def pan_of(
    case: Test, state: SeriesState, mass: float | None, water: float | None
) -> Pan:
    """Return the soil in the pan; `mass` [kg] and `water` [%] as measured now."""
    fresh = case.record.specimens == "separate" or not state.points
    guess, basis = fresh_soil(case) if fresh else left_over(case)
    content, source = start_water(case) if fresh else last_water(state)
    return Pan(
        mass=guess if mass is None else mass,
        water_content=content if water is None else water,
        mass_basis=basis if mass is None else "weighed now",
        water_basis=source if water is None else "measured now",
        weighed=mass is not None or (not fresh and guess is not None),
        now=mass is not None,
        water_now=water is not None,
    )


def is_possible(case: Test, pan: Pan) -> bool:
    """
    Return whether the pan holds a possible amount of soil: else the unit is another.

    It fills the mold of the method once at least, and 20 times at most.
    """
    volume = case.method.mold_volume_m3 if case.method is not None else None
    if volume is None or pan.mass is None:
        return True
    return volume * LOOSEST <= pan.mass <= volume * DENSEST * MOST_FILLED


DENSEST, MOST_FILLED = 3000.0, 20
"""Density of the densest soil [kg/m³], and molds filled from a pan at most: common
practice."""


def left_over(case: Test) -> tuple[float | None, str]:
    """Return the reused soil left in the pan, less the moisture specimens."""
    for i in reversed(range(len(case.record.points))):
        pan, added = soil_in_pan(case, i), water_added(case, i)
        if pan is None or added is None:
            continue
        taken = fsum(moist_taken(case, k) for k in range(i, len(case.record.points)))
        more = [water_added(case, k) for k in range(i + 1, len(case.record.points))]
        water = fsum(each for each in more if each is not None)
        basis = f"weighed for point {i + 1}, plus water, less moisture specimens"
        return pan + added + water - taken, basis
    return None, "soil in the pan not weighed"


def moist_taken(case: Test, i: int) -> float:
    """Return the moist soil in the containers of a point. [kg]"""
    unit = case.record.units.moisture
    taken = [
        one.container_and_wet - one.container_mass
        for one in case.record.points[i].all_containers
        if one.container_and_wet is not None and one.container_mass is not None
    ]
    return to_si(sum(taken, Decimal(0)), unit) if unit is not None else 0.0


def fresh_soil(case: Test) -> tuple[float | None, str]:
    """Return the soil for one specimen: as for the last one, else by the method."""
    for i in reversed(range(len(case.record.points))):
        pan = soil_in_pan(case, i)
        if pan is not None:
            return pan, f"as for point {i + 1}"
    cell = specimen_cell(case)
    return (cell.si, cell.short_basis) if cell is not None else (None, "not weighed")


def specimen_cell(case: Test) -> Cell | None:
    """Return the method's cell for the soil of a specimen or sample."""
    if case.record.specimens == "separate":
        return case.cell("specimen_mass")
    if case.method is not None and case.method.may_reuse_soil == "no":
        return None  # its sample is for new soil at each point
    return case.cell("sample_mass")


def last_water(state: SeriesState) -> tuple[float | None, str]:
    """Return the water content of the soil that was compacted last."""
    last = max(state.points, key=lambda one: one.number)
    how = "measured" if last.measured else f"estimated from {last.basis}"
    return last.water_content, f"point {last.number}, {how}"


def start_water(case: Test) -> tuple[float | None, str]:
    """Return the water content of the soil before water was added."""
    for point in case.values.points:
        share = share_of_moist(case, point.number - 1)
        if point.water_content is not None and share is not None:
            start = point.water_content - share * (1 + point.water_content / 100)
            return max(start, 0.0), f"point {point.number} less the water added"
    found = as_received(case)
    back = case.record.dried_back
    how = "as dried back" if back is not None else "as received"
    return found, how if found is not None else "not known"


def water_for(pan: Pan, aim: Target | None) -> WaterToAdd | None:
    """Return the water that brings the pan to the target."""
    if aim is None or pan.water_content is None:
        return None
    each = water_to_add(1.0, pan.water_content, aim.water_content)
    mass = None if pan.mass is None else each * pan.mass
    return WaterToAdd(mass, each)


def soil_for(case: Test, pan: Pan, more: int, left: float | None) -> SoilSupply:
    """Return the supply for `more` points; `left` [kg] is the soil weighed now."""
    begun = any(point.wet_soil for point in case.values.points)
    if not more:
        return SoilSupply(left, None, "no more points are required")
    if case.record.specimens == "separate":
        cell = specimen_cell(case)
        if cell is None:
            return SoilSupply(left, None, "the method states none")
        several = "1 specimen" if more == 1 else f"{more} specimens"
        basis = f"{several} of {cell}; {cell.short_basis}"
        return SoilSupply(left, cell.si * more, basis)
    weighed = pan.weighed and is_possible(case, pan)
    there = left if left is not None else pan.mass if weighed else None
    if not begun:
        return soil_to_begin(case, there)
    filled = max(point.wet_soil or 0.0 for point in case.values.points)
    needed = filled * SPILLED
    return SoilSupply(there, needed, "a mold filled above the rim; common practice")


def soil_to_begin(case: Test, there: float | None) -> SoilSupply:
    """Return the soil needed to begin, where it is reused."""
    cell = specimen_cell(case)
    if cell is None:
        return SoilSupply(there, None, "the method states none")
    return SoilSupply(there, cell.si, f"about {cell}; {cell.short_basis}")
