"""Factors against published values and a general units library."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.record import units
from buildsite.record.units import UNITS, from_si, to_si, unit
from tests.units_library import library

# The same units in the words of the library. A weight per volume is divided by its
# standard gravity there, as here.
IN_THE_LIBRARY = {
    "g": "gram",
    "kg": "kilogram",
    "lb": "pound",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "in": "inch",
    "cm3": "centimeter ** 3",
    "L": "liter",
    "m3": "meter ** 3",
    "ft3": "foot ** 3",
    "kg/m3": "kilogram / meter ** 3",
    "Mg/m3": "megagram / meter ** 3",
    "g/cm3": "gram / centimeter ** 3",
    "lb/ft3": "pound / foot ** 3",
    "lbf/ft3": "force_pound / foot ** 3 / standard_gravity",
    "kN/m3": "kilonewton / meter ** 3 / standard_gravity",
}
SI_IN_THE_LIBRARY = {
    "kg": "kilogram",
    "m": "meter",
    "m3": "meter ** 3",
    "kg/m3": "kilogram / meter ** 3",
}

# NIST Special Publication 811, 2008 edition, appendix B.9; these rows from memory.
# Column: unit, factor to SI as printed (bold there means exact).
NIST_SP_811 = [
    ("lb", "4.535924E-01"),
    ("in", "2.54E-02"),
    ("ft3", "2.831685E-02"),
    ("L", "1.0E-03"),
    ("lb/ft3", "1.601846E+01"),
    ("g/cm3", "1.0E+03"),
]


@pytest.mark.parametrize("name", sorted(IN_THE_LIBRARY))
def test_agrees_with_a_general_units_library(name: str) -> None:
    wanted = SI_IN_THE_LIBRARY[unit(name).si]

    expected = library().Quantity(1.0, IN_THE_LIBRARY[name]).to(wanted).magnitude

    assert to_si(1.0, name) == pytest.approx(expected, rel=1e-12)
    assert from_si(expected, name) == pytest.approx(1.0, rel=1e-12)


def test_every_unit_but_degrees_is_compared() -> None:
    assert set(UNITS) - set(IN_THE_LIBRARY) == {"°C"}


@pytest.mark.parametrize(("name", "printed"), NIST_SP_811)
def test_agrees_with_the_published_table(name: str, printed: str) -> None:
    half_last_digit = Decimal(5).scaleb(Decimal(printed).adjusted() - 7)

    assert to_si(1.0, name) == pytest.approx(
        float(printed), abs=float(half_last_digit), rel=0
    )


def test_a_pound_force_is_a_pound_at_standard_gravity() -> None:
    # NIST SP 811 (2008), appendix B.8 (from memory): 1 lbf = 4.448 221 615 260 5 N.
    newtons = units.POUND * units.GRAVITY

    assert newtons == Decimal("4.4482216152605")
    assert unit("lbf/ft3").factor == unit("lb/ft3").factor


def test_degrees_stay_what_they_are() -> None:
    assert to_si(Decimal("21.5"), "°C") == 21.5
    assert from_si(21.5, "°C") == 21.5


@given(
    st.sampled_from(sorted(UNITS)),
    st.floats(min_value=1e-9, max_value=1e9, allow_subnormal=False),
)
def test_there_and_back_is_the_same(name: str, value: float) -> None:
    assert from_si(to_si(value, name), name) == pytest.approx(value, rel=1e-15)


@given(st.sampled_from(sorted(UNITS)), st.decimals(0, 10**6, places=3))
def test_a_decimal_is_rounded_once(name: str, value: Decimal) -> None:
    factor = unit(name).factor
    exact = value.as_integer_ratio()[0] * factor / value.as_integer_ratio()[1]

    assert to_si(value, name) == exact.numerator / exact.denominator


def test_an_unknown_unit_is_refused_with_the_list() -> None:
    with pytest.raises(ValueError, match=r"'lbs' is not a unit; known: g, kg, lb,"):
        to_si(1.0, "lbs")


def test_the_nearest_unit_is_offered() -> None:
    with pytest.raises(ValueError, match="nearest: kg/m3"):
        from_si(1.0, "kg/m³")


def test_a_unit_of_another_quantity_is_refused() -> None:
    with pytest.raises(ValueError, match=r"'cm3' is not a unit of mass; known: g, "):
        to_si(1.0, "cm3", "mass")


@pytest.mark.parametrize(
    ("quantity", "choices"),
    [
        ("mass", units.MassUnit),
        ("length", units.LengthUnit),
        ("volume", units.VolumeUnit),
        ("density", units.DensityUnit),
    ],
)
def test_what_a_model_may_name_is_what_is_known(quantity: str, choices: object) -> None:
    assert units.names(quantity) == choices.__args__  # type: ignore[attr-defined]  # a Literal has them
