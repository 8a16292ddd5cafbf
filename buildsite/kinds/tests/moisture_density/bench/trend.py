"""The trend of a series, with or without results from the oven."""

from collections.abc import Sequence

from buildsite.kinds.limits import HAIR
from buildsite.kinds.tests.moisture_density.compute import Test, known_form
from buildsite.kinds.tests.moisture_density.estimates import (
    Estimate,
    water_contents,
)
from buildsite.kinds.tests.moisture_density.rules.common import (
    density,
    percent,
    quantity_word,
)
from buildsite.kinds.tests.moisture_density.rules.points import wet_mass_cell
from buildsite.soil.curves import Curve, fit
from buildsite.values import dataclass


@dataclass(frozen=True)
class ExpectedOptimum:
    """An expected optimum [%], and its basis."""

    water_content: float
    basis: str


def wet_densities_by_water(case: Test) -> list[tuple[int, float]]:
    """Return wet densities from dry to wet, where that order is known. [kg/m³]"""
    wets = wet_densities(case)
    if case.record.specimens == "reused":
        return wets
    waters = water_contents(case)
    if any(number not in waters for number, _ in wets):
        return []
    return sorted(wets, key=lambda one: waters[one[0]][0])


def wet_densities(case: Test) -> list[tuple[int, float]]:
    """Return wet densities in the order of the points. [kg/m³]"""
    return [
        (point.number, point.wet_density)
        for point in case.values.points
        if point.wet_density is not None and not point.rejected
    ]


RISES, FALLS = "rises", "falls"


def wet_mass_trend(case: Test) -> tuple[str, str]:
    """Return whether the wet mass still rises at the wettest point, and in words."""
    wets = wet_densities_by_water(case)
    if len(wets) < 2:
        return "", trend_as_compacted(case)
    (_, before), (number, last) = wets[-2:]
    rises = last > before * (1 + HAIR)
    cell = wet_mass_cell(case)
    rule = ""
    if cell is not None:
        rule = ": continue the series" if rises else ": the series may end"
    word = "still rose" if rises else "did not rise"
    text = f"The wet mass {word} at point {number}{rule}."
    return (RISES if rises else FALLS), text


def trend_as_compacted(case: Test) -> str:
    """Return the trend by order of compaction: water contents are not yet known."""
    wets = wet_densities(case)
    if len(wets) < 2:
        return "The trend of the wet mass needs two points or more."
    highest, _ = max(wets, key=lambda one: one[1])
    last, _ = wets[-1]
    if highest == last:
        return f"In order of compaction, the wet mass still rose at point {last}."
    return (
        f"In order of compaction, the wet mass was greatest at point {highest}: if "
        "each point was wetter than the one before, the optimum is near or passed."
    )


def with_dry_density(found: Sequence[Estimate]) -> list[tuple[int, float, float]]:
    """Return number, water content [%] and dry density [kg/m³] of complete points."""
    return [
        (one.number, one.water_content, one.dry_density)
        for one in found
        if one.dry_density is not None
    ]


def optimum_of(case: Test, found: Sequence[Estimate]) -> ExpectedOptimum | None:
    """Return the optimum, measured or estimated; None while there is no peak."""
    values = case.values
    if values.optimum_water_content is not None:
        return ExpectedOptimum(values.optimum_water_content, "the curve of this test")
    pairs = [(water, dry) for _, water, dry in with_dry_density(found)]
    curve = (
        fit(known_form(values.requested_form), pairs, values.solids)
        if len(pairs) > 2
        else None
    )
    if not isinstance(curve, Curve):
        return None
    return ExpectedOptimum(curve.peak_water_content, "the estimates of this test")


def side_of_optimum(
    case: Test, found: Sequence[Estimate], expected: ExpectedOptimum | None
) -> tuple[str, str]:
    """Return on which side of the optimum the points lie, and in words."""
    known = with_dry_density(found)
    if len(known) < 2:
        return side_by_expectation(found, expected)
    number, _, top = max(known, key=lambda one: one[2])
    about = "" if all(one.measured for one in found) else "estimated "
    word = quantity_word(case, "dry_density")
    best = f"{about}{word} {density(case, top)}"
    if number == known[-1][0]:
        return "dry", (
            f"All points so far are at or dry of optimum: the wettest, point {number}, "
            f"is the highest, {best}."
        )
    if number == known[0][0]:
        return "wet", (
            f"All points so far are at or wet of optimum: the driest, point {number}, "
            f"is the highest, {best}."
        )
    return "both", (
        f"Optimum passed: point {number}, between a drier and a wetter point, is the "
        f"highest, {best}."
    )


def side_by_expectation(
    found: Sequence[Estimate], expected: ExpectedOptimum | None
) -> tuple[str, str]:
    """Return the same where fewer than two dry densities are known."""
    if not found or expected is None:
        return "", "The side of the optimum is not yet known."
    last, aim = found[-1], expected.water_content
    side = "dry" if last.water_content < aim else "wet"
    return side, (
        f"{side.capitalize()} of the expected optimum, {percent(aim)}: point "
        f"{last.number} has {percent(last.water_content)}."
    )
