"""Units as people type them behind a number: the record keeps number and unit so."""

import re
from collections.abc import Mapping
from string import Formatter
from typing import Any

from buildsite.kinds.blank import USUAL_UNITS, Ask
from buildsite.kinds.kind import Kind
from buildsite.record.messages import join_choices
from buildsite.record.units import UNITS, names

QUANTITIES = tuple(USUAL_UNITS)
"""Quantities that a question may name in braces: "Mass in {mass}"."""

SPELLED = {
    **{name.lower(): name for name in UNITS},
    **dict.fromkeys(("lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("inch", "inches", '"'), "in"),
    **dict.fromkeys(("cm³", "cc", "ml"), "cm3"),
    **dict.fromkeys(("ft³", "cu ft", "cu. ft", "cf"), "ft3"),
    **dict.fromkeys(("liter", "liters", "litre", "litres"), "L"),
    "m³": "m3",
}
"""Units by the forms that people type, in lower case."""

ENDS_WITH_UNIT = re.compile(
    r"(?P<digits>.*?[0-9])\s*(?P<unit>"
    + "|".join(re.escape(one) for one in sorted(SPELLED, key=len, reverse=True))
    + r")\.?",
    re.IGNORECASE,
)


def unit_place(quantity: str) -> str:
    """Return the name of the answer that is the unit of a quantity."""
    return f"{quantity}_unit"


def quantity_of(ask: Ask) -> str:
    """
    Return the quantity that a question asks for; empty for none.

    >>> quantity_of(Ask("drop", "Drop in {length}")), quantity_of(Ask("on", "Day"))
    ('length', '')
    """
    fields = [name for _, name, _, _ in Formatter().parse(ask.words) if name]
    return next((name for name in fields if name in QUANTITIES), "")


def worded(ask: Ask, answers: Mapping[str, str]) -> str:
    """
    Return the words of a question, with the units of the record in their places.

    >>> worded(Ask("mass", "Mass in {mass}"), {"mass_unit": "lb"})
    'Mass in lb'
    """
    if not quantity_of(ask):
        return ask.words
    units = {
        one: answers.get(unit_place(one)) or USUAL_UNITS[one] for one in QUANTITIES
    }
    return ask.words.format(**{one: UNITS[name].shown for one, name in units.items()})


def with_unit_taken(
    kind: Kind[Any, Any], answers: Mapping[str, str], name: str
) -> dict[str, str]:
    """
    Return the answers with the unit behind one of them as the record's unit.

    Raises
    ------
    ValueError
        If it is no unit of that quantity, or other answers have another unit.
    """
    asks = kind.blank.asks if kind.blank is not None else ()
    asked = {ask.name: quantity_of(ask) for ask in asks}
    quantity = asked.get(name, "")
    found = ENDS_WITH_UNIT.fullmatch(answers.get(name, "").strip())
    if not quantity or found is None:
        return dict(answers)
    unit, place = SPELLED[found["unit"].lower()], unit_place(quantity)
    if UNITS[unit].quantity != quantity:
        known = join_choices(names(quantity))
        raise ValueError(f"{found['unit']} is no unit of {quantity}: {known}.")
    now = answers.get(place) or USUAL_UNITS[quantity]
    for other, of in asked.items():
        typed = (
            answers.get(other, "").strip() if of == quantity and other != name else ""
        )
        own = ENDS_WITH_UNIT.fullmatch(typed)
        if typed and unit != (SPELLED[own["unit"].lower()] if own else now):
            raise ValueError(
                f"{unit}, and {other.replace('_', ' ')} is in {now}; a record has one "
                f"unit for each quantity: type it in {now}, or that one in {unit}."
            )
    return {**answers, name: found["digits"].strip(), place: unit}
