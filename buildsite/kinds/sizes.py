"""Rows that go by the largest particle, named as a sieve that passes it."""

from buildsite.kinds.sieves import opening_mm
from buildsite.standards.tables import Cell, Method


def by_size(method: Method, lead: str, sieve: str) -> Cell | None:
    """
    Return the cell that is for particles of a size: the next size up that is listed.

    `None` where the standard lists no such size, or nobody knows the sieve.
    """
    wanted = opening_mm(sieve)
    if wanted is None:
        return None
    enough = [one for one in all_sizes(method, lead) if one[0] >= wanted]
    return enough[0][2] if enough else None


def all_sizes(method: Method, lead: str) -> list[tuple[float, str, Cell]]:
    """Opening [mm], sieve and cell of every size that is listed, finest first."""
    listed = [
        (opening, size, cell)
        for name, cell in method.cells.items()
        if name.startswith(lead)
        for size in cell.soils
        if (opening := opening_mm(size)) is not None
    ]
    return sorted(listed, key=lambda one: one[0])
