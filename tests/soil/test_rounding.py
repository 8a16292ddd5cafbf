"""Rounding against `decimal`, and against the cases that rules of rounding name."""

from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.soil.rounding import (
    exact,
    plain,
    round_half_even,
    round_significant,
    round_to_step,
    snap,
)

DECIMALS = st.decimals(-10000, 10000, places=6, allow_nan=False)


@given(DECIMALS, st.integers(0, 4))
def test_half_even_is_that_of_decimal(value: Decimal, places: int) -> None:
    expected = value.quantize(Decimal(10) ** -places, ROUND_HALF_EVEN)

    assert round_half_even(value, places) == expected


@given(st.decimals(0, 9999, places=2, allow_nan=False))
def test_a_float_rounds_as_the_decimal_it_was_written_as(value: Decimal) -> None:
    assert round_half_even(float(value), 1) == round_half_even(value, 1)


@given(st.floats(1e-6, 1e6))
def test_snapping_twice_changes_nothing(value: float) -> None:
    assert snap(snap(value)) == snap(value) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    ("value", "places", "rounded"),
    [
        # AASHTO R 11 and ASTM E29: a half goes to the even digit (from memory).
        ("112.55", 1, "112.6"),
        ("112.45", 1, "112.4"),
        ("10.25", 1, "10.2"),
        ("10.251", 1, "10.3"),
        ("1945", -1, "1940"),
        ("1955", -1, "1960"),
        ("-0.04", 1, "0.0"),
    ],
)
def test_named_halves(value: str, places: int, rounded: str) -> None:
    assert plain(round_half_even(Decimal(value), places)) == rounded
    assert plain(round_half_even(float(value), places)) == rounded


def test_a_sum_that_should_be_a_half_is_one() -> None:
    assert 1.1 * 1.5 == 1.6500000000000001
    assert plain(round_half_even(1.1 * 1.5, 1)) == "1.6"


@pytest.mark.parametrize(
    ("value", "step", "rounded"),
    [
        ("121.24", "0.5", "121.0"),
        ("121.25", "0.5", "121.0"),
        ("121.75", "0.5", "122.0"),
        ("12.5", "5", "10"),
        ("17.5", "5", "20"),
        ("1944.7", "10", "1940"),
        ("0.1997", "0.02", "0.20"),
        ("-0.2", "0.5", "0.0"),
    ],
)
def test_steps(value: str, step: str, rounded: str) -> None:
    assert plain(round_to_step(Decimal(value), Decimal(step))) == rounded


@given(DECIMALS, st.sampled_from(["0.02", "0.1", "0.5", "1", "5", "10"]))
def test_a_step_is_never_missed_by_more_than_half(value: Decimal, text: str) -> None:
    step = Decimal(text)

    rounded = round_to_step(value, step)

    assert rounded % step == 0
    assert abs(rounded - value) <= step / 2


@pytest.mark.parametrize(
    ("value", "figures", "rounded"),
    [
        ("9.96", 2, "10"),
        ("12.35", 3, "12.4"),
        ("12.25", 3, "12.2"),
        ("1966", 2, "2000"),
        ("0.0012345", 2, "0.0012"),
        ("0", 2, "0"),
    ],
)
def test_significant_figures(value: str, figures: int, rounded: str) -> None:
    assert plain(round_significant(Decimal(value), figures)) == rounded


def test_negative_zero_is_never_shown() -> None:
    assert str(snap(-0.0)) == "0.0"
    assert plain(Decimal("-0.00")) == "0.00"
    assert str(round_half_even(-0.0, 2)) == "0.00"


def test_what_cannot_be_written_is_refused() -> None:
    for value in (float("nan"), float("inf"), float("-inf")):
        with pytest.raises(ValueError, match="finite"):
            exact(value)
    with pytest.raises(ValueError, match="step"):
        round_to_step(1.0, Decimal(0))
    with pytest.raises(ValueError, match="figure"):
        round_significant(1.0, 0)
