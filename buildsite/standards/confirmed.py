"""Cells that a laboratory confirmed with its own copy of a standard."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from functools import cache

from buildsite.record.units import UNITS
from buildsite.standards.cells import Cell, Printed
from buildsite.standards.labels import label
from buildsite.standards.method import Method
from buildsite.standards.reading import key, stem_of
from buildsite.standards.tables import find, standard
from buildsite.values import dataclass

LAST_ZEROS = re.compile(r"([0-9]+\.[0-9]*?)0+(?![0-9])")
"""The last zeros of a decimal: 116.40 and 116.4 are one figure."""

UNSURE = "from memory"
"""The status of a cell that can be confirmed."""


@dataclass(frozen=True)
class Confirmed:
    """
    One cell as a laboratory found it in its copy, and who looked when.

    `method` is blank for a cell of every method. `edition` and `clause` are of the
    publication that the cell names as its source.
    """

    standard: str
    method: str
    cell: str
    value: str
    edition: str
    clause: str
    on: date
    by: str


def names_of(name: str, cell: Cell) -> tuple[str, ...]:
    """
    Return what a cell may be called: its name, and its label on the page of methods.

    >>> cell = Cell("rammer_mass", "2.495", "kg", "", "", "", "", tolerance="0.009")
    >>> names_of("rammer_mass", cell)
    ('rammer_mass', 'Rammer mass')
    """
    printed = label(name)
    if cell.soils:
        printed = f"{printed.rpartition(' ')[0]}, {' '.join(cell.soils)}"
    return name, printed


def same_standard(one: str, other: str) -> bool:
    """Whether two designations are of one standard, however spelled."""
    return (stem_of(one) or key(one)) == (stem_of(other) or key(other))


def one_system(printed: Printed) -> Iterator[str]:
    """Yield a figure in one system of units, as a person may write it."""
    band = f"±{printed.tolerance}" if printed.tolerance else ""
    shown = UNITS[printed.unit].shown if printed.unit in UNITS else printed.unit
    for unit in dict.fromkeys((printed.unit, shown)):
        yield f"{printed.value}{band}{unit}"
    if printed.unit == "%":
        yield f"{printed.value}{band}"


def squeezed(text: str) -> str:
    """
    Return a value without blanks, in one case and without last zeros, to compare.

    >>> squeezed("116.40 +/- 0.50 mm"), squeezed("Unless fragile"), squeezed("100 g")
    ('116.4±0.5mm', 'unlessfragile', '100g')
    """
    text = "".join(text.replace("+/-", "±").split()).casefold()
    return LAST_ZEROS.sub(lambda found: found[1].removesuffix("."), text)


def says(cell: Cell, value: str) -> bool:
    """
    Whether a cell has that value: in one system of units, or in both as it is shown.

    >>> cell = Cell("rammer_mass", "2.495", "kg", "", "", "", "", tolerance="0.009")
    >>> says(cell, "2.495 ± 0.009 kg"), says(cell, "2.495 kg"), says(cell, "2.5")
    (True, False, False)
    """
    known = [str(cell), *one_system(cell.printed)]
    if cell.also is not None:
        known += one_system(cell.also)
    return squeezed(value) in map(squeezed, known)


def methods_of(designation: str, method: str, edition: str) -> Iterator[Method]:
    """Yield a method of a standard, or all of them, as of an edition."""
    known = standard(designation)
    for name in known.methods if known is not None else ():
        found = find(designation, name, "none", edition)
        if found is not None and method in ("", name):
            yield found


def rows_of(method: Method) -> Iterator[tuple[str, Cell]]:
    """Yield the cells of a method by name; a rounding by `report_` and its quantity."""
    yield from method.cells.items()
    for (quantity, _), cell in method.reporting.items():
        yield f"report_{quantity}", cell


def cells_named(one: Confirmed) -> tuple[Cell, ...]:
    """Return the cells that a confirmation names, of all methods it is for."""
    wanted = key(one.cell)
    return tuple(
        cell
        for method in methods_of(one.standard, one.method, one.edition)
        for name, cell in rows_of(method)
        if wanted in map(key, names_of(name, cell))
    )


def printed_name(one: Confirmed) -> str:
    """Return the name of a confirmed cell as the page of methods has it."""
    for method in methods_of(one.standard, one.method, one.edition):
        for name, cell in rows_of(method):
            names = names_of(name, cell)
            if key(one.cell) in map(key, names):
                return names[-1]
    return one.cell


def unchecked(designation: str, method: str = "", edition: str = "") -> tuple[str, ...]:
    """Return the names of the cells of a standard that are not yet checked."""
    found = (
        name
        for one in methods_of(designation, method, edition)
        for name, cell in rows_of(one)
        if cell.status == UNSURE
    )
    return tuple(dict.fromkeys(found))


def confirms(one: Confirmed, method: Method, name: str, cell: Cell) -> bool:
    """Whether a confirmation is of this cell, which is unchecked, with this value."""
    if cell.status != UNSURE or one.method not in ("", method.name):
        return False
    named = key(one.cell) in map(key, names_of(name, cell))
    return named and says(cell, one.value) and cell.source in sources(one)


@cache
def sources(one: Confirmed) -> frozenset[str]:
    """Return the publications of the cells that a confirmation is of."""
    return frozenset(cell.source for cell in cells_named(one) if says(cell, one.value))


def confirmed_cell(
    method: Method, name: str, cell: Cell, confirmed: Iterable[Confirmed]
) -> Cell:
    """Return a cell as the laboratory confirmed it; itself if it did not."""
    for one in confirmed:
        if confirms(one, method, name, cell):
            return replace(
                cell,
                status="read",
                edition=one.edition,
                clause=one.clause,
                confirmed=f"{one.by}, {one.on}",
            )
    return cell


@cache
def with_confirmed(method: Method, confirmed: tuple[Confirmed, ...]) -> Method:
    """Return a method with the cells that the laboratory confirmed."""
    mine = [one for one in confirmed if same_standard(one.standard, method.designation)]
    if not mine:
        return method
    return replace(
        method,
        cells={
            name: confirmed_cell(method, name, cell, mine)
            for name, cell in method.cells.items()
        },
        reporting={
            at: confirmed_cell(method, f"report_{at[0]}", cell, mine)
            for at, cell in method.reporting.items()
        },
    )
