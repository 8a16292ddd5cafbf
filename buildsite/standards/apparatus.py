"""What is asked of equipment beside the rows of the methods."""

from functools import cache

from buildsite.standards.cells import Cell, cell_from
from buildsite.standards.reading import read


@cache
def limit(name: str) -> Cell:
    """
    Find one limit of equipment by its name.

    >>> str(limit("oven_off"))
    '5 °C'
    """
    return cell_from(name, read("apparatus")["cells"][name])
