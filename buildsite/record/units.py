"""
Units of records, and their factors to SI.

Every factor is exact, by definition or by derivation from definitions:

- metre, kilogram, litre, degree Celsius: the SI Brochure (BIPM, 9th edition, 2019).
- pound 0.453 592 37 kg and inch 25.4 mm: the international yard and pound agreement
  of 1959; NIST Special Publication 811 (2008 edition), appendix B.
- foot: 12 inches.
- standard gravity 9.806 65 m/s²: third General Conference on Weights and Measures
  (1901).

A unit weight (lbf/ft³, kN/m³) is converted to density at standard gravity; a
pound-force is by definition a pound at that gravity, so lbf/ft³ and lb/ft³ are
numerically equal.
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from buildsite.values import dataclass

POUND = Fraction("0.45359237")  # kg
INCH = Fraction("0.0254")  # m
FOOT = 12 * INCH
GRAVITY = Fraction("9.80665")  # m/s²

MassUnit = Literal["g", "kg", "lb"]
LengthUnit = Literal["mm", "cm", "m", "in"]
VolumeUnit = Literal["cm3", "L", "m3", "ft3"]
DensityUnit = Literal["kg/m3", "Mg/m3", "g/cm3", "lb/ft3", "lbf/ft3", "kN/m3"]


@dataclass(frozen=True)
class Unit:
    """One unit: ``factor`` converts to SI, ``shown`` is how a page prints it."""

    name: str
    quantity: str
    si: str
    factor: Fraction
    shown: str


def _unit(name: str, quantity: str, si: str, factor: Fraction, shown: str = "") -> Unit:
    return Unit(name, quantity, si, factor, shown or name)


_ALL = (
    _unit("g", "mass", "kg", Fraction(1, 1000)),
    _unit("kg", "mass", "kg", Fraction(1)),
    _unit("lb", "mass", "kg", POUND),
    _unit("mm", "length", "m", Fraction(1, 1000)),
    _unit("cm", "length", "m", Fraction(1, 100)),
    _unit("m", "length", "m", Fraction(1)),
    _unit("in", "length", "m", INCH, "in."),
    _unit("cm3", "volume", "m3", Fraction(1, 10**6), "cm³"),
    _unit("L", "volume", "m3", Fraction(1, 1000)),
    _unit("m3", "volume", "m3", Fraction(1), "m³"),
    _unit("ft3", "volume", "m3", FOOT**3, "ft³"),
    _unit("kg/m3", "density", "kg/m3", Fraction(1), "kg/m³"),
    _unit("Mg/m3", "density", "kg/m3", Fraction(1000), "Mg/m³"),
    _unit("g/cm3", "density", "kg/m3", Fraction(1000), "g/cm³"),
    _unit("lb/ft3", "density", "kg/m3", POUND / FOOT**3, "lb/ft³"),
    _unit("lbf/ft3", "density", "kg/m3", POUND / FOOT**3, "lbf/ft³"),
    _unit("kN/m3", "density", "kg/m3", 1000 / GRAVITY, "kN/m³"),
    _unit("°C", "temperature", "°C", Fraction(1)),
)

UNITS: dict[str, Unit] = {unit.name: unit for unit in _ALL}
"""Every unit by its name in a record."""


def names(quantity: str) -> tuple[str, ...]:
    """
    Return the units of one quantity, as a record writes them.

    >>> names("mass")
    ('g', 'kg', 'lb')
    """
    return tuple(unit.name for unit in _ALL if unit.quantity == quantity)


def unit(name: str, quantity: str = "") -> Unit:
    """Return a unit, of one quantity if that is given. Raise ValueError if unknown."""
    found = UNITS.get(name)
    if found is None or quantity not in ("", found.quantity):
        known: Sequence[str] = names(quantity) if quantity else tuple(UNITS)
        from difflib import get_close_matches  # late: few need it

        near = get_close_matches(name, known, n=1)
        hint = f"; nearest: {near[0]}" if near else ""
        what = f"unit of {quantity}" if quantity else "unit"
        raise ValueError(f"{name!r} is not a {what}; known: {', '.join(known)}{hint}")
    return found


@lru_cache(4096)
def to_si(value: Decimal | float, name: str, quantity: str = "") -> float:
    """
    Convert a value to SI: kg, m, m³, kg/m³, °C.

    It is multiplied exactly and rounded once, to the nearest float.

    >>> to_si(Decimal("8.52"), "lb")
    3.8646069924
    """
    over, under = value.as_integer_ratio()
    factor = unit(name, quantity).factor
    return over * factor.numerator / (under * factor.denominator)


@lru_cache(4096)
def from_si(value: Decimal | float, name: str, quantity: str = "") -> float:
    """
    Convert an SI value to a unit.

    >>> round(from_si(1944.7, "lb/ft3"), 1)
    121.4
    """
    over, under = value.as_integer_ratio()
    factor = unit(name, quantity).factor
    return over * factor.denominator / (under * factor.numerator)
