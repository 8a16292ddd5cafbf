"""Checks of the specific gravity, and of the result against the soil class."""

from collections.abc import Iterator
from decimal import Decimal

from buildsite.kinds.limits import (
    ORGANIC,
    POSSIBLE_GRAVITY,
    USUAL_GRAVITY,
    USUAL_GRAVITY_BASIS,
)
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.rules.common import (
    density,
    gravity_field,
    note_until_complete,
    oversize_field,
    percent,
    soil_of,
)
from buildsite.record.flags import Doubt, Field, Rule, Severity, error, note, warning

USUAL_OPTIMUM = (4.0, 45.0)
"""Range of the optimum of most soils. [%]"""

DENSITY_PLAY = 80.0
WATER_PLAY = 3.0
"""Allowance outside the range of the class: about 5 lb/ft³ [kg/m³]; [%]."""


def gravities(case: Test) -> Iterator[tuple[str, Field, Decimal]]:
    """Yield the specific gravity of the soil and the bulk one of its oversize."""
    gravity, coarse = case.values.gravity, case.values.oversize
    if gravity is not None:
        yield "a specific gravity", gravity_field(case), gravity.value
    if coarse is not None and coarse.bulk_specific_gravity is not None:
        bulk = coarse.bulk_specific_gravity
        yield "a bulk specific gravity of oversize", oversize_field(case), bulk


@error("impossible-specific-gravity", "common practice")
def impossible_specific_gravity(case: Test) -> Iterator[Doubt]:
    """An impossible specific gravity: below 1.5 or above 5."""
    low, high = POSSIBLE_GRAVITY
    for what, field, value in gravities(case):
        if not low <= value <= high:
            yield Doubt(
                field=field,
                found=f"{what} of {value}",
                expected=f"{low} to {high}",
                mend="check the digits and the decimal point",
            )


@warning("unusual-specific-gravity", USUAL_GRAVITY_BASIS)
def unusual_specific_gravity(case: Test) -> Iterator[Doubt]:
    """A specific gravity outside 2.4 to 3.0, of a soil that is not organic."""
    soil = soil_of(case)
    if soil is not None and soil.symbol in ORGANIC:
        return
    (low, high), (least, most) = USUAL_GRAVITY, POSSIBLE_GRAVITY
    for what, field, value in gravities(case):
        if least <= value <= most and not low <= value <= high:
            yield Doubt(
                field=field,
                found=f"{what} of {value}",
                expected=f"{low} to {high}; most soils 2.60 to 2.80",
                mend="measure it again; accept the flag if the minerals explain it",
            )


@note("assumed-specific-gravity", "common practice")
def assumed_specific_gravity(case: Test) -> Iterator[Doubt]:
    """A zero-air-voids line with an assumed specific gravity."""
    gravity = case.values.gravity
    if gravity is not None and gravity.basis != "measured":
        yield Doubt(
            field=gravity_field(case),
            found=f"{gravity.value}, {gravity.basis}",
            expected="a measured specific gravity",
            mend="no action if the specification allows it; the report states it",
        )


@warning("no-specific-gravity", "common practice")
def no_specific_gravity(case: Test) -> Iterator[Doubt]:
    """No specific gravity: points cannot be checked against zero air voids."""
    if case.values.gravity is not None:
        return
    cell = case.cell("zero_air_voids_temperature")
    # Only a standard that draws the line states the water temperature.
    asked = cell is not None and cell.status != "common practice"
    yield Doubt(
        field=("sample",),
        found="no specific gravity in the test or its sample",
        expected="a measured or assumed one",
        mend="measure it, or state one on the sample with basis: assumed",
        severity=note_until_complete(case) if asked else Severity.NOTE,
        basis=cell.basis if cell is not None and asked else None,
    )


@warning("unusual-optimum", "common practice")
def unusual_optimum(case: Test) -> Iterator[Doubt]:
    """An optimum outside 4 to 45 %."""
    optimum, (low, high) = case.values.optimum_water_content, USUAL_OPTIMUM
    if optimum is not None and not low <= optimum <= high:
        yield Doubt(
            field=("points",),
            found=f"an optimum of {percent(optimum)}",
            expected=f"{low:g} to {high:g} % for most soils",
            mend="check containers and units; accept the flag if they are right",
            severity=note_until_complete(case),
        )


@warning("result-unlike-soil", "common practice")
def result_unlike_soil(case: Test) -> Iterator[Doubt]:
    """A maximum or optimum far from the usual range of the soil class."""
    soil, method, values = soil_of(case), case.method, case.values
    peak, optimum = values.maximum_dry_density, values.optimum_water_content
    if soil is None or method is None or peak is None or optimum is None:
        return
    dense, moist = soil.dry_density(method.effort), soil.water_content(method.effort)
    if dense is not None and not (
        dense[0] - DENSITY_PLAY <= peak <= dense[1] + DENSITY_PLAY
    ):
        yield Doubt(
            field=("sample",),
            found=f"a maximum of {density(case, peak)}",
            expected=f"about {density(case, dense[0])} to {density(case, dense[1])} "
            f"for {soil.symbol}, {method.effort} effort",
            mend="check the class of the soil, the rammer, and the volume of the mold",
            severity=note_until_complete(case),
            basis=soil.basis("dry_density", method.effort),
        )
    if moist is not None and not (
        moist[0] - WATER_PLAY <= optimum <= moist[1] + WATER_PLAY
    ):
        yield Doubt(
            field=("sample",),
            found=f"an optimum of {percent(optimum)}",
            expected=f"about {moist[0]:g} to {moist[1]:g} % for {soil.symbol}, "
            f"{method.effort} effort",
            mend="check the class of the soil and the moisture containers",
            severity=note_until_complete(case),
            basis=soil.basis("water_content", method.effort),
        )


RULES: tuple[Rule[Test], ...] = (
    impossible_specific_gravity,
    unusual_specific_gravity,
    assumed_specific_gravity,
    no_specific_gravity,
    unusual_optimum,
    result_unlike_soil,
)
