"""Comparison with limits, against the examples of ASTM E29 and JCGM 106."""

from decimal import Decimal
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.soil.acceptance import (
    How,
    Side,
    acceptance_limit,
    compared,
    guard_band,
    meets,
)

D = Decimal


@pytest.mark.parametrize(
    ("limit", "side", "step", "observed", "rounded", "conforms"),
    [
        # ASTM E29-13, 6.5, the table of examples for the rounding method (from
        # memory): yield point, nickel, water extract conductivity, sodium bicarbonate.
        ("36000", "least", "100", "35940", "35900", False),
        ("36000", "least", "100", "35950", "36000", True),
        ("36000", "least", "100", "35960", "36000", True),
        ("57", "least", None, "56.4", "56", False),
        ("57", "least", None, "56.5", "56", False),
        ("57", "least", None, "56.6", "57", True),
        ("40", "most", None, "40.4", "40", True),
        ("40", "most", None, "40.5", "40", True),
        ("40", "most", None, "40.6", "41", False),
        ("0.5", "most", None, "0.54", "0.5", True),
        ("0.5", "most", None, "0.55", "0.6", False),
        ("0.5", "most", None, "0.56", "0.6", False),
    ],
)
def test_the_rounding_method_of_e29(
    limit: str,
    side: Side,
    step: str | None,
    observed: str,
    rounded: str,
    conforms: bool,
) -> None:
    found = compared(D(observed), D(limit), "rounded", D(step) if step else None)

    assert found == D(rounded)
    assert meets(found, D(limit), side) is conforms


@pytest.mark.parametrize(
    ("limit", "side", "observed", "conforms"),
    [
        # ASTM E29-13, 5.1: the limit 2.5 in. is 2.500 000 …; any deviation outside it,
        # however small, does not conform (from memory).
        ("2.5", "most", "2.5", True),
        ("2.5", "most", "2.500001", False),
        ("2.5", "least", "2.499999", False),
    ],
)
def test_the_absolute_method_of_e29(
    limit: str,
    side: Side,
    observed: str,
    conforms: bool,
) -> None:
    assert meets(compared(D(observed), D(limit), "absolute"), D(limit), side) is (
        conforms
    )


@pytest.mark.parametrize(
    ("limit", "how", "conforms"),
    [
        # ASTM E29-93a and -13, 1.3, as field control meets them: 97.64 % against 98.
        ("98", "rounded", True),
        ("98.0", "rounded", False),
        ("98", "absolute", False),
        ("98.0", "absolute", False),
    ],
)
def test_the_digits_of_a_limit_count(
    limit: str,
    how: How,
    conforms: bool,
) -> None:
    assert meets(compared(97.64, D(limit), how), D(limit), "least") is conforms


def test_a_float_that_came_out_a_hair_low_still_meets_its_limit() -> None:
    assert 0.95 * 3 < 2.85
    assert meets(compared(0.95 * 3, D("2.85"), "absolute"), D("2.85"), "least")


NORMAL = NormalDist()


@pytest.mark.parametrize(
    ("chance", "z"),
    [
        # JCGM 106:2012, 7.3.3, table 1: conformance probability and z = (TU − y)/u for
        # a one-sided tolerance interval and a normal density (from memory; the figures
        # are quantiles of the normal distribution).
        (0.80, 0.84),
        (0.90, 1.28),
        (0.95, 1.64),
        (0.99, 2.33),
        (0.999, 3.09),
    ],
)
def test_a_result_on_the_acceptance_limit_conforms_with_the_chance_of_its_band(
    chance: float, z: float
) -> None:
    u = 0.6
    band = guard_band(u, NORMAL.inv_cdf(chance))

    least = acceptance_limit(D("95"), "least", band)
    most = acceptance_limit(D("2"), "most", band)

    assert band / u == pytest.approx(z, abs=0.006)
    assert NormalDist(float(least), u).cdf(95) == pytest.approx(1 - chance)
    assert NormalDist(float(most), u).cdf(2) == pytest.approx(chance)


def test_a_breakdown_voltage_as_jcgm_106_has_it() -> None:
    # JCGM 106:2012, 7.4 (from memory): at most −5.4 V, found −5.47 V with u = 0.05 V:
    # it conforms with a probability of 0.92, z = 1.40. A band of U = 2 u = 0.10 V puts
    # the acceptance limit at −5.50 V, so guarded acceptance does not accept it.
    limit, found, u = D("-5.4"), D("-5.47"), 0.05
    assert NORMAL.cdf(float(limit - found) / u) == pytest.approx(0.92, abs=0.005)

    guarded = acceptance_limit(limit, "most", guard_band(u))

    assert guarded == D("-5.50")
    assert meets(found, limit, "most")
    assert not meets(found, guarded, "most")


def test_a_speed_limit_as_jcgm_106_has_it() -> None:
    # JCGM 106:2012, 8.3.3.2 (from memory): above 100 km/h for certain (99.9 %), with a
    # relative standard uncertainty of 2 %: a driver is charged from 107 km/h on.
    k = NORMAL.inv_cdf(0.999)
    shown = acceptance_limit(D(100), "least", guard_band(0.02 * 100, k))
    # The uncertainty grows with the speed: solved for the speed itself.
    itself = 100 / (1 - 0.02 * k)

    assert 106 < shown < 107
    assert round(itself) == 107


def test_with_two_standard_uncertainties_one_in_forty_is_accepted_in_error() -> None:
    # JCGM 106:2012, 8.3.2 (from memory): w = U = 2 u; at most 2.3 % is accepted.
    assert 1 - NORMAL.cdf(guard_band(1.0)) == pytest.approx(0.023, abs=0.0005)


def test_a_guard_band_has_a_width() -> None:
    with pytest.raises(ValueError, match="negative"):
        guard_band(-0.1)


VALUES = st.decimals(-200, 200, places=4, allow_nan=False)
LIMITS = st.sampled_from(["95", "95.0", "100", "-2", "2.0", "0.5"]).map(D)


@given(VALUES, LIMITS, st.sampled_from(["least", "most"]))
def test_rounding_moves_a_limit_by_half_its_last_place_at_most(
    value: Decimal, limit: Decimal, side: Side
) -> None:
    half = D(1).scaleb(int(limit.as_tuple().exponent)) / 2
    rounded = meets(compared(value, limit, "rounded"), limit, side)
    strict = meets(compared(value, limit, "absolute"), limit, side)

    assert rounded or not strict
    if abs(value - limit) > half:
        assert rounded is strict


@given(VALUES, LIMITS, st.floats(0, 5), st.sampled_from(["least", "most"]))
def test_a_guard_band_never_accepts_more(
    value: Decimal, limit: Decimal, width: float, side: Side
) -> None:
    if meets(value, acceptance_limit(limit, side, width), side):
        assert meets(value, limit, side)
