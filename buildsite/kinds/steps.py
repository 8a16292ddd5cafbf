"""
The steps of a working: formulas with values put in, what they gave, where all is from.

They are data. `kinds/working.py` helps a kind to make them of its case, with the values
of the outcome; `pages/working.py` draws them for any kind.
"""

from buildsite.kinds.sheet import Target
from buildsite.record.flags import Field
from buildsite.values import dataclass


@dataclass(frozen=True)
class Input:
    """
    A value put in for a symbol, with where it is from.

    That is a `field` of the record, a page (`to`), or an earlier line (`line`).
    """

    symbol: str
    value: str
    unit: str = ""
    field: Field = ()
    to: Target | None = None
    line: str = ""


@dataclass(frozen=True)
class Line:
    """
    A step worked for one container, point or result.

    `value` is unrounded, in `unit`; `also` the same in the unit of the report.
    """

    anchor: str
    label: str
    inputs: tuple[Input, ...]
    value: str
    unit: str = ""
    also: str = ""
    reported: str = ""
    note: str = ""


@dataclass(frozen=True)
class Symbol:
    """A symbol of a formula: what it is; a constant with its value."""

    symbol: str
    words: str
    unit: str = ""
    value: str = ""
    to: Target | None = None


@dataclass(frozen=True)
class Step:
    """A formula with its symbols and source, and each time it was used."""

    anchor: str
    name: str
    lines: tuple[Line, ...]
    symbol: str = ""
    formula: str = ""
    symbols: tuple[Symbol, ...] = ()
    source: str = ""
    to: Target | None = None  # the page of the source
    notes: tuple[str, ...] = ()
    unlike: str = ""  # what `value` is of, where it is not the formula's


@dataclass(frozen=True)
class Steps:
    """Steps under one heading: a block of the page."""

    name: str
    title: str
    steps: tuple[Step, ...]
    paragraphs: tuple[str, ...] = ()
    laboratory_only: bool = False
