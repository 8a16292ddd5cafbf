"""Checks of a peak that a person drew."""

from collections.abc import Iterator

from buildsite.kinds.limits import HAIR
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.rules.common import (
    density,
    highest_point,
    percent,
)
from buildsite.record.flags import Doubt, Rule, error, warning
from buildsite.soil.curves import SCATTER


@error("drawn-peak-unsigned", "ISO/IEC 17025:2017, 7.5.1")
def drawn_peak_unsigned(case: Test) -> Iterator[Doubt]:
    """A drawn peak that does not state who drew it, or why."""
    curve = case.record.curve
    if curve is None or curve.drawn is None:
        return
    for name, words in (("by", "who drew it"), ("reason", "why it was drawn by hand")):
        if getattr(curve, name) is None:
            yield Doubt(
                field=("curve", name),
                found="not stated",
                expected=words,
                mend=f"add {name} to curve: a drawn peak is one person's judgment",
            )


@warning("drawn-peak-outside-points", "common practice")
def drawn_peak_outside_points(case: Test) -> Iterator[Doubt]:
    """A drawn optimum not between the driest and the wettest point."""
    ends = beyond_points(case)
    if ends is not None:
        yield Doubt(
            field=OPTIMUM,
            found=percent(case.values.optimum_water_content),
            expected=f"between the points, {percent(ends[0])} to {percent(ends[1])}",
            mend="compact a point beyond it: the curve ends at its last point",
        )


OPTIMUM = ("curve", "drawn", "optimum_water_content")


def beyond_points(case: Test) -> tuple[float, float] | None:
    """Return the driest and the wettest point, where a drawn optimum is beyond. [%]"""
    drawn = case.record.curve.drawn if case.record.curve is not None else None
    used = case.values.on_curve
    if drawn is None or len(used) < 2:
        return None
    first, last = used[0].water_content, used[-1].water_content
    if first is None or last is None:
        return None
    inside = first < float(drawn.optimum_water_content) < last
    return None if inside else (first, last)


@warning("drawn-peak-far-from-points", "common practice")
def drawn_peak_far_from_points(case: Test) -> Iterator[Doubt]:
    """A drawn maximum over 1 % from the highest point, or an optimum far from all."""
    peak, top = case.values.maximum_dry_density, highest_point(case)
    if not case.values.is_drawn or peak is None or top is None:
        return
    measured = top.dry_density or 0.0
    if abs(peak - measured) > SCATTER * measured:
        yield Doubt(
            field=("curve", "drawn", "maximum_dry_density"),
            found=density(case, peak),
            expected=f"within {SCATTER * 100:g} % of the highest point, "
            f"{density(case, measured)}",
            mend="check units.density, or draw the curve nearer to the points",
        )
    yield from drawn_optimum_far(case)


DRAWN_APART = 1.0
"""Allowed between a drawn optimum and those of all curve types: common practice. [%]"""


def drawn_optimum_far(case: Test) -> Iterator[Doubt]:
    """Doubt a drawn optimum that no curve type comes near."""
    drawn, found = case.values.optimum_water_content, case.values.spread
    waters = found.water_content if found is not None else None
    if drawn is None or waters is None or beyond_points(case) is not None:
        return
    low, high = waters[0] - DRAWN_APART, waters[1] + DRAWN_APART
    if not low - HAIR <= drawn <= high + HAIR:
        yield Doubt(
            field=OPTIMUM,
            found=percent(drawn),
            expected=f"{percent(low)} to {percent(high)}: the optimums of all curve "
            f"types, and {DRAWN_APART:g} point beyond",
            mend="read the water content of the peak off the drawing again",
        )


RULES: tuple[Rule[Test], ...] = (
    drawn_peak_unsigned,
    drawn_peak_outside_points,
    drawn_peak_far_from_points,
)
