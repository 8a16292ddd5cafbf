"""What `next` says: where the test stands, and what to do, as lines and as JSON."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from buildsite.kinds.bench_spec import Advice, EarlierMean, Given
from buildsite.kinds.tests.moisture_density.bench.mixing_water import (
    LOOSEST,
    Pan,
    SoilSupply,
    WaterToAdd,
    pan_of,
    soil_for,
    water_for,
)
from buildsite.kinds.tests.moisture_density.bench.next_point import (
    SeriesState,
    Target,
    series_state,
    target,
)
from buildsite.kinds.tests.moisture_density.bench.trend import ExpectedOptimum
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.rules.common import (
    density,
    percent,
    soil_of,
)
from buildsite.record.units import UNITS, from_si, to_si
from buildsite.values import dataclass

KILO = 1000
"""Grams in a kilogram; millilitres of water in one, for 1 mL is taken for 1 g."""


@dataclass(frozen=True)
class Weighed:
    """What was weighed and measured just now: soil in the pan and at hand [kg, %]."""

    pan: float | None = None
    water_content: float | None = None
    left: float | None = None
    aim: float | None = None


@dataclass(frozen=True)
class NextSteps:
    """Everything that is said of the next point."""

    expected: ExpectedOptimum | None
    state: SeriesState
    aim: Target | None
    pan: Pan
    water: WaterToAdd | None
    soil: SoilSupply


def advise(case: Test, given: Given, earlier: EarlierMean) -> Advice:
    """Say what to do next, in lines to read and as data in SI."""
    steps = next_steps(case, expected_optimum(case, earlier), weighed(case, given))
    return Advice(tuple(advice_lines(case, steps)), as_json(case.record.id, steps))


def weighed(case: Test, given: Given) -> Weighed:
    """Take what was given to SI: masses are in `units.compacted`."""
    unit = case.record.units.compacted or "kg"

    def mass(name: str) -> float | None:
        value = given.get(name)
        return None if value is None else to_si(value, unit)

    now = mass("pan"), given.get("water_content"), mass("left"), given.get("aim")
    return Weighed(*now)


def expected_optimum(case: Test, earlier: EarlierMean) -> ExpectedOptimum | None:
    """Return the optimum to expect: of earlier tests, else typical of the class."""
    if case.method is None:
        return None
    mean = earlier("optimum_water_content")
    if mean is not None:
        return ExpectedOptimum(*mean)
    soil, effort = soil_of(case), case.method.effort
    band = soil.water_content(effort) if soil is not None else None
    if soil is None or band is None:
        return None
    low, high = band
    basis = soil.basis("water_content", effort)
    return ExpectedOptimum(
        (low + high) / 2,
        f"typical of {soil.symbol} at {effort} effort, {low:g} to {high:g} % ({basis})",
    )


def next_steps(case: Test, expected: ExpectedOptimum | None, now: Weighed) -> NextSteps:
    """Work out what to do next."""
    state = series_state(case, expected)
    aim = target(case, state) if now.aim is None else Target(now.aim, "as asked")
    pan = pan_of(case, state, now.pan, now.water_content)
    least = case.method.least_points if case.method is not None else 0
    more = max(least - specimens_compacted(case), 1 if aim is not None else 0)
    return NextSteps(
        expected=expected,
        state=state,
        aim=aim,
        pan=pan,
        water=water_for(pan, aim),
        soil=soil_for(case, pan, more, now.left),
    )


def specimens_compacted(case: Test) -> int:
    """How many specimens were made, whether or not their water content is known yet."""
    return sum(
        point.wet_density is not None and not point.rejected
        for point in case.values.points
    )


def as_json(id: str, found: NextSteps) -> dict[str, Any]:
    """Give it all, in SI, for other programs."""
    state = asdict(found.state)
    return {
        "format": 1,
        "id": id,
        **state,
        "points": [asdict(one) for one in found.state.points],
        "expected_optimum": asdict(found.expected) if found.expected else None,
        "aim": asdict(found.aim) if found.aim else None,
        "pan": asdict(found.pan),
        "water_to_add": asdict(found.water) if found.water else None,
        "soil": {**asdict(found.soil), "enough": found.soil.enough},
    }


def advice_lines(case: Test, found: NextSteps) -> Iterator[str]:
    """Say it in a few lines."""
    state = found.state
    for one in state.points:
        about = "" if one.measured else "about "
        dry = (
            f", dry {about}{density(case, one.dry_density)}"
            if one.dry_density is not None
            else ""
        )
        yield f"Point {one.number}: w {about}{percent(one.water_content)}{dry}"
    yield from unknown_water_lines(case, state)
    yield state.wet_mass_words
    yield state.side_words
    best = state.optimum
    if best is not None:
        yield f"Optimum about {percent(best.water_content)}: {best.basis}."
    for want in state.wanted:
        yield f"Wanted: {want.what} ({want.basis})."
    if not state.wanted and state.points:
        yield "Nothing more is wanted by the method."
    if found.aim is not None:
        yield f"Next: aim at {percent(found.aim.water_content)}, {found.aim.why}."
        yield water_line(found)
        yield from light_pan_lines(case, found.pan)
    elif not state.points:
        yield NO_WATER if specimens_compacted(case) else NO_AIM
    yield from soil_lines(case, found.soil)


NO_AIM = (
    "Where to begin can't be told: state the soil's class on the sample, or the water "
    "content to aim at with --aim."
)


NO_WATER = (
    "What to make next can't be told before a water content is known, from the oven or "
    "as an estimate. With --aim, --pan and --water-content it tells the water to add."
)


def unknown_water_lines(case: Test, state: SeriesState) -> Iterator[str]:
    """Name the points of which neither oven nor water tells the water content."""
    known = {one.number for one in state.points}
    missing = [
        str(point.number)
        for point in case.values.points
        if point.wet_density is not None
        and not point.rejected
        and point.number not in known
    ]
    if missing:
        which = "point" if len(missing) == 1 else "points"
        yield (
            f"Water content of {which} {', '.join(missing)} not known: for an "
            "estimate, enter the soil in the pan and the water added, and write the "
            "water content as received into the sample's record "
            "(as_received_water_content)."
        )


def water_line(found: NextSteps) -> str:
    """The water to add, in millilitres."""
    pan, water = found.pan, found.water
    if water is None or water.per_kg is None or pan.water_content is None:
        return (
            "Water to add: 10 mL for each percent of water content and each kg of dry "
            "soil. Give the soil's water content with --water-content for the amount."
        )
    at = f"{percent(pan.water_content)} ({pan.water_basis})"
    if water.per_kg < 0:
        return (
            f"The soil at {at} is wetter than that: begin with soil that was not "
            f"wetted, or let it dry by {-water.per_kg * KILO:.0f} g for each kg."
        )
    if water.mass is None or pan.mass is None:
        return (
            f"Water to add: {water.per_kg * KILO:.0f} mL for each kg of moist soil at "
            f"{at}. Give the soil in the pan with --pan for the whole."
        )
    return (
        f"Water to add: {water.mass * KILO:.0f} mL, to {pan.mass:.2f} kg "
        f"({pan.mass_basis}) at {at}."
    )


def light_pan_lines(case: Test, pan: Pan) -> Iterator[str]:
    """Doubt a pan that fills no mold: its number is perhaps in another unit."""
    volume = case.method.mold_volume_m3 if case.method is not None else None
    unit = case.record.units.compacted or "kg"
    if volume is not None and pan.mass is not None and pan.mass < volume * LOOSEST:
        yield (
            f"Look at the pan again: {mass(pan.mass, unit)} of soil fill no mold of "
            f"{volume * 1e6:.0f} cm³. It is read in {unit}."
        )


def soil_lines(case: Test, soil: SoilSupply) -> Iterator[str]:
    """Whether the soil suffices."""
    if not soil.needed:
        return
    unit = case.record.units.compacted or "kg"
    needed = mass(soil.needed, unit)
    if soil.there is None:
        yield f"Soil needed: {needed}, {soil.basis}."
        return
    word = "enough" if soil.enough else "NOT enough"
    yield f"Soil: {mass(soil.there, unit)}, {word}: needed {needed}, {soil.basis}."


def mass(value: float, unit: str) -> str:
    """
    Write a mass in a unit, as finely as soil in a pan is weighed.

    >>> mass(2.26796, "g"), mass(2.26796, "lb")
    ('2268 g', '5.00 lb')
    """
    return f"{from_si(value, unit):.{0 if unit == 'g' else 2}f} {UNITS[unit].shown}"
