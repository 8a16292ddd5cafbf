"""
How each number of a report came about, step by step, as it is checked by hand.

A kind makes steps of its case with what is here: the values are those of the outcome,
and nothing is computed a second time.
"""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType

from buildsite.kinds.reporting import MINUS, printed_unit
from buildsite.kinds.sheet import Target
from buildsite.kinds.steps import Input, Line, Step, Symbol
from buildsite.record.units import UNITS, from_si
from buildsite.soil.formulas import Formula
from buildsite.soil.rounding import plain, round_significant, snap

FIGURES = 8
"""Significant figures of an unrounded value: more than any report rounds to."""


@lru_cache(4096)  # a value is a result on one line, and put in on others
def digits(value: float, figures: int = FIGURES) -> str:
    """
    Return a value as printed unrounded; zeros at its end where more digits follow.

    >>> digits(1865.5286), digits(0.0), digits(-3.25), digits(14.78200012)
    ('1865.5286', '0', '−3.25', '14.782000')
    """
    exact = snap(value)
    text = f"{exact:#.{figures}g}"
    if "e" in text:  # so large or small that a float is written with an exponent
        text = plain(round_significant(exact, figures))
    if "." in text and float(text) == exact:
        text = text.rstrip("0")
    text = text.rstrip(".") if "." in text else text
    return text.replace("-", MINUS)


def read(value: Decimal | float | None) -> str:
    """Return a reading as it was written."""
    return "" if value is None else str(value).replace("-", MINUS)


def in_unit(value: float, unit: str) -> str:
    """
    Return an SI value in a unit, with the unit.

    >>> in_unit(1944.7, "lb/ft3")
    '121.40365 lb/ft³'
    """
    return f"{digits(from_si(value, unit))} {printed_unit(unit)}"


def density_line(value: float, unit: str, made: Line, *, reported: str = "") -> Line:
    """Return a line whose result is a density, also in the unit of the report."""
    also = "" if UNITS[unit].factor == 1 else in_unit(value, unit)
    return made._replace(
        value=digits(value), unit="kg/m3", also=also, reported=reported
    )


Words = Mapping[str, str]
"""Symbols or terms to words that replace those of a formula."""


def step_of(
    formula: Formula,
    anchor: str,
    name: str,
    lines: Iterable[Line],
    units: Mapping[str, str],
    words: Words = MappingProxyType({}),
    notes: tuple[str, ...] = (),
    to: Target | None = None,
) -> Step:
    """
    Return the step of a formula; `units` are those of its symbols, as printed.

    `words` replaces words of the formula's symbols by those of the standard.
    """
    symbols = [
        Symbol(one.symbol, in_words(one.words, words), units.get(one.symbol, ""))
        for one in formula.terms
    ]
    symbols.extend(
        Symbol(
            name,
            CONSTANTS.get(name, "constant"),
            units.get(name, ""),
            constant_text(value),
        )
        for name, value in formula.constants.items()
    )
    return Step(
        anchor,
        name,
        tuple(lines),
        formula.symbol,
        formula.text,
        tuple(symbols),
        formula.source,
        to=to,
        notes=notes,
    )


def constants(formula: Formula) -> tuple[Input, ...]:
    """Return the constants of a formula as inputs."""
    return tuple(
        Input(name, constant_text(value)) for name, value in formula.constants.items()
    )


def constant_text(value: float) -> str:
    """Return a constant with all its digits."""
    return f"{value:.15g}".replace("-", MINUS)


CONSTANTS = {"rho_w": "density of water"}
"""What a constant is, in words."""


def in_words(text: str, words: Words) -> str:
    """Return a text with terms replaced by those of a standard."""
    for plain_word, own in words.items():
        text = text.replace(plain_word, own)
    return text
