"""
The steps of a working: formulas with values put in, what they gave, where all is from.

They are data. `kinds/working.py` helps a kind to make them of its case, with the values
of the outcome; `pages/working.py` draws them for any kind. Tuples, as a page has two
hundred of them.
"""

from typing import NamedTuple

from buildsite.kinds.sheet import Target
from buildsite.record.flags import Field


class Input(NamedTuple):
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


class Line(NamedTuple):
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


class Symbol(NamedTuple):
    """A symbol of a formula: what it is; a constant with its value."""

    symbol: str
    words: str
    unit: str = ""
    value: str = ""
    to: Target | None = None


class Step(NamedTuple):
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


class Steps(NamedTuple):
    """Steps under one heading: a block of the page."""

    name: str
    title: str
    steps: tuple[Step, ...]
    paragraphs: tuple[str, ...] = ()
    laboratory_only: bool = False
