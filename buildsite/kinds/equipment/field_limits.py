"""Limits of apparatus that the standards of its field tests state."""

from collections.abc import Iterator
from functools import cache

from buildsite.standards.cells import STATUSES, Cell
from buildsite.standards.method import Method
from buildsite.standards.tables import designations, find, standard


def field_methods(apparatus: str) -> Iterator[Method]:
    """Yield every method on file of a field density with that apparatus."""
    for designation in designations("field-density"):
        known = standard(designation)
        for name in known.methods if known is not None else ():
            method = find(designation, name)
            cell = method.optional("apparatus") if method is not None else None
            if method is not None and cell is not None and cell.value == apparatus:
                yield method


@cache
def field_limit(apparatus: str, name: str) -> Cell:
    """
    Return the strictest limit of that name; of equal ones the best known.

    One apparatus serves several standards, and its record names none.

    >>> str(field_limit("sand-cone", "sand_interval"))
    '14 days'
    """
    cells = [
        cell
        for method in field_methods(apparatus)
        if (cell := method.optional(name)) is not None
    ]
    return min(cells, key=lambda cell: (cell.si, STATUSES.index(cell.status)))
