"""Limits for values: those of a standard, and physical ones."""

from decimal import Decimal

from buildsite.record.units import from_si
from buildsite.soil.rounding import plain, round_half_even, snap
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method

HAIR = 1e-9
"""Relative tolerance for values on a limit, after conversion to SI."""


POSSIBLE_GRAVITY = (Decimal("1.5"), Decimal(5))
"""Specific gravities of soils, from peat to iron ore."""

USUAL_GRAVITY = (Decimal("2.4"), Decimal("3.0"))
"""Specific gravity of inorganic soil: mostly 2.60 to 2.80, with room for laterites
and for soils with some organic matter."""

USUAL_GRAVITY_BASIS = "FM 5-472 (2000): most inorganic soils 2.60 to 2.80"

ORGANIC = ("OL", "OH", "PT")
"""Soil classes that may have a lower specific gravity."""


def above(value: float, cell: Cell, method: Method) -> bool:
    """
    Whether a result is above a limit.

    Under standards that round first, the result takes the limit's last place (ASTM
    E29, AASHTO R 11): 25.4 % is not above 25 %.
    """
    how = method.optional("limits_compared")
    if how is None or not how.value.startswith("rounded"):
        return value > cell.si
    places = len(cell.value.partition(".")[2])
    return float(round_half_even(snap(value), places)) > cell.si


def within(cell: Cell, value: float, more_percent: float = 0.0) -> bool:
    """
    Whether an SI value is within a cell's tolerance, in either of its unit systems.

    Without a tolerance every value is. The tolerance is increased by `more_percent`.
    """
    bands = [band for band in (cell.printed, cell.also) if band is not None]
    return any(
        band.si_tolerance is None
        or abs(value - band.si)
        <= band.si_tolerance * (1 + more_percent / 100) + HAIR * band.si
        for band in bands
    )


def in_unit(value: float, cell: Cell) -> str:
    """Return an SI value in a cell's unit, with one more decimal than the cell."""
    places = len(cell.value.partition(".")[2]) + 1
    return f"{plain(round_half_even(from_si(value, cell.unit), places))} {cell.unit}"


def least_face(method: Method) -> tuple[float, Cell] | None:
    """Return the least diameter of a round rammer face in service [m], and its cell."""
    cell = method.optional("rammer_face_least") or method.optional("rammer_face_wear")
    nominal = method.rammer_face_diameter_m
    if cell is None or nominal is None:
        return None
    return (cell.si if cell.name == "rammer_face_least" else nominal - cell.si), cell
