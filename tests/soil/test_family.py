"""A point and a family: by hand on parabolas, by another solver, and at the limits."""

import json
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import pytest

from buildsite.soil.curves.family import (
    ON_CURVE,
    TYPICAL_DENSITY,
    TYPICAL_WATER,
    Found,
    Member,
    Refused,
    between,
    density_on,
    find,
    spine,
    turns_back,
)
from tests.soil import family_sets
from tests.soil.family_sets import NO_MEMBERS, PUBLISHED, SITE, demo
from tests.soil.known_peaks import rms
from tests.soil.one_point_evidence import PAGE, families, made_up, page
from tests.soil.one_point_rules import by_rule
from tests.soil.published import FOLDER, example


def parabola(name: str, optimum: float, peak: float, bend: float) -> Member:
    """A member that falls by bend × distance² to both sides, sampled finely."""
    away = [-6 + 0.01 * i for i in range(1201)]
    line = tuple((optimum + x, peak - bend * x * x) for x in away)
    return Member(name, optimum, peak, line)


A = parabola("a", 10.0, 2000.0, 12.0)
B = parabola("b", 14.0, 1850.0, 8.0)
C = parabola("c", 20.0, 1650.0, 4.0)
FAMILY = (C, A, B)


@pytest.mark.parametrize(("share", "away"), [(0.25, -1.0), (0.5, -2.0), (0.75, -1.5)])
def test_a_point_made_by_the_formula_leads_back_to_its_curve(
    share: float, away: float
) -> None:
    # By hand: between a and b the optimum is 10 + 4t, the peak 2000 − 150t and the
    # fall (12 − 4t) x², a parabola again.
    optimum, peak, bend = 10 + 4 * share, 2000 - 150 * share, 12 - 4 * share

    found = find(FAMILY, optimum + away, peak - bend * away**2)

    assert isinstance(found, Found)
    assert found.rule == "between-members"
    assert found.members == ("a", "b")
    # The members are sampled every 0.01 %: a chord is 3e-4 kg/m³ below its parabola.
    assert found.share == pytest.approx(share, abs=1e-5)
    assert found.curve.optimum == pytest.approx(optimum, abs=1e-4)
    assert found.curve.peak == pytest.approx(peak, abs=2e-3)
    assert found.percent_of_optimum == pytest.approx(
        100 * (optimum + away) / optimum, abs=1e-3
    )


def test_the_share_solves_a_quadratic() -> None:
    # Point at 12 %, 1890. With x = 2 − 4t: 2000 − 150t − (12 − 4t)(2 − 4t)² = 1890,
    # solved here by Newton's method on the cubic.
    share = 0.6
    for _ in range(50):
        x = 2 - 4 * share
        off = 2000 - 150 * share - (12 - 4 * share) * x * x - 1890
        slope = -150 + 4 * x * x + 8 * (12 - 4 * share) * x
        share -= off / slope

    found = find(FAMILY, 12.0, 1890.0)

    assert isinstance(found, Found)
    assert found.share == pytest.approx(share, abs=1e-5)


@pytest.mark.parametrize("member", FAMILY, ids=lambda one: one.id)
@pytest.mark.parametrize("part", [0.81, 0.9, 1.0])
def test_a_point_of_a_member_takes_its_values(member: Member, part: float) -> None:
    water = part * member.optimum
    density = density_on(member.line, water)

    for off in (0.0, 0.9 * ON_CURVE, -0.9 * ON_CURVE):
        found = find(FAMILY, water, density * (1 + off))

        assert isinstance(found, Found)
        assert (found.rule, found.members) == ("on-member", (member.id,))
        assert found.curve is member


def test_off_a_member_by_more_than_the_tolerance_is_between() -> None:
    density = density_on(B.line, 12.6)

    up, down = (find(FAMILY, 12.6, density * (1 + k)) for k in (0.0021, -0.0021))

    assert isinstance(up, Found)
    assert isinstance(down, Found)
    assert (up.members, down.members) == (("a", "b"), ("b", "c"))


@pytest.mark.parametrize(
    ("water", "density", "reason"),
    [
        (7.9, 1940.0, "too-dry"),  # 79 % of the smallest optimum
        (7.0, 1800.0, "too-dry"),
        (20.2, 1640.0, "wet-of-optimum"),  # 101 % of the greatest
        (21.0, 1640.0, "wet-of-optimum"),
        (12.0, 1960.0, "above-family"),
        (9.0, 2020.0, "above-family"),
        (18.0, 1560.0, "below-family"),
        # By hand at three tenths from b to c: optimum 15.8, 1790 − 6.8 × 3.8² = 1692.
        (12.0, 1692.0, "too-dry"),  # 76 % of 15.8
    ],
)
def test_points_without_a_curve_are_refused(
    water: float, density: float, reason: str
) -> None:
    found = find(FAMILY, water, density)

    assert isinstance(found, Refused)
    assert found.reason == reason


def test_eighty_percent_is_compared_after_rounding() -> None:
    # T 272-10: limits are compared as ASTM E29 rounds, to the last place of the limit.
    assert isinstance(find([A], 7.96, density_on(A.line, 7.96)), Found)  # 79.6 % → 80
    dry = find([A], 7.94, density_on(A.line, 7.94))
    assert isinstance(dry, Refused)
    assert dry.reason == "too-dry"
    assert isinstance(find([A], 10.04, density_on(A.line, 10.04)), Found)  # 100.4 %
    wet = find([A], 10.06, density_on(A.line, 10.06))
    assert isinstance(wet, Refused)
    assert wet.reason == "wet-of-optimum"


def test_one_reference_curve() -> None:
    on = density_on(A.line, 9.0)

    assert isinstance(find([A], 9.0, on * 1.001), Found)
    off = find([A], 9.0, on * 1.01)
    assert isinstance(off, Refused)
    assert off.reason == "off-curve"
    assert isinstance(find([A], 9.0, on * 1.01, on_curve=0.015), Found)


def test_nothing_is_extrapolated() -> None:
    short = [Member(one.id, one.optimum, one.peak, one.line[500:]) for one in (A, B)]
    # Both now begin 1 % dry of their optimum.
    bare = find(short, 9.6, 1850.0)

    assert isinstance(bare, Refused)
    assert bare.reason in ("beyond-curves", "below-family")
    curve = between(short[0], short[1], 0.5)
    assert curve.line[0][0] == pytest.approx(curve.optimum - 1.0)


def test_curves_that_cross_are_not_chosen_from() -> None:
    # By hand, one dense and steep between two light and flat: 0.22 of the way up,
    # 1922 − 9.6 × 0.42² = 1920; 0.17 of the way down, 1983 − 33.4 × 1.37² = 1920.
    light, dense, lighter = (
        parabola("light", 10.0, 1900.0, 1.0),
        parabola("dense", 11.0, 2000.0, 40.0),
        parabola("lighter", 12.0, 1900.0, 1.0),
    )

    found = find((light, dense, lighter), 9.8, 1920.0)

    assert isinstance(found, Refused)
    assert found.reason == "several-curves"


def test_no_member() -> None:
    assert find([], 10.0, 1900.0) == Refused("no-members")


def test_the_spine_and_where_it_turns_back() -> None:
    light = parabola("light", 12.0, 1600.0, 8.0)

    assert [one.id for one in spine(FAMILY)] == ["a", "b", "c"]
    assert turns_back(FAMILY) == ()
    assert turns_back((*FAMILY, light)) == (("light", "b"),)


@pytest.mark.parametrize("scale", [0.0, 1.0])
def test_another_solver_finds_the_same_curve(scale: float) -> None:
    ours = "both, mixed by share; distance in points (ours)"
    compared = 0
    for made in made_up(scale, (85, 95)):
        found = find(made.members, made.water, made.density)
        other = by_rule(ours, made.members, made.water, made.density)
        if isinstance(found, Refused) or found.rule == "on-member" or other is None:
            continue
        compared += 1
        assert found.curve.peak == pytest.approx(other.peak, abs=1e-6)
        assert found.curve.optimum == pytest.approx(other.optimum, abs=1e-8)
    assert compared > 30


def test_a_little_more_density_moves_the_result_a_little() -> None:
    # Off the members' tolerance there is no jump between neighbors.
    results = [find(FAMILY, 12.0, 1870.0 + 0.1 * i) for i in range(200)]
    peaks = [one.curve.peak for one in results if isinstance(one, Found)]

    assert len(peaks) == 200
    steps = [b - a for a, b in pairwise(peaks)]
    assert all(0 < step < 0.2 for step in steps), max(steps)


def test_with_its_curve_in_the_family_a_point_leads_to_it() -> None:
    assert len(families()) > 1
    for family in families().values():
        leads_to_its_own(family)


def leads_to_its_own(family: Sequence[family_sets.Tested]) -> None:
    members = [one.member for one in family]
    for one in family:
        for water, density in one.points:
            if 80 <= 100 * water / one.member.optimum <= 100:
                found = find(members, water, density)
                assert isinstance(found, Found)
                assert found.rule == "on-member"
                # Two sets may pass within the tolerance of one point.
                own = abs(density - density_on(one.member.line, water))
                other = abs(density - density_on(found.curve.line, water))
                assert other <= own + 1e-9


def test_the_uncertainty_that_a_report_states_covers_what_was_found() -> None:
    found = []
    for made in (*made_up(1.0, (85, 90)), *made_up(1.0, (90, 95))):
        result = find(made.members, made.water, made.density)
        if isinstance(result, Found):
            found.append(made.errors(result.curve))
    density, water = zip(*found, strict=True)

    assert 0.7 * TYPICAL_DENSITY < rms(density) <= TYPICAL_DENSITY
    assert 0.7 * TYPICAL_WATER < rms(water) <= TYPICAL_WATER


def test_every_curve_at_hand_is_left_out_in_turn() -> None:
    # The rule is tested on every published and demo set: one that comes later, too.
    issued = {
        name
        for project in ("heron-flats", "alder-quay")
        for file in (SITE / project / "tests").glob("*.r0.json")
        if (name := curve_of(file))
    }
    sets = {
        path.name[:3] for path in FOLDER.glob("*.yaml") if has_points(path.name[:3])
    }

    tested = [one.member.id for family in demo().values() for one in family]
    assert sorted(tested) == sorted(issued)
    assert {*PUBLISHED, *NO_MEMBERS} == sets


def curve_of(file: Path) -> str:
    """Return the name of a kept result with a maximum; blank for any other."""
    read = json.loads(file.read_text(encoding="utf-8"))
    curve = read["kind"] == "moisture-density"
    return read["id"] if curve and "maximum_dry_density" in read["results"] else ""


def has_points(identity: str) -> bool:
    """Whether a published example gives compacted points."""
    given = {name for name, one in example(identity)["given"].items() if listed(one)}
    weighed = given & {"wet_density", "wet_soil", "mold_and_wet_soil"}
    return bool(weighed and given & {"water_content", "containers"})


def listed(one: object) -> bool:
    """Whether a part of an example has a value for each of several specimens."""
    return isinstance(one, list)


def test_page_is_current() -> None:
    wanted = "write it again: python -m tests.soil.one_point_evidence"

    assert PAGE.read_text(encoding="utf-8") == page(), wanted
