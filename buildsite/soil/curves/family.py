"""
Families of curves: one point leads to a maximum dry density and an optimum.

The rule between members, its reasons, limits and errors: docs/one-point.md.
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import pairwise
from operator import itemgetter

from buildsite.soil.rounding import round_half_even
from buildsite.values import dataclass

LEAST, MOST = 80.0, 100.0
"""Water contents of a usable point, as a share of the optimum that it leads to. [%]"""

ON_CURVE = 0.002
"""
A point that is off a curve by no more than this share of its density is on the curve.

Half the single-operator standard deviation of a density (0.4 to 0.5 lb/ft³ in 100 to
130, ASTM D698, from memory): nobody plots or draws a curve more closely than that. [1]
"""

SAME_RESULT = 0.005
"""Two results nearer than this share of the density are one. [1]"""

TYPICAL_DENSITY, TYPICAL_WATER = 0.5, 0.4
"""
Standard uncertainties of what one point leads to, in a family of one source, the point
at 85 to 95 % of its optimum: of the maximum [%], of the optimum [points].
docs/one-point.md: made-up families whose curves are known, with readings that scatter.
"""

STEPS = 32
"""Curves that are tried between two neighbors before the root is closed in on. [1]"""


@dataclass(frozen=True)
class Member:
    """
    A curve with its peak: water contents [%] and dry densities [kg/m³].

    ``line`` is sampled along the curve, by rising water content.
    """

    id: str
    optimum: float
    peak: float
    line: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Found:
    """
    The curve that a point leads to.

    ``rule`` is on-member or between-members; ``share`` the way from the first of
    ``members`` to the second. ``percent_of_optimum`` is the water content of the point.
    """

    rule: str
    members: tuple[str, ...]
    share: float
    curve: Member
    percent_of_optimum: float


@dataclass(frozen=True)
class Refused:
    """
    No curve is found: a stable reason.

    ``percent_of_optimum`` and ``members`` are those of the nearest curve, if any.
    """

    reason: str
    percent_of_optimum: float | None = None
    members: tuple[str, ...] = ()


def density_on(line: Sequence[tuple[float, float]], water_content: float) -> float:
    """
    Return the dry density on a sampled curve.

    Parameters
    ----------
    line : sequence of tuple of float
        Water contents, rising, and dry densities. [%, kg/m³]
    water_content : float
        Where the density is wanted. [%]

    Returns
    -------
    float
        Between two samples on a straight line; not a number beyond them: nothing is
        extrapolated. [kg/m³]

    Examples
    --------
    >>> density_on([(8.0, 1800.0), (10.0, 1900.0)], 9.5)
    1875.0
    """
    if not line[0][0] - 1e-9 <= water_content <= line[-1][0] + 1e-9:
        return float("nan")
    i = bisect_right(line, water_content, key=itemgetter(0))
    i = min(max(i, 1), len(line) - 1)
    (left, low), (right, high) = line[i - 1], line[i]
    return low + (high - low) * (water_content - left) / (right - left)


def spine(members: Sequence[Member]) -> tuple[Member, ...]:
    """
    Return the members in the order of the line through their peaks.

    Parameters
    ----------
    members : sequence of Member
        Curves of one method and effort. [%, kg/m³]

    Returns
    -------
    tuple of Member
        By rising optimum; of two with one optimum the denser first. [%, kg/m³]
    """
    return tuple(sorted(members, key=lambda one: (one.optimum, -one.peak, one.id)))


def turns_back(members: Sequence[Member]) -> tuple[tuple[str, str], ...]:
    """
    Return the neighbors between which the line through the peaks rises.

    In a family the wetter optimum belongs to the lighter soil (AASHTO R 75, 4.3).

    Parameters
    ----------
    members : sequence of Member
        Curves of one method and effort. [%, kg/m³]

    Returns
    -------
    tuple of tuple of str
        Names of the drier and the wetter of each two. [name]
    """
    ordered = spine(members)
    return tuple((a.id, b.id) for a, b in pairwise(ordered) if b.peak >= a.peak)


def between(first: Member, second: Member, share: float) -> Member:
    """
    Return the curve at a share of the way along the spine from a member to the next.

    Its peak lies on the straight line between the two peaks. Below its peak it falls as
    the two do at the same distance from their optimums, mixed in the same share.

    Parameters
    ----------
    first : Member
        The neighbor with the drier optimum. [%, kg/m³]
    second : Member
        The neighbor with the wetter optimum. [%, kg/m³]
    share : float
        0 at the first, 1 at the second. [1]

    Returns
    -------
    Member
        Without a name, as far as both curves reach. [%, kg/m³]

    Examples
    --------
    >>> a = Member("a", 10.0, 2000.0, ((8.0, 1900.0), (10.0, 2000.0), (12.0, 1900.0)))
    >>> b = Member("b", 14.0, 1800.0, ((11.0, 1770.0), (14.0, 1800.0), (16.0, 1780.0)))
    >>> made = between(a, b, 0.25)
    >>> made.optimum, made.peak, made.line[0]
    (11.0, 1950.0, (9.0, 1870.0))
    """
    optimum = first.optimum + share * (second.optimum - first.optimum)
    peak = first.peak + share * (second.peak - first.peak)
    away = sorted(
        {
            water - one.optimum
            for one in (first, second)
            for water, _ in (*one.line, (one.optimum, one.peak))
        }
    )
    found = ((x, _mixed_drop(first, second, share, x)) for x in away)
    line = tuple((optimum + x, peak - fall) for x, fall in found if fall == fall)
    return Member("", optimum, peak, line)


def find(
    members: Sequence[Member],
    water_content: float,
    dry_density: float,
    *,
    least: float = LEAST,
    most: float = MOST,
    on_curve: float = ON_CURVE,
) -> Found | Refused:
    """
    Return the curve of a family that passes through a point.

    Parameters
    ----------
    members : sequence of Member
        Curves of one method and effort; one alone is a reference curve. [%, kg/m³]
    water_content : float
        Of the point. [%]
    dry_density : float
        Of the point. [kg/m³]
    least : float
        Driest usable point, as a share of the optimum, compared after rounding to a
        whole percent. [%]
    most : float
        Wettest usable point, likewise. [%]
    on_curve : float
        A point this near to a curve is on it. [1]

    Returns
    -------
    Found or Refused
        The curve with its peak, or why there is none. [%, kg/m³]

    Examples
    --------
    >>> line = ((8.0, 1900.0), (10.0, 2000.0), (12.0, 1900.0))
    >>> a = Member("a", 10.0, 2000.0, line)
    >>> b = Member("b", 14.0, 1800.0, tuple((w + 4, d - 200) for w, d in line))
    >>> found = find([a, b], 10.0, 1900.0)
    >>> found.rule, round(found.curve.optimum, 9), round(found.curve.peak, 9)
    ('between-members', 11.0, 1950.0)
    >>> find([a, b], 14.5, 1790.0).reason
    'wet-of-optimum'
    """
    if not members:
        return Refused("no-members")
    point = _Point(water_content, dry_density, least, most, on_curve * dry_density)
    on = _on_member(members, point)
    if on is not None:
        return on
    if len(members) == 1:
        return _off_the_one(members[0], point)
    ordered = spine(members)
    usable: list[Found] = []
    dry: list[Found] = []
    wet: list[Found] = []
    for found in _through(ordered, point):
        percent = point.rounded_percent(found.curve.optimum)
        (dry if percent < least else wet if percent > most else usable).append(found)
    if usable:
        return _agreed(usable)
    if dry or wet:
        # Too dry is said first: a drier point than allowed may be wet of no optimum.
        first, reason = (dry[0], "too-dry") if dry else (wet[0], "wet-of-optimum")
        return Refused(reason, first.percent_of_optimum, first.members)
    return _outside(ordered, point)


@dataclass(frozen=True)
class _Point:
    """The point, and what makes it usable."""

    water: float
    density: float
    least: float
    most: float
    near: float  # [kg/m³]

    def percent(self, optimum: float) -> float:
        """Water content as a share of an optimum [%]."""
        return 100 * self.water / optimum

    def rounded_percent(self, optimum: float) -> float:
        """Likewise, rounded as the limits are written [%]."""
        return float(round_half_even(self.percent(optimum), 0))

    def usable(self, optimum: float) -> bool:
        """Whether the point is neither too dry nor wet of an optimum."""
        return self.least <= self.rounded_percent(optimum) <= self.most

    def above(self, first: Member, second: Member, share: float) -> float:
        """How far the point lies above the curve at a share [kg/m³]."""
        optimum = first.optimum + share * (second.optimum - first.optimum)
        peak = first.peak + share * (second.peak - first.peak)
        fall = _mixed_drop(first, second, share, self.water - optimum)
        return self.density - (peak - fall)


def _drop(member: Member, away: float) -> float:
    """Fall of a curve below its peak, at a distance from its optimum [kg/m³]."""
    return member.peak - density_on(member.line, member.optimum + away)


def _mixed_drop(first: Member, second: Member, share: float, away: float) -> float:
    """Fall of two curves below their peaks, mixed [kg/m³]."""
    return (1 - share) * _drop(first, away) + share * _drop(second, away)


def _on_member(members: Sequence[Member], point: _Point) -> Found | None:
    """Return the member that the point lies on, the nearest of several."""
    off = [
        (abs(point.density - density_on(one.line, point.water)), one)
        for one in members
        if point.usable(one.optimum)
    ]
    near = [(distance, one.id, one) for distance, one in off if distance <= point.near]
    if not near:
        return None
    _, _, nearest = min(near, key=lambda one: one[:2])
    percent = point.percent(nearest.optimum)
    return Found("on-member", (nearest.id,), 0.0, nearest, percent)


def _off_the_one(member: Member, point: _Point) -> Refused:
    """Say why a point is not on a single reference curve."""
    percent = point.percent(member.optimum)
    rounded = point.rounded_percent(member.optimum)
    if rounded < point.least:
        reason = "too-dry"
    elif rounded > point.most:
        reason = "wet-of-optimum"
    else:
        reason = "off-curve"
    return Refused(reason, percent, (member.id,))


def _through(ordered: Sequence[Member], point: _Point) -> Iterator[Found]:
    """Yield every curve between neighbors that passes through the point."""
    for first, second in pairwise(ordered):
        shares = [step / STEPS for step in range(STEPS + 1)]
        offs = [point.above(first, second, share) for share in shares]
        places = zip(pairwise(shares), pairwise(offs), strict=True)
        roots = [
            _closed_in(first, second, point, low, high)
            for (low, high), (one, other) in places
            if one * other <= 0  # never true beyond the curves: not a number
        ]
        if not roots:
            # On a curve is what lies as near to it as to a member's.
            near = [
                (abs(off), share)
                for off, share in zip(offs, shares, strict=True)
                if abs(off) <= point.near
            ]
            roots = [share for _, share in (min(near),)] if near else []
        for share in roots:
            curve = between(first, second, share)
            percent = point.percent(curve.optimum)
            names = (first.id, second.id)
            yield Found("between-members", names, share, curve, percent)


def _closed_in(
    first: Member, second: Member, point: _Point, low: float, high: float
) -> float:
    """Halve an interval with a root until rounding alone is left [1]."""
    at_low = point.above(first, second, low)
    if at_low == 0:
        return low
    while True:
        middle = (low + high) / 2
        if middle in (low, high):
            return middle
        here = point.above(first, second, middle)
        if here * at_low > 0:
            low = middle
        else:
            high = middle


def _agreed(found: Sequence[Found]) -> Found | Refused:
    """Return the one curve, or refuse several that differ."""
    peaks = [one.curve.peak for one in found]
    if max(peaks) - min(peaks) > SAME_RESULT * max(peaks):
        names = tuple(dict.fromkeys(name for one in found for name in one.members))
        return Refused("several-curves", None, names)
    return min(found, key=lambda one: one.curve.optimum)


def _outside(ordered: Sequence[Member], point: _Point) -> Refused:
    """Say on which side of a family a point lies that no curve passes through."""
    driest, wettest = ordered[0], ordered[-1]
    if point.rounded_percent(driest.optimum) < point.least:
        return Refused("too-dry", point.percent(driest.optimum), (driest.id,))
    if point.rounded_percent(wettest.optimum) > point.most:
        return Refused("wet-of-optimum", point.percent(wettest.optimum), (wettest.id,))
    offs = [
        (abs(off), off, first.id, second.id)
        for first, second in pairwise(ordered)
        for step in range(STEPS + 1)
        if point.usable(first.optimum + step / STEPS * (second.optimum - first.optimum))
        and (off := point.above(first, second, step / STEPS)) == off
    ]
    if not offs:
        return Refused("beyond-curves")
    _, off, *names = min(offs)
    return Refused("above-family" if off > 0 else "below-family", None, tuple(names))
