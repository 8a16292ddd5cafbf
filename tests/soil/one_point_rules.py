"""
The rule between members, derived anew, and others that it is compared with.

Written apart from `buildsite.soil.curves.family`: the curve between two members by its
formula, numpy for a point of a curve and Brent's method of scipy for the root.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from buildsite.soil.curves.family import Member

# Fall below the peak: share, distance from the optimum, optimum there, two neighbors.
Fall = Callable[[float, float, float, Member, Member], float]


def fall(member: Member, away: float) -> float:
    """Fall of a member below its peak; not a number beyond its points."""
    waters, densities = zip(*member.line, strict=True)
    place = member.optimum + away
    return member.peak - float(
        np.interp(place, waters, densities, left=np.nan, right=np.nan)
    )


def mixed(share: float, away: float, _: float, a: Member, b: Member) -> float:
    """Mix both shapes by the share, over the distance from the optimum in points."""
    return (1 - share) * fall(a, away) + share * fall(b, away)


def nearest(share: float, away: float, _: float, a: Member, b: Member) -> float:
    """Take the shape of the nearer member, as somebody draws a parallel curve."""
    return fall(a if share < 0.5 else b, away)


def in_parts(share: float, away: float, at: float, a: Member, b: Member) -> float:
    """Mix both shapes, over the distance from the optimum in parts of the optimum."""
    return (1 - share) * fall(a, away * a.optimum / at) + share * fall(
        b, away * b.optimum / at
    )


RULES: dict[str, Fall] = {
    "both, mixed by share; distance in points (ours)": mixed,
    "the nearer member's, as a parallel is drawn by hand": nearest,
    "both, mixed by share; distance in parts of the optimum": in_parts,
}


def by_rule(
    title: str, members: Sequence[Member], water: float, density: float
) -> Member | None:
    """Return the peak of the first curve, from the drier side, with a usable point."""
    from scipy.optimize import brentq  # when it is asked: it takes half a second

    rule = RULES[title]
    ordered = sorted(members, key=lambda one: one.optimum)
    for a, b in pairwise(ordered):

        def peak_at(share: float, a: Member = a, b: Member = b) -> tuple[float, float]:
            return (
                a.optimum + share * (b.optimum - a.optimum),
                a.peak + share * (b.peak - a.peak),
            )

        def off(share: float, a: Member = a, b: Member = b) -> float:
            optimum, peak = peak_at(share, a, b)
            return density - peak + rule(share, water - optimum, optimum, a, b)

        for low, high in pairwise(np.linspace(0, 1, 41)):
            if not off(low) * off(high) <= 0:
                continue
            # The nearer member's shape jumps half way: no root, and no curve, there.
            share = float(brentq(off, low, high, xtol=1e-14)) if off(low) else low
            optimum, peak = peak_at(share)
            if abs(off(share)) < 1e-6 and 79.5 <= 100 * water / optimum <= 100.5:
                return Member("", optimum, peak, ())
    return None
