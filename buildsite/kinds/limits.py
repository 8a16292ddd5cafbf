"""A result against a limit of a standard, compared as that standard says."""

from buildsite.soil.rounding import round_half_even, snap
from buildsite.standards.tables import Cell, Method


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
