"""Checks of one point against its neighbors."""

from collections.abc import Iterator
from itertools import pairwise

from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.rules.common import (
    density,
    field_of,
    has_impossible_density,
    note_until_complete,
    percent,
    solids_of,
)
from buildsite.kinds.tests.moisture_density.rules.curve import often_without_peak
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.record.flags import Doubt, Rule, warning
from buildsite.soil.curves import Curve
from buildsite.soil.curves.out_of_line import greatest_miss
from buildsite.soil.lines import saturation_line

OUT_OF_LINE = 0.025
"""Allowed distance of a density from the parabola of its neighbors: the scatter of
four densities and the part of a curve that is no parabola. docs/false-alarms.md. [1]"""

OUT_OF_LINE_CLEAN = 0.05
"""The same for clean sands and gravels, which bulk when moist: with or without a peak,
since none is expected of them. Common practice. [1]"""

CLOSE_SHARE = 0.67
"""Five points over more water content than this share of their middle are less of a
parabola: the allowed distance grows with the square of their span. A curve is as wide
as its soil is wet: gravel has all of it within a few points. [1]"""


def width(case: Test, span: float) -> float:
    """Return by how much more is allowed of points over such a span. [1]"""
    waters = [point.water_content or 0.0 for point in case.values.on_curve]
    close = CLOSE_SHARE * (min(waters) + max(waters)) / 2
    return max(1.0, (span / close) ** 2)


@warning("point-out-of-line", "common practice")
def point_out_of_line(case: Test) -> Iterator[Doubt]:
    """A point whose density its neighbors don't explain: a digit, or another mold."""
    values, clean = case.values, often_without_peak(case)
    if not (isinstance(values.curve, Curve) or clean):
        return  # without a peak, the flag on the points says why
    if any(has_impossible_density(case, point) for point in values.on_curve):
        return
    miss = greatest_miss(values.fits.points)
    if miss is None:
        return
    allowed = (OUT_OF_LINE_CLEAN if clean else OUT_OF_LINE) * width(case, miss.span)
    if abs(miss.share) <= allowed:
        return
    judged = point_at(case, miss.water_content)
    point = point_at(case, miss.suspect)
    lead = f"{density(case, point.dry_density)} at {percent(point.water_content)}"
    side = "above" if miss.share > 0 else "below"
    off = f"{percent(abs(miss.share) * 100)} {side} what its neighbors suggest"
    yield Doubt(
        field=field_of(point),
        found=f"{lead}, {off}"
        if point is judged
        else f"{lead}: with it, point {judged.number} is {off}",
        expected=f"about {density(case, miss.expected)} at "
        f"{percent(judged.water_content)}, within {percent(allowed * 100)}",
        mend="check the masses of this point and of those next to it against the bench "
        "sheet: a wrong digit, or the molds of two points exchanged",
        severity=note_until_complete(case),
    )


def point_at(case: Test, water: float) -> PointValues:
    """Return the point of a water content, or the nearest to it. [%]"""
    return min(
        case.values.on_curve,
        key=lambda one: abs((one.water_content or 0.0) - water),
    )


FALLS = 0.015
"""How far a density may lie below that of the next drier point's saturation: the
scatter of two densities, not one of 100 sound tests. docs/false-alarms.md. [1]"""

FULL = 100.0
"""No soil is more saturated. [%]"""


@warning("saturation-falls", "common practice")
def saturation_falls(case: Test) -> Iterator[Doubt]:
    """A point less saturated than the next drier one: two filled molds exchanged."""
    solids = solids_of(case)
    if solids is None:
        return
    for drier, point in pairwise(case.values.on_curve):
        before, full, dry = drier.saturation, point.saturation, point.dry_density
        if before is None or full is None or dry is None or before > FULL:
            continue  # above 100 %: flagged as right of zero air voids
        if any(has_impossible_density(case, one) for one in (drier, point)):
            continue
        water = point.water_content or 0.0
        kept = saturation_line(water, before, *solids)
        if dry >= kept * (1 - FALLS):
            continue
        yield Doubt(
            field=field_of(point),
            found=f"{percent(full)} saturated, after {percent(before)} at "
            f"point {drier.number}, which is drier",
            expected="a saturation that does not fall as water is added: "
            f"{density(case, kept)} or more at {percent(water)}, within "
            f"{percent(FALLS * 100)}",
            mend=f"check the wet masses of points {drier.number} and {point.number} "
            "against the bench sheet, then those of all points: two exchanged, all "
            "moved by a row, or a wrong digit",
            severity=note_until_complete(case),
        )


RULES: tuple[Rule[Test], ...] = (point_out_of_line, saturation_falls)
