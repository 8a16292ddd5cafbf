"""Verdicts on field tests, against rules of the trade and figures that were printed."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.kinds.bounds import bounds, not_stated, oversize_rule
from buildsite.kinds.criteria import (
    Criterion,
    Target,
    judge,
    percent_of,
    target_from,
    target_of,
)
from buildsite.kinds.field_answers import (
    Peak,
    ReferenceFacts,
    RequirementFacts,
    WaterLimits,
)
from buildsite.record.units import to_si

D = Decimal
NOTHING = RequirementFacts(
    zone="B",
    clause="",
    designation="AASHTO T 99",
    edition="",
    method="A",
    least_percent_compaction=None,
    least_dry_density=None,
    density_unit="",
    water_content=None,
    compare=(),
    reference_values="",
    oversize="",
    decision="",
    agreed_on=None,
)


def asks(**stated: Any) -> RequirementFacts:
    """A requirement; `percent`, `water` and `how` in short."""
    if "percent" in stated:
        stated["least_percent_compaction"] = D(stated.pop("percent"))
    if "water" in stated:
        low, high, unit = stated.pop("water")
        stated["water_content"] = WaterLimits(D(low), D(high), unit)
    if "how" in stated:
        how = stated.pop("how")
        names = ("percent_compaction", "dry_density", "water_content")
        stated["compare"] = tuple((name, how) for name in names)
    return replace(NOTHING, **stated)


POUNDS = Target(to_si(D("110.5"), "lb/ft3"), 16.4, "lb/ft3")


def one(requirement: RequirementFacts, **found: Any) -> Criterion:
    """The only limit that counts, of a result given by itself."""
    values = {"percent": None, "dry_density": None, "water": None, **found}
    return judge(requirement, POUNDS, **values).criteria[0]


def test_a_density_is_judged_on_its_percentage_rounded_to_the_limit() -> None:
    # 104.5/110.5 is 94.57 %, by hand: rounds to 95, and not to 95.0.
    dry = to_si(D("104.5"), "lb/ft3")
    percent = percent_of(dry, POUNDS)
    assert percent == pytest.approx(94.5701, abs=5e-5)

    whole = judge(asks(percent="95"), POUNDS, percent, dry, None)
    tenths = judge(asks(percent="95.0"), POUNDS, percent, dry, None)
    strict = judge(asks(percent="95", how="absolute"), POUNDS, percent, dry, None)

    assert (whole.verdict, whole.criteria[0].compared) == ("pass", "95")
    assert (tenths.verdict, tenths.criteria[0].compared) == ("fail", "94.6")
    assert (strict.verdict, strict.criteria[0].compared) == ("fail", "94.57013575")
    assert tenths.why == "percent compaction 94.6 %, at least 95.0 % required"


def test_a_half_goes_to_the_even_digit() -> None:
    # ASTM E29-13, 6.4 (from memory): 94.5 rounds to 94, 95.5 to 96.
    assert one(asks(percent="95"), percent=94.5).compared == "94"
    assert one(asks(percent="96"), percent=95.5).met


@pytest.mark.parametrize(
    ("water", "verdict"), [(7.9, "fail"), (8.0, "pass"), (12.0, "pass"), (12.1, "fail")]
)
def test_a_share_of_the_optimum_is_no_number_of_points(
    water: float, verdict: str
) -> None:
    # Virginia DOT, soils and aggregate compaction study guide (2012), chapter 5:
    # ±20 % of an optimum of 10 % is 8 to 12 %.
    requirement = asks(water=("-20", "20", "percent of optimum"))

    found = judge(requirement, replace(POUNDS, optimum_water_content=10), 0, 0, water)

    assert found.verdict == verdict


@pytest.mark.parametrize(
    ("water", "how", "compared", "met"),
    [
        (14.4, "rounded", "-2.0", True),
        (14.36, "rounded", "-2.0", True),
        (14.34, "rounded", "-2.1", False),
        (14.36, "absolute", "-2.04", False),
        (14.4, "absolute", "-2.0", True),
    ],
)
def test_a_water_content_is_compared_to_a_tenth(
    water: float, how: str, compared: str, met: bool
) -> None:
    requirement = asks(water=("-2", "2", "points"), how=how)

    low, high = judge(requirement, POUNDS, None, None, water).criteria

    assert (low.side, low.limit, low.unit) == ("least", "-2", "points")
    assert (low.compared, low.met) == (compared, met)
    assert high.met


@pytest.mark.parametrize(
    ("optimum", "limits", "water", "compared", "met"),
    [
        # By hand: 13.27 + 2 is 15.27, which is 15.3 to a tenth, as 15.26 is. Unrounded
        # it is 1.99 points from the optimum: within, and no rounding takes it out.
        (13.27, ("-2", "2", "points"), 15.26, "2", True),
        (13.27, ("-2", "2", "points"), 15.36, "2.13", False),
        (13.23, ("-2", "2", "points"), 15.26, "2.07", False),
        (10.3, ("-20", "20", "percent of optimum"), 12.36, "20", True),  # 12.36
        (10.3, ("-20", "20", "percent of optimum"), 12.46, "21.359", False),
    ],
)
def test_a_water_content_that_reads_as_its_limit_is_on_it(
    optimum: float,
    limits: tuple[str, str, str],
    water: float,
    compared: str,
    met: bool,
) -> None:
    # ASTM E29: rounded to the place of the limit, which here has a tenth too.
    target = replace(POUNDS, optimum_water_content=optimum)

    _, high = judge(asks(water=limits), target, None, None, water).criteria

    assert (high.compared[:6], high.met) == (compared, met)


@given(
    st.floats(4, 40),
    st.floats(-6, 6),
    st.sampled_from([("-2", "2", "points"), ("-20", "10", "percent of optimum")]),
)
def test_rounding_fails_no_water_content_that_passes_unrounded(
    optimum: float, off: float, limits: tuple[str, str, str]
) -> None:
    # ASTM E29: the rounding method moves a limit outwards, never inwards.
    target = replace(POUNDS, optimum_water_content=optimum)
    found = {
        how: judge(asks(water=limits, how=how), target, None, None, optimum + off)
        for how in ("rounded", "absolute")
    }

    assert found["rounded"].verdict == "pass" or found["absolute"].verdict == "fail"


def test_a_clause_may_round_water_contents_otherwise() -> None:
    requirement = asks(water=("-2", "2", "points"), to_nearest=D("0.5"))

    assert one(requirement, water=14.2).compared == "-2.4"  # 14.0 − 16.4
    assert one(requirement, water=14.4).compared == "-1.9"  # 14.5 − 16.4


def to_step(value: Fraction, step: Fraction) -> Fraction:
    """The nearest multiple of a step, a half to the even one: in whole numbers."""
    return round(value / step) * step


@given(
    st.sampled_from(["90", "95", "95.0", "97.5"]),
    st.integers(900, 1500),
    st.integers(800, 1500),
    st.integers(500, 3000),
    st.integers(300, 3600),
    st.sampled_from(
        [
            ("-2", "2", "points"),
            ("-1", "3", "points"),
            ("-20", "10", "percent of optimum"),
        ]
    ),
    st.sampled_from(["rounded", "absolute"]),
)
def test_a_verdict_is_that_of_fractions(
    limit: str,
    maximum: int,
    dry: int,
    optimum: int,
    water: int,
    allowed: tuple[str, str, str],
    how: str,
) -> None:
    # ASTM E29 worked in exact fractions, apart from the program: densities in tenths
    # of lb/ft³, water contents in hundredths of a percent.
    best, found = Fraction(optimum, 100), Fraction(water, 100)
    low, high = (
        best + Fraction(one) * (1 if allowed[2] == "points" else best / 100)
        for one in allowed[:2]
    )
    percent, tenth = Fraction(100 * dry, maximum), Fraction(1, 10)
    if how == "rounded":
        percent = to_step(percent, tenth if "." in limit else Fraction(1))
        low, found, high = (to_step(one, tenth) for one in (low, found, high))
    passes = percent >= Fraction(limit) and low <= found <= high

    target = Target(to_si(D(maximum) / 10, "lb/ft3"), optimum / 100, "lb/ft3")
    density = to_si(D(dry) / 10, "lb/ft3")
    verdict = judge(
        asks(percent=limit, water=allowed, how=how),
        target,
        percent_of(density, target),
        density,
        water / 100,
    ).verdict

    assert verdict == ("pass" if passes else "fail")


def test_a_deviation_is_told_to_a_hundredth() -> None:
    target = replace(POUNDS, optimum_water_content=10.3702665)

    found = judge(asks(water=("-2", "2", "points")), target, None, None, 13.6)

    assert found.why == (
        "water content +3.23 points from optimum, at most +2 points required"
    )


def test_a_stated_density_is_compared_in_its_own_unit_and_place() -> None:
    requirement = asks(least_dry_density=D("105.0"), density_unit="lb/ft3")

    assert one(requirement, dry_density=to_si(D("104.96"), "lb/ft3")).met
    assert not one(requirement, dry_density=to_si(D("104.94"), "lb/ft3")).met


def test_each_test_of_a_lot_has_the_lot_s_own_limit() -> None:
    requirement = asks(
        percent="100", lot_average_of=4, lot_average=D("100"), lot_each=D("95")
    )

    assert one(requirement, percent=96.2).limit == "95"
    assert one(requirement, percent=96.2).met


def test_a_failure_is_one_whatever_else_is_unknown() -> None:
    requirement = asks(percent="95", water=("-2", "2", "points"))

    failed = judge(requirement, POUNDS, 91.0, None, None)
    unknown = judge(requirement, POUNDS, 97.0, None, None)

    assert failed.verdict == "fail"
    assert unknown.verdict == "none"
    assert unknown.why == "no water content to compare"


def test_a_requirement_without_a_limit_gives_no_verdict() -> None:
    assert judge(NOTHING, POUNDS, 97.0, 1700.0, 16.0).verdict == "none"


GUARDED = asks(percent="95", decision="guarded", agreed_on=date(2026, 1, 5))


@pytest.mark.parametrize(("percent", "verdict"), [(96.19, "fail"), (96.2, "pass")])
def test_a_guarded_decision_compares_unrounded_and_beyond_its_band(
    percent: float, verdict: str
) -> None:
    # JCGM 106:2012, 8.3.2: the acceptance limit is 95 + U = 95 + 1.2.
    found = judge(GUARDED, POUNDS, percent, None, None, {"percent_compaction": 1.2})

    assert found.verdict == verdict
    assert found.decision == "guarded"
    assert (found.criteria[0].compare, found.criteria[0].guard) == ("absolute", "1.2")


def test_without_an_uncertainty_nothing_is_decided_by_a_guard_band() -> None:
    found = judge(GUARDED, POUNDS, 99.0, None, None)

    assert found.verdict == "none"
    assert found.why == "no uncertainty of percent compaction for a guarded decision"


@given(st.floats(80, 110), st.floats(0, 4))
def test_a_guard_band_passes_nothing_that_fails_without(
    percent: float, width: float
) -> None:
    simple = replace(
        GUARDED, decision="", compare=(("percent_compaction", "absolute"),)
    )
    guarded = judge(GUARDED, POUNDS, percent, None, None, {"percent_compaction": width})

    if guarded.verdict == "pass":
        assert judge(simple, POUNDS, percent, None, None).verdict == "pass"


def test_what_is_not_stated_is_named() -> None:
    requirement = asks(
        percent="95",
        water=("-2", "2", "points"),
        compare=(("percent_compaction", "rounded"),),
    )

    assert not_stated(requirement) == ("water_content",)
    assert not_stated(GUARDED) == ()
    assert [bound.how for bound in bounds(requirement)] == ["rounded"] * 3


@pytest.mark.parametrize(
    ("stated", "against", "rule"),
    [
        ("", "", "laboratory-to-field"),
        ("", "corrected", "laboratory-to-field"),
        ("", "uncorrected", "none"),
        ("field-to-fine", "corrected", "field-to-fine"),
    ],
)
def test_a_silent_requirement_follows_the_project(
    stated: str, against: str, rule: str
) -> None:
    assert oversize_rule(asks(oversize=stated), against) == rule


FINE = Peak(1769.94, 16.387, D("110.5"), D("16.4"))
WHOLE = Peak(1850.2, 14.512, D("115.5"), D("14.5"))
REFERENCE = ReferenceFacts(
    id="HF-0101",
    kind="moisture-density",
    project="heron-flats",
    sample="HF-S01",
    soil_name="",
    soil_class="CL",
    designation="AASHTO T 99",
    edition="",
    method="A",
    effort="standard",
    sieve="No. 4",
    density_unit="lb/ft3",
    peak=FINE,
    corrected=WHOLE,
    specific_gravity=None,
    oversize=None,
    revision="HF-0101 r1",
)


def test_a_target_is_that_of_the_report_unless_unrounded_is_asked() -> None:
    reported = target_from(REFERENCE, NOTHING)
    unrounded = target_from(REFERENCE, replace(NOTHING, reference_values="unrounded"))

    assert reported == target_of(WHOLE, "lb/ft3", "", "corrected result of HF-0101 r1")
    assert reported is not None
    assert unrounded is not None
    assert reported.maximum_dry_density == to_si(D("115.5"), "lb/ft3")
    assert unrounded.maximum_dry_density == 1850.2
    assert unrounded.optimum_water_content == 14.512
    assert unrounded.from_ == "corrected result of HF-0101 r1, unrounded"


@pytest.mark.parametrize("rule", ["none", "field-to-fine"])
def test_the_fine_soil_is_compared_with_the_result_for_it(rule: str) -> None:
    found = target_from(REFERENCE, replace(NOTHING, oversize=rule))

    assert found is not None
    assert found.maximum_dry_density == to_si(D("110.5"), "lb/ft3")


def test_without_a_peak_there_is_no_target() -> None:
    assert target_from(replace(REFERENCE, peak=None, corrected=None), NOTHING) is None
