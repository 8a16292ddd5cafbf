"""Water contents and densities before the oven, from the water added."""

from itertools import pairwise

from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.record.units import to_si
from buildsite.soil.phase import dry_density
from buildsite.soil.wetting import dry_mass
from buildsite.values import dataclass


@dataclass(frozen=True)
class Estimate:
    """
    One point as far as it is known.

    Where its water content was not `measured`, it follows from `basis`, in words.
    """

    number: int
    water_content: float  # [%]
    wet_density: float | None  # [kg/m³]
    dry_density: float | None  # [kg/m³]
    measured: bool
    basis: str


def estimates(case: Test) -> tuple[Estimate, ...]:
    """Every point whose water content is measured or can be estimated."""
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
"""Water content by number of the point, and what it was estimated from. [%]"""


def water_contents(case: Test) -> Known:
    """Measured water contents, and from them and the water added those of the rest."""
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
    """Estimate from point to point, the same soil wetted again and again."""
    found = dict(known)
    numbers = [point.number for point in case.values.points]
    start = as_received(case)
    if numbers and numbers[0] not in found and start is not None:
        rise = rise_at(case, 0, start)
        if rise is not None:
            basis = f"the sample's {start:.1f} % as received, and the water added"
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
    """Estimate specimens of one soil, each wetted by itself."""
    found: Known = {}
    starts = [
        (water - share * (1 + water / 100), f"point {number} and the water added")
        for number, (water, _) in sorted(known.items())
        if (share := share_of_moist(case, number - 1)) is not None
    ]
    received = as_received(case)
    if not starts and received is not None:
        basis = f"the sample's {received:.1f} % as received, and the water added"
        starts = [(received, basis)]
    if not starts:
        return found
    start, basis = starts[0]
    for point in case.values.points:
        rise = rise_at(case, point.number - 1, max(start, 0.0))
        if rise is not None:
            found[point.number] = (max(start, 0.0) + rise, basis)
    return found


def share_of_moist(case: Test, i: int) -> float | None:
    """
    Water added to a specimen, over its moist mass after that. [%]

    With m the soil before, a the water and w the content after, the dry mass is
    (m + a) / (1 + w/100), so that w before was w - a / (m + a) · (1 + w/100) · 100.
    """
    pan, added = soil_in_pan(case, i), water_added(case, i)
    if pan is None or added is None:
        return None
    return added / (pan + added) * 100


def as_received(case: Test) -> float | None:
    """Water content of the sample as it came, unless it was dried since. [%]"""
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
    """How far the water brought the soil to point `i`, up from a water content. [%]"""
    pan, added = soil_in_pan(case, i), water_added(case, i)
    if added == 0:
        return 0.0
    if pan is None or added is None:
        return None
    return added / dry_mass(pan, before) * 100


def soil_in_pan(case: Test, i: int) -> float | None:
    """Soil in the pan before a point's water, where it was weighed. [kg]"""
    mass, unit = case.record.points[i].specimen_mass, case.record.units.compacted
    return to_si(mass, unit) if mass is not None and unit is not None else None


def water_added(case: Test, i: int) -> float | None:
    """Water that went in for a point. [kg; 1 mL is 1 g]"""
    points = case.record.points
    this = points[i].water_added_ml
    if this is None:
        return None
    whole = case.record.water_added == "cumulative"
    if not whole or i == 0 or case.record.specimens == "separate":
        return float(this) / 1000
    last = points[i - 1].water_added_ml
    return None if last is None else float(this - last) / 1000
