"""Checks of the values: possible, usual, and in agreement."""

from collections.abc import Iterator

from buildsite.kinds.limits import (
    ORGANIC,
    POSSIBLE_GRAVITY,
    USUAL_GRAVITY,
    USUAL_GRAVITY_BASIS,
)
from buildsite.kinds.reporting import to_places
from buildsite.kinds.tests.shared.completeness import sample_of
from buildsite.kinds.tests.specific_gravity.compute import DeterminationValues, Test
from buildsite.record.flags import Doubt, Rule, Severity, error, warning
from buildsite.soil.water import COLDEST, WARMEST
from buildsite.standards.soils import soil_class

AIR = "de-air and weigh again; trapped air gives a low value"


def severity_of(one: DeterminationValues) -> Severity | None:
    """Return a note for a rejected determination; else the rule's own severity."""
    return Severity.NOTE if one.rejected else None


@error("no-water-displaced", "conservation of mass")
def no_water_displaced(case: Test) -> Iterator[Doubt]:
    """The soil displaces no water: a mass is wrong."""
    for one in case.values.determinations:
        if one.displaced is not None and one.displaced <= 0:
            yield Doubt(
                field=("determinations", one.number - 1, "pycnometer_soil_and_water"),
                found="as much as pycnometer, water and soil together, or more",
                expected="less by the mass of the water displaced",
                mend="check for a misread mass, or a different pycnometer",
                severity=severity_of(one),
            )


@error("impossible-specific-gravity", "common practice")
def impossible_specific_gravity(case: Test) -> Iterator[Doubt]:
    """An impossible specific gravity: below 1.5 or above 5."""
    low, high = POSSIBLE_GRAVITY
    for one in case.values.determinations:
        value = one.specific_gravity
        if value is not None and not low <= value <= high:
            yield Doubt(
                field=("determinations", one.number - 1),
                found=f"specific gravity {to_places(value, 3)}",
                expected=f"{low} to {high}",
                mend=f"check for a misread mass; {AIR}",
                severity=severity_of(one),
            )


def all_possible(case: Test) -> bool:
    """Whether every value that counts is possible; if not, that flag is enough."""
    low, high = POSSIBLE_GRAVITY
    values = (one.specific_gravity for one in case.values.used)
    return all(value is not None and low <= value <= high for value in values)


@warning("unusual-specific-gravity", USUAL_GRAVITY_BASIS)
def unusual_specific_gravity(case: Test) -> Iterator[Doubt]:
    """A specific gravity outside 2.4 to 3.0, of a soil that is not organic."""
    sample = sample_of(case)
    soil = soil_class(sample.soil_class) if sample and sample.soil_class else None
    if soil is not None and soil.symbol in ORGANIC:
        return
    (low, high), mean = USUAL_GRAVITY, case.values.mean
    if mean is not None and all_possible(case) and not low <= mean <= high:
        yield Doubt(
            field=("determinations",),
            found=f"specific gravity {to_places(mean, 2)}",
            expected=f"{low} to {high}; most soils 2.60 to 2.80",
            mend=f"{AIR}; accept the value if the mineralogy explains it",
        )


@warning("determinations-disagree", "the method's repeatability")
def determinations_disagree(case: Test) -> Iterator[Doubt]:
    """Determinations differ by more than the standard's repeatability."""
    cell = case.method.optional("repeatability") if case.method else None
    spread = case.values.spread
    if cell is None or spread is None or not all_possible(case):
        return
    if round(spread, 4) <= cell.si:
        return
    values = [one.specific_gravity or 0.0 for one in case.values.used]
    yield Doubt(
        field=("determinations",),
        found=f"{to_places(min(values), 3)} to {to_places(max(values), 3)}",
        expected=f"within {cell.value} of each other",
        mend=f"{AIR}; reject the faulty one and state why, or make another",
        basis=cell.basis,
    )


@warning("water-temperature-out-of-range", "the method's table of water density")
def water_temperature(case: Test) -> Iterator[Doubt]:
    """The water temperature is outside the standard's table of water density."""
    method = case.method
    least = method.optional("temperature_least") if method is not None else None
    most = method.optional("temperature_most") if method is not None else None
    for one in case.values.determinations:
        at = one.temperature
        if at is None:
            continue
        possible = COLDEST <= at <= WARMEST
        low = least.si if least is not None else COLDEST
        high = most.si if most is not None else WARMEST
        if not low <= at <= high:
            yield Doubt(
                field=("determinations", one.number - 1, "temperature_c"),
                found=f"{case.record.determinations[one.number - 1].temperature_c} °C",
                expected=f"{low:g} to {high:g} °C",
                mend="let it come to room temperature and weigh again"
                if possible
                else "check for a mistyped digit, or °F",
                severity=Severity.ERROR if not possible and not one.rejected else None,
                basis=least.basis if least is not None else None,
            )


RULES: tuple[Rule[Test], ...] = (
    no_water_displaced,
    impossible_specific_gravity,
    unusual_specific_gravity,
    determinations_disagree,
    water_temperature,
)
