"""Sieves by any of their names: No. 4, #4 and 4.75 mm are the same."""

import re
from functools import lru_cache

from buildsite.standards.cells import Cell
from buildsite.standards.method import Method

OPENINGS_MM = {
    "4": 100.0,
    "3 1/2": 90.0,
    "3": 75.0,
    "2 1/2": 63.0,
    "2": 50.0,
    "1 1/2": 37.5,
    "1": 25.0,
    "3/4": 19.0,
    "1/2": 12.5,
    "3/8": 9.5,
    "1/4": 6.3,
    "no4": 4.75,
    "no8": 2.36,
    "no10": 2.0,
    "no16": 1.18,
    "no20": 0.85,
    "no30": 0.6,
    "no40": 0.425,
    "no50": 0.3,
    "no60": 0.25,
    "no100": 0.15,
    "no200": 0.075,
}
"""Opening by alternative designation: ASTM E11, table 1 (from memory)."""

GRADATION = {
    "retained_37_5_mm": "37.5 mm",
    "retained_31_5_mm": "31.5 mm",
    "retained_20_mm": "20 mm",
    "retained_3_4_in": "3/4 in",
    "retained_16_mm": "16 mm",
    "retained_3_8_in": "3/8 in",
    "retained_no_4": "No. 4",
}
"""Fields of a sample's gradation, coarse to fine, and their sieves."""

_INCHES = re.compile(r"([0-9 /]+?)[ -]*(?:in\.?|inch|inches|\")")
_NUMBER = re.compile(r"(?:no\.?|number|#)[ -]*([0-9]+)")
_MILLIMETRES = re.compile(r"([0-9]+(?:\.[0-9]+)?)[ -]*mm")


@lru_cache(256)
def opening_mm(name: str) -> float | None:
    """
    Return the opening of a sieve by its name, if known. [mm]

    >>> opening_mm("No. 4"), opening_mm("#4"), opening_mm("3/4 in"), opening_mm("19 mm")
    (4.75, 4.75, 19.0, 19.0)
    """
    text = " ".join(name.lower().replace("-", " ").split())
    if found := _MILLIMETRES.fullmatch(text):
        return float(found[1])
    if found := _NUMBER.fullmatch(text):
        return OPENINGS_MM.get(f"no{found[1]}")
    if found := _INCHES.fullmatch(text):
        return OPENINGS_MM.get(found[1].strip())
    return None


def sieve_name(typed: str) -> str:
    """
    Return the name of a sieve as it is usually written; what nobody knows, as typed.

    >>> [sieve_name(one) for one in ("#4", "no 4", '3/4"', "19 mm", "4")]
    ['No. 4', 'No. 4', '3/4 in', '19 mm', '4']
    """
    text = " ".join(typed.lower().replace("-", " ").split())
    if opening_mm(typed) is None:
        return typed
    if found := _NUMBER.fullmatch(text):
        return f"No. {found[1]}"
    if found := _INCHES.fullmatch(text):
        return f"{found[1].strip()} in"
    return typed


def gradation_field(sieve: str) -> str | None:
    """
    Return the field of a gradation for a sieve, if there is one.

    >>> gradation_field("19 mm"), gradation_field("2 in")
    ('retained_3_4_in', None)
    """
    return next(
        (field for field, name in GRADATION.items() if same_sieve(name, sieve)), None
    )


def same_sieve(one: str, other: str) -> bool:
    """
    Whether two names are of one sieve; unknown names must be spelled alike.

    >>> same_sieve("4.75 mm", "no 4"), same_sieve("3/8 in", "No. 4")
    (True, False)
    """
    first, second = opening_mm(one), opening_mm(other)
    if first is None or second is None:
        return one.casefold().split() == other.casefold().split()
    return first == second


def by_size(method: Method, lead: str, sieve: str) -> Cell | None:
    """
    Return the cell for particles of a size: that of the next larger size listed.

    None where the standard lists no such size, or the sieve is unknown.
    """
    wanted = opening_mm(sieve)
    if wanted is None:
        return None
    enough = [one for one in all_sizes(method, lead) if one[0] >= wanted]
    return enough[0][2] if enough else None


def all_sizes(method: Method, lead: str) -> list[tuple[float, str, Cell]]:
    """Return opening [mm], sieve and cell of every size listed, finest first."""
    listed = [
        (opening, size, cell)
        for name, cell in method.cells.items()
        if name.startswith(lead)
        for size in cell.soils
        if (opening := opening_mm(size)) is not None
    ]
    return sorted(listed, key=lambda one: one[0])
