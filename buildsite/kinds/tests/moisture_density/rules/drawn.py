"""A peak that a person drew: who, why, and whether the points allow it."""

from collections.abc import Iterator

from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.rules.common import (
    density,
    highest,
    percent,
)
from buildsite.record.flags import Doubt, Rule, error, warning
from buildsite.soil.curves import SCATTER


@error("drawn-peak-unsigned", "ISO/IEC 17025:2017, 7.5.1")
def drawn_peak_unsigned(case: Test) -> Iterator[Doubt]:
    """A drawn peak without who drew it, or why."""
    curve = case.record.curve
    if curve is None or curve.drawn is None:
        return
    for name, words in (("by", "who drew it"), ("reason", "why it was drawn by hand")):
        if getattr(curve, name) is None:
            yield Doubt(
                field=("curve", name),
                found="nothing",
                expected=words,
                mend=f"add {name} to curve: a peak that no reading shows needs a "
                "person behind it",
            )


@warning("drawn-peak-outside-points", "common practice")
def drawn_peak_outside_points(case: Test) -> Iterator[Doubt]:
    """A drawn optimum at or beyond the driest or wettest point."""
    drawn = case.record.curve.drawn if case.record.curve is not None else None
    used = case.values.used
    if drawn is None or len(used) < 2:
        return
    optimum = float(drawn.optimum_water_content)
    first, last = used[0].water_content, used[-1].water_content
    if first is None or last is None or first < optimum < last:
        return
    yield Doubt(
        field=("curve", "drawn", "optimum_water_content"),
        found=percent(optimum),
        expected=f"between the points, {percent(first)} to {percent(last)}",
        mend="compact a point beyond it: a curve ends where its points end",
    )


@warning("drawn-peak-far-from-points", "common practice")
def drawn_peak_far_from_points(case: Test) -> Iterator[Doubt]:
    """A drawn maximum over 1 % away from the highest point."""
    peak, top = case.values.maximum_dry_density, highest(case)
    if case.values.asked != "drawn" or peak is None or top is None:
        return
    measured = top.dry_density or 0.0
    if abs(peak - measured) > SCATTER * measured:
        yield Doubt(
            field=("curve", "drawn", "maximum_dry_density"),
            found=density(case, peak),
            expected=f"within {SCATTER * 100:g} % of the highest point, "
            f"{density(case, measured)}",
            mend="look at units.density, or draw the curve nearer to the points",
        )


RULES: tuple[Rule[Test], ...] = (
    drawn_peak_unsigned,
    drawn_peak_outside_points,
    drawn_peak_far_from_points,
)
