"""The advice of `next`: the state of the test and the next point, in lines and JSON."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from buildsite.kinds.bench_spec import Advice, EarlierMean, Given
from buildsite.kinds.tests.moisture_density.bench.mixing_water import (
    Pan,
    SoilSupply,
    WaterToAdd,
    pan_of,
    soil_for,
    water_for,
)
from buildsite.kinds.tests.moisture_density.bench.mixing_words import (
    impossible_pan_lines,
    mass,
    percent_lines,
    water_line,
)
from buildsite.kinds.tests.moisture_density.bench.next_point import (
    ONE_MORE,
    Requirement,
    SeriesState,
    Target,
    is_compacted,
    series_state,
    target,
)
from buildsite.kinds.tests.moisture_density.bench.trend import ExpectedOptimum
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.rules.common import (
    density,
    percent,
    quantity_word,
    soil_of,
)
from buildsite.record.units import to_si
from buildsite.values import dataclass


@dataclass(frozen=True)
class Weighed:
    """Values measured now: soil in the pan, its water content, soil left. [kg, %]"""

    pan: float | None = None
    water_content: float | None = None
    left: float | None = None
    aim: float | None = None


@dataclass(frozen=True)
class NextSteps:
    """Everything about the next point."""

    expected: ExpectedOptimum | None
    state: SeriesState
    aim: Target | None
    pan: Pan
    water: WaterToAdd | None
    soil: SoilSupply


def advise(case: Test, given: Given, earlier: EarlierMean) -> Advice:
    """Return the advice, in lines and as data in SI."""
    steps = next_steps(case, expected_optimum(case, earlier), weighed(case, given))
    return Advice(tuple(advice_lines(case, steps)), as_json(case.record.id, steps))


def weighed(case: Test, given: Given) -> Weighed:
    """Convert the given values to SI: masses are in `units.compacted`."""
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
        f"the usual range of {soil.symbol} at {effort} effort, {low:g} to {high:g} %; "
        f"{basis}",
    )


def next_steps(case: Test, expected: ExpectedOptimum | None, now: Weighed) -> NextSteps:
    """Compute the next steps."""
    state = series_state(case, expected)
    aim = (
        target(case, state) if now.aim is None else Target(now.aim, "as given by --aim")
    )
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
    """Return the number of specimens compacted, dried or not."""
    return sum(
        point.wet_density is not None and not point.rejected
        for point in case.values.points
    )


def as_json(id: str, found: NextSteps) -> dict[str, Any]:
    """Return everything in SI, for other programs."""
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
    """Yield the advice in lines."""
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
        yield f"Optimum about {percent(best.water_content)}, from {best.basis}."
    for what, source in joined(state.wanted):
        yield f"Still required: {what}. Source: {source}."
    if not state.wanted and state.points:
        yield "The method requires no more points."
    if found.aim is not None:
        yield f"Next point: {percent(found.aim.water_content)}, {found.aim.why}."
    elif not state.points:
        begun = any(is_compacted(case, i) for i in range(len(case.record.points)))
        yield NO_WATER if begun else NO_AIM
    yield from impossible_pan_lines(case, found.pan)
    if found.aim is not None:
        yield water_line(case, found.pan, found.water)
    else:
        yield from percent_lines(case, found.pan, found.state.optimum)
    yield from soil_lines(case, found.soil)


def joined(wanted: Sequence[Requirement]) -> Iterator[tuple[str, str]]:
    """
    Yield each requirement and its source; one more point and its side as one.

    >>> one = Requirement("1 more point", "ASTM D698")
    >>> side = Requirement("a drier point, as the highest is at the end", "x")
    >>> list(joined([one, side]))
    [('1 more point, drier, as the highest is at the end', 'ASTM D698; x')]
    """
    if len(wanted) == 2 and wanted[0].what == ONE_MORE and wanted[1].at_end:
        one, side = wanted
        text = f"{ONE_MORE}, {side.what.removeprefix('a ').replace(' point', '', 1)}"
        yield text, f"{one.basis}; {side.basis}"
        return
    for want in wanted:
        yield want.what, want.basis


NO_AIM = (
    "No first point can be suggested: state the soil class on the sample, or give a "
    "target with --aim."
)


NO_WATER = (
    "No next point can be suggested before a point is dried or can be estimated. For "
    "the water to add, give --aim, --pan and --water-content."
)


def unknown_water_lines(case: Test, state: SeriesState) -> Iterator[str]:
    """Yield a line about the points of unknown water content."""
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
        word = quantity_word(case, "water_content")
        unknown = f"{word.capitalize()} of {which} {', '.join(missing)} not known"
        if case.record.preparation == "dry" and case.record.dried_back is None:
            yield (
                f"{unknown}: the soil was prepared dry, so its {word} before the water "
                "is not that as received. No estimate before a point is dried."
            )
            return
        yield (
            f"{unknown}. For an estimate, enter the soil in the pan and the water "
            f"added, and the sample's as-received {word}."
        )


def soil_lines(case: Test, soil: SoilSupply) -> Iterator[str]:
    """Yield a line about the soil supply."""
    if not soil.needed:
        return
    unit = case.record.units.compacted or "kg"
    needed = mass(soil.needed, unit)
    if soil.there is None:
        yield f"Soil needed: {needed}, {soil.basis}."
        return
    word = "enough" if soil.enough else "NOT enough"
    yield f"Soil: {mass(soil.there, unit)}, {word}. Needed: {needed}, {soil.basis}."
