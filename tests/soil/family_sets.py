"""Sets of curves for the evidence of the one-point rule: published, demo, made up."""

import json
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

from buildsite.soil.curves import AUTO, Curve, Solids, fit, sample
from buildsite.soil.curves.family import Member
from buildsite.soil.curves.growth import Growth
from buildsite.soil.lines import saturation_line
from buildsite.soil.phase import dry_density
from tests.soil.known_peaks import Truth, bell, tried
from tests.soil.published import POUND_PER_CUBIC_FOOT, points

Points = list[tuple[float, float]]

SITE = Path(__file__).parents[2] / "records"


class Tested(NamedTuple):
    """A compaction curve of points, fitted by `auto` as every test is."""

    points: Points
    member: Member


def tested(name: str, found: Points) -> Tested | None:
    """Fit a set of points; None where it has no peak."""
    curve = fit(AUTO, found)
    if not isinstance(curve, Curve):
        return None
    line = tuple(sample(curve.line, 60))
    member = Member(name, curve.peak_water_content, curve.peak_dry_density, line)
    return Tested(found, member)


def all_tested(sets: dict[str, Points]) -> tuple[Tested, ...]:
    """Fit sets of points that all have a peak."""
    fitted = {name: tested(name, found) for name, found in sets.items()}
    assert all(fitted.values()), fitted
    return tuple(one for one in fitted.values() if one)


def pounds(*rows: tuple[float, float], wet: bool = False) -> Points:
    """Water contents [%] with dry, or wet, weights in lb/ft³, as points in SI."""
    return [
        (water, dry_density(weight, water) if wet else weight)
        for water, weight in ((w, d * POUND_PER_CUBIC_FOOT) for w, d in rows)
    ]


# Unattributed teaching exercise: solved question on a Proctor test, dry weights; web
# page, undated, https://homeworksource.com/p/1029339/
P1 = pounds((8.4, 122.2), (10.2, 126.3), (11.7, 127.4), (12.7, 127.5), (14.0, 125.0))
# Unattributed teaching exercise: question on the soil of a borrow pit, standard effort,
# wet weights; web page, undated, https://www.transtutors.com/questions/ no. 13407725
P2 = pounds(
    (9.1, 116.7), (11.8, 122.8), (14.8, 127.7), (16.5, 130.0), (18.9, 127.6), wet=True
)


@cache
def published() -> tuple[Tested, ...]:
    """Published sets of the standard effort with a peak; five are in the package."""
    ours = {name: points(name) for name in PUBLISHED}
    return all_tested({**ours, "p1": P1, "p2": P2})


PUBLISHED = ("b01", "b02", "b03", "b06", "b18")
"""Published sets of the standard effort in the package, with a peak."""

NO_MEMBERS = {
    "b04": "denser than any soil",
    "b05": "no peak",
    "b14": "of heavy compaction, and no other is",
}
"""Published sets of points that are no curve of any family here, and why."""

FAMILY = "demo, family of five"
DEMO: dict[str, dict[str, tuple[str, ...]]] = {
    FAMILY: {"heron-flats": ("HF-0124", "HF-0125", "HF-0126", "HF-0127", "HF-0128")},
    "demo, standard effort": {
        "heron-flats": (
            "HF-0101",
            "HF-0107",
            "HF-0111",
            "HF-0113",
            "HF-0117",
            "HF-0123",
            "HF-0129",
        ),
        "alder-quay": ("AQ-0001", "AQ-0003", "AQ-0017"),
    },
    "demo, modified effort": {
        "heron-flats": ("HF-0104", "HF-0109", "HF-0120"),
        "alder-quay": ("AQ-0004",),
    },
}
"""
Every issued curve of the demo: the family of one borrow pit, and by effort the tests
whose soils have little else in common.
"""


def kept(project: str, name: str) -> Points:
    """Points of the first issued result of a demo test: it is kept for ever."""
    file = SITE / project / "tests" / f"{name}.r0.json"
    read: dict[str, Any] = json.loads(file.read_text(encoding="utf-8"))
    return [
        (point["water_content"], point["dry_density"])
        for point in read["points"]
        if not point.get("rejected")
    ]


@cache
def demo() -> dict[str, tuple[Tested, ...]]:
    """Issued tests of the demo: its family, and the others by effort."""
    return {
        title: all_tested(
            {
                name: kept(project, name)
                for project, names in projects.items()
                for name in names
            }
        )
        for title, projects in DEMO.items()
    }


SOLIDS = Solids(2.70, 998.2)


def grown(reached: float) -> Truth:
    """One soil of a family in which saturation grows alike, up to a water content."""
    line = Growth(1.0, 60.0, SOLIDS, 90.0, reached, 4.0, 1.5 + 0.2 * reached)
    (water,) = line.turns()
    return line, water, line(water)


def bells(optimum: float) -> Truth:
    """One soil of a family of bells: 83 % saturated at its peak, the denser steeper."""
    density = saturation_line(optimum, 83.0, *SOLIDS)
    return bell(optimum, density, 0.075 - 0.0025 * optimum, 0.09 - 0.0025 * optimum)


MADE_UP: dict[str, tuple[Callable[[float], Truth], Sequence[float]]] = {
    "saturation grows": (grown, (10.0, 12.5, 15.0, 18.0, 22.0)),
    "bells": (bells, (9.0, 11.0, 13.5, 16.5, 20.0)),
}
"""Families of soils: the curve of a soil by one number, and the numbers of members."""


def laboratory(truth: Truth, chance: Random, scale: float) -> Tested | None:
    """Test a soil with a known curve: five points about 2 % apart; None for no peak."""
    return tested(
        f"{truth[1]:.1f} %", sorted(tried(truth, (-4, -2, 0, 2, 4), chance, scale))
    )
