"""What a target says passes is what a verdict passes."""

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from buildsite.kinds.bounds import PERCENT
from buildsite.kinds.criteria import Target, judge, percent_of, target_of
from buildsite.kinds.field_answers import Peak, RequirementFacts
from buildsite.kinds.reporting import POINT_PLACES
from buildsite.kinds.targets import (
    STEP_UNROUNDED,
    bound_of,
    least_passing,
    target_text,
    window,
)
from buildsite.record.units import to_si
from tests.kinds.test_criteria import POUNDS, asks

D = Decimal


def test_the_target_of_a_soil_of_110_5() -> None:
    # 0.95 × 110.5 = 104.975; 104.5/110.5 = 94.57 %, which rounds to 95, and 104.4 is
    # 94.48 %; 16.4 ± 2: by hand.
    requirement = asks(percent="95", water=("-2", "2", "points"))

    assert target_text(requirement, POUNDS) == (
        "dry density at least 105.0 lb/ft³ nominal, judged on percent compaction, "
        "rounded to 95: 104.5 lb/ft³ (94.57 %) passes; water content 14.4 to 18.4 %"
    )


def test_a_target_of_the_navy() -> None:
    # US Navy training manual for engineering aids, chapter 13, figures 13-2 to 13-4:
    # 98 % of 127.2 lb/ft³ is 124.7 lb/ft³ (printed).
    target = Target(to_si(D("127.2"), "lb/ft3"), 10.9, "lb/ft3")

    assert "at least 124.7 lb/ft³ nominal" in target_text(asks(percent="98"), target)


def test_a_window_of_virginia() -> None:
    # Virginia DOT study guide (2012), chapter 5: ±20 % of an optimum of 10 % is 8 to
    # 12 %.
    requirement = asks(water=("-20", "20", "percent of optimum"))

    text = target_text(requirement, replace(POUNDS, optimum_water_content=10.0))

    assert text == "water content 8.0 to 12.0 %"


@pytest.mark.parametrize(
    ("stated", "text"),
    [
        (
            {"percent": "95", "how": "absolute"},
            "dry density at least 105.0 lb/ft³ nominal, judged on percent compaction, "
            "unrounded: 105.0 lb/ft³ (95.02 %) passes",
        ),
        (
            {"percent": "95.0"},
            "dry density at least 105.0 lb/ft³ nominal, judged on percent compaction, "
            "rounded to 95.0: 105.0 lb/ft³ (95.023 %) passes",
        ),
        (
            {"least_dry_density": D("105.0"), "density_unit": "lb/ft3"},
            "dry density at least 105.0 lb/ft³, rounded to 105.0",
        ),
        (
            {"water": ("-2", "2", "points"), "how": "absolute"},
            "water content 14.40 to 18.40 %, unrounded",
        ),
        ({"water": ("-20", "0", "points")}, "water content up to 16.4 %"),
        (
            {
                "percent": "100",
                "lot_average_of": 4,
                "lot_average": D("100"),
                "lot_each": D("95"),
            },
            "dry density at least 105.0 lb/ft³ nominal, judged on percent compaction, "
            "rounded to 95: 104.5 lb/ft³ (94.57 %) passes; average of 4 tests at least "
            "100 %",
        ),
        (
            {"percent": "95", "decision": "guarded", "agreed_on": date(2026, 1, 5)},
            "dry density at least 105.0 lb/ft³ nominal, judged on percent compaction, "
            "unrounded; each limit with a guard band of the expanded uncertainty (JCGM "
            "106, k = 2, agreed on 2026-01-05)",
        ),
    ],
)
def test_a_target_says_what_is_judged(stated: dict[str, object], text: str) -> None:
    assert target_text(asks(**stated), POUNDS) == text


def test_the_ends_of_a_window_are_the_limits_to_a_tenth() -> None:
    # By hand: 13.27 ± 2 is 11.27 to 15.27.
    target = replace(POUNDS, optimum_water_content=13.27)

    text = target_text(asks(water=("-2", "2", "points")), target)

    assert text == "water content 11.3 to 15.3 %"


def test_a_window_that_no_hundredth_meets_states_the_deviation() -> None:
    narrow = asks(water=("-0.002", "0.002", "points"), how="absolute")
    target = replace(POUNDS, optimum_water_content=16.355)

    assert window(narrow, target) is None
    assert target_text(narrow, target) == (
        "water content −0.002 to +0.002 points from optimum, unrounded"
    )


UNITS = st.sampled_from(["lb/ft3", "lbf/ft3", "kg/m3", "Mg/m3", "kN/m3"])
LIMITS = st.sampled_from(["90", "95", "95.0", "97.5", "98", "98.00", "100"])
WAYS = st.sampled_from(["rounded", "absolute", ""])
VALUES = st.sampled_from(["reported", "unrounded", ""])


@st.composite
def targets(draw: st.DrawFn) -> Target:
    """A target of any soil, in any unit, of reported or unrounded values."""
    unit = draw(UNITS)
    density = draw(st.floats(1300, 2400))
    water = draw(st.floats(4, 40))
    places = {"lb/ft3": "0.1", "lbf/ft3": "0.1", "kg/m3": "1", "Mg/m3": "0.01"}
    one = D(places.get(unit, "0.01"))
    shown = (D(repr(density)) / D(repr(to_si(D(1), unit)))).quantize(one)
    peak = Peak(density, water, shown, D(repr(water)).quantize(D("0.1")))
    return target_of(peak, unit, draw(VALUES))


def stated(draw_how: str, requirement: RequirementFacts) -> RequirementFacts:
    """The requirement with one way to compare, or none stated."""
    names = ("percent_compaction", "dry_density", "water_content")
    how = tuple((name, draw_how) for name in names) if draw_how else ()
    return replace(requirement, compare=how)


@given(targets(), LIMITS, WAYS, st.integers(-40, 40))
def test_a_density_passes_exactly_from_the_printed_one_on(
    target: Target, limit: str, how: str, steps: int
) -> None:
    requirement = stated(how, asks(percent=limit))
    bound = bound_of(requirement, PERCENT, "least")
    assert bound is not None
    least = least_passing(bound, target)
    value = least + steps * D(1).scaleb(-POINT_PLACES[target.density_unit])

    dry = to_si(value, target.density_unit)
    found = judge(requirement, target, percent_of(dry, target), dry, None)

    assert found.verdict == ("pass" if value >= least else "fail")
    printed = re.search(r": ([0-9.]+) ", target_text(requirement, target))
    assert printed is not None
    assert D(printed[1]) == least


@given(
    targets(),
    st.integers(-60, 20),
    st.integers(0, 80),
    st.sampled_from(["points", "percent of optimum"]),
    WAYS,
    st.sampled_from([None, D("0.5"), D("0.1"), D(1)]),
    st.integers(0, 4000),
)
def test_a_water_content_passes_exactly_within_the_printed_window(
    target: Target,
    low: int,
    wide: int,
    unit: str,
    how: str,
    nearest: Decimal | None,
    at: int,
) -> None:
    limits = (str(D(low) / 10), str(D(low + wide) / 10), unit)
    requirement = stated(how, asks(water=limits, to_nearest=nearest))
    step = STEP_UNROUNDED if how == "absolute" else nearest or D("0.1")
    value = step * at
    assume(value <= 60)
    found = window(requirement, target)

    verdict = judge(requirement, target, None, None, float(value)).verdict

    within = found is not None and found.least <= value <= found.most
    assert verdict == ("pass" if within else "fail")
    if found is not None and found.least > 0:
        printed = f"{found.least} to {found.most} %"
        assert printed in target_text(requirement, target)


@given(targets(), st.floats(0, 60))
def test_what_a_report_rounds_to_a_tenth_passes_as_the_window_says(
    target: Target, water: float
) -> None:
    # A water content anywhere, unrounded: its rounded figure decides.
    requirement = asks(water=("-2", "2", "points"))
    found = window(requirement, target)
    assert found is not None
    shown = D(repr(water)).quantize(D("0.1"))
    assume(abs(D(repr(water)) * 10 % 1 - D("0.5")) > D("1e-6"))

    verdict = judge(requirement, target, None, None, water).verdict

    assert verdict == ("pass" if found.least <= shown <= found.most else "fail")
