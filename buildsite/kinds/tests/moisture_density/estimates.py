"""Estimates of water contents and densities before drying, from the water added."""

from itertools import pairwise

from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.record.units import to_si
from buildsite.soil.phase import dry_density
from buildsite.soil.wetting import dry_mass
from buildsite.values import dataclass


@dataclass(frozen=True)
class Estimate:
    """One point, measured, or with its water content estimated from `basis`."""

    number: int
    water_content: float  # [%]
    wet_density: float | None  # [kg/m³]
    dry_density: float | None  # [kg/m³]
    measured: bool
    basis: str


def estimates(case: Test) -> tuple[Estimate, ...]:
    """Return every point whose water content is measured or can be estimated."""
    found: list[Estimate] = []
    known = water_contents(case)
    for point in case.values.points:
        water = known.get(point.number)
        if water is None or point.rejected:
            continue
        content, basis = water
        wet, measured = point.wet_density, not basis
        dry = point.dry_density if measured else None
        if dry is None and wet is not None:
            dry = dry_density(wet, content)
        found.append(Estimate(point.number, content, wet, dry, measured, basis))
    return tuple(found)


Known = dict[int, tuple[float, str]]
"""Water content [%] by point number, and what it was estimated from."""


def water_contents(case: Test) -> Known:
    """Return water contents, measured or estimated from the water added."""
    known: Known = {
        point.number: (point.water_content, "")
        for point in case.values.points
        if point.water_content is not None
    }
    if case.record.specimens == "separate":
        return known | {
            number: found
            for number, found in estimate_separate(case, known).items()
            if number not in known
        }
    return estimate_reused(case, known)


def estimate_reused(case: Test, known: Known) -> Known:
    """Estimate from point to point, for soil that is reused."""
    found = dict(known)
    numbers = [point.number for point in case.values.points]
    start = as_received(case)
    if numbers and numbers[0] not in found and start is not None:
        rise = rise_at(case, 0, start)
        if rise is not None:
            basis = as_received_basis(start)
            found[numbers[0]] = (start + rise, basis)
    for before, after in pairwise(numbers):
        if after in found or before not in found:
            continue
        rise = rise_at(case, after - 1, found[before][0])
        if rise is not None:
            basis = f"point {before} and the water added"
            found[after] = (found[before][0] + rise, basis)
    return found


def estimate_separate(case: Test, known: Known) -> Known:
    """Estimate for separate specimens of one soil."""
    found: Known = {}
    starts = [
        (water - share * (1 + water / 100), f"point {number} and the water added")
        for number, (water, _) in sorted(known.items())
        if (share := share_of_moist(case, number - 1)) is not None
    ]
    received = as_received(case)
    if not starts and received is not None:
        basis = as_received_basis(received)
        starts = [(received, basis)]
    if not starts:
        return found
    start, basis = starts[0]
    for point in case.values.points:
        rise = rise_at(case, point.number - 1, max(start, 0.0))
        if rise is not None:
            found[point.number] = (max(start, 0.0) + rise, basis)
    return found


def as_received_basis(water: float) -> str:
    """Write the basis of an estimate from the sample as received."""
    return f"the sample as received ({water:.1f} %) and the water added"


def share_of_moist(case: Test, i: int) -> float | None:
    """
    Return the water added to a specimen over its moist mass afterwards. [%]

    With m the soil before, a the water and w the content after, the dry mass is
    (m + a) / (1 + w/100), so that w before was w - a / (m + a) · (1 + w/100) · 100.
    """
    pan, added = soil_in_pan(case, i), water_added(case, i)
    if pan is None or added is None:
        return None
    return added / (pan + added) * 100


def as_received(case: Test) -> float | None:
    """Return the water content of the sample as received, unless dried since. [%]"""
    sample = case.inputs.get(SampleFacts, case.record.sample)
    if sample is None or sample.as_received_water_content is None:
        return None
    back = case.record.dried_back
    if back is not None:
        if back.to_water_content is None:
            return None
        return float(back.to_water_content)
    if case.record.preparation == "dry":
        return None
    return float(sample.as_received_water_content)


def rise_at(case: Test, i: int, before: float) -> float | None:
    """Return the rise of the water content by the water added for point `i`. [%]"""
    pan, added = soil_in_pan(case, i), water_added(case, i)
    if added == 0:
        return 0.0
    if pan is None or added is None:
        return None
    return added / dry_mass(pan, before) * 100


def soil_in_pan(case: Test, i: int) -> float | None:
    """Return the soil in the pan before a point's water, where weighed. [kg]"""
    mass, unit = case.record.points[i].specimen_mass, case.record.units.compacted
    return to_si(mass, unit) if mass is not None and unit is not None else None


def water_added(case: Test, i: int) -> float | None:
    """Return the water added for a point. [kg; 1 mL is 1 g]"""
    points = case.record.points
    this = points[i].water_added_ml
    if this is None:
        return None
    whole = case.record.water_added == "cumulative"
    if not whole or i == 0 or case.record.specimens == "separate":
        return float(this) / 1000
    last = points[i - 1].water_added_ml
    return None if last is None else float(this - last) / 1000
