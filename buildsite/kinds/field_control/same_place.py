"""
Whether two field tests are of one lift, and at one place, however each writes it.

"Lift 7", "7" and "07" are one lift: a failure does not leave its lift by a spelling. A
place is one only where both tests say the same of it.
"""

import re
from collections.abc import Mapping
from decimal import Decimal, InvalidOperation

LEVELS = {"elevation", "depth_below_grade"}
"""Parts of a position that rework changes: a lift rolled again has another surface."""

LOCATING = ({"station"}, {"easting", "northing"}, {"latitude", "longitude"})
"""Parts of a position that tell a place: an offset alone does not."""

SAID = re.compile(r"\b(?:zone|area|lift|layer|no|number)(?=[\W\d_]|$)[\s.:#_-]*|#")
ZEROS = re.compile(r"(?<![\d.])0+(?=\d)")


def spoken_key(text: str) -> str:
    """
    Return a zone or a lift as one spelling.

    >>> [spoken_key(one) for one in ("Lift 07", "7 ", "lift no. 7", "LIFT-7", "7A")]
    ['7', '7', '7', '7', '7a']
    >>> spoken_key("Zone  B"), spoken_key("b"), spoken_key("zone"), spoken_key("1.05")
    ('b', 'b', 'zone', '1.05')
    """
    plain = text.casefold()
    bare = "".join(SAID.sub(" ", plain).split()) or "".join(plain.split())
    return ZEROS.sub("", bare)


def lift_key(zone: str, lift: str) -> tuple[str, str]:
    """Return what all tests and papers of one lift share."""
    return spoken_key(zone), spoken_key(lift)


def said(text: str) -> str | Decimal:
    """Return part of a position as it is compared: 3.2 is 3.20."""
    try:
        found = Decimal(text)
    except InvalidOperation:
        found = Decimal("nan")
    return found if found.is_finite() else "".join(text.casefold().split())


def at_one_place(one: Mapping[str, str], other: Mapping[str, str]) -> bool:
    """
    Whether two positions are one: both locate it in one way, and agree in all they say.

    >>> at_one_place({"station": "12+40", "offset": "3.2"}, {"station": "12+40"})
    True
    >>> at_one_place({"station": "12+40", "unit": "m"}, {"easting": "410", "unit": "m"})
    False
    """
    shared = (one.keys() & other.keys()) - LEVELS
    located = any(parts <= shared for parts in LOCATING)
    return located and all(said(one[name]) == said(other[name]) for name in shared)
