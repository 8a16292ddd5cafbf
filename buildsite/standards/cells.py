"""A cell: one figure or word of a standard, and where it comes from."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from buildsite.record import units
from buildsite.values import dataclass

STATUSES = ("read", "from memory", "common practice", "computed")
"""How sure a cell is: read in the publication, recalled, unwritten, or derived."""

PUBLISHED = ("read", "from memory")
"""The statuses of a cell that a publication requires."""

UNCHECKED = "not yet checked against the standard's text"
"""How a recalled figure is marked wherever a person reads it."""

_WORK = units.POUND * units.GRAVITY * units.FOOT
"""A foot-pound of work. [J]"""

_ENERGY = {
    "ft-lbf/ft3": _WORK / units.FOOT**3,
    "kN-m/m3": Fraction(1000),
    "kJ/m3": Fraction(1000),
}
"""Work on a volume of soil; not a unit of records. [J/m³]"""


def to_si(value: Decimal, unit: str) -> float:
    """
    Return a figure of a standard in SI; %, h, months, ° and plain counts stay.

    >>> to_si(Decimal("12.00"), "in")
    0.3048
    >>> to_si(Decimal("600"), "kN-m/m3")
    600000.0
    """
    if unit in _ENERGY:
        return float(Fraction(value) * _ENERGY[unit])
    return units.to_si(value, unit) if unit in units.UNITS else float(value)


def si_unit(unit: str) -> str:
    """
    Return the unit of a figure after `to_si`.

    >>> si_unit("ft3"), si_unit("%")
    ('m3', '%')
    """
    if unit in _ENERGY:
        return "J/m3"
    return units.UNITS[unit].si if unit in units.UNITS else unit


@dataclass(frozen=True)
class Printed:
    """A figure as a standard prints it, digits and all, with its tolerance."""

    value: str
    unit: str = ""
    tolerance: str = ""

    @cached_property
    def si(self) -> float:
        """The figure in SI."""
        return to_si(Decimal(self.value), self.unit)

    @cached_property
    def si_tolerance(self) -> float | None:
        """The tolerance in SI, where one is printed."""
        return to_si(Decimal(self.tolerance), self.unit) if self.tolerance else None

    def __str__(self) -> str:
        """Write value, tolerance and unit as on a page."""
        shown = units.UNITS[self.unit].shown if self.unit in units.UNITS else self.unit
        band = f" ± {self.tolerance}" if self.tolerance else ""
        return f"{self.value}{band} {shown}".rstrip()


@dataclass(frozen=True)
class Cell:
    """
    One figure or word.

    `value`, `unit`, `tolerance` are the text that is printed; `also` the same figure
    in the standard's other system of units. `soils` are the soil classes that the
    cell is for, where not for all. `confirmed`: who of the laboratory confirmed it with
    its own copy of the source, and when.
    """

    name: str
    value: str
    unit: str
    source: str
    clause: str
    edition: str
    status: str
    note: str = ""
    tolerance: str = ""
    also: Printed | None = None
    soils: tuple[str, ...] = ()
    confirmed: str = ""

    @cached_property
    def printed(self) -> Printed:
        """The figure in the standard's first system of units."""
        return Printed(self.value, self.unit, self.tolerance)

    @property
    def si(self) -> float:
        """The figure in SI."""
        return self.printed.si

    @property
    def si_tolerance(self) -> float | None:
        """The tolerance in SI, where one is printed."""
        return self.printed.si_tolerance

    @property
    def choices(self) -> tuple[str, ...]:
        """The words of a cell that leaves a choice: `round or sector`."""
        return tuple(self.value.split(" or "))

    @property
    def basis(self) -> str:
        """
        Return the source of the cell, for a flag or a page.

        >>> cell = Cell("layers", "3", "", "ASTM D698", "1.1", "12(2021)", "read")
        >>> cell.basis
        'ASTM D698-12(2021), clause 1.1'
        """
        if self.status == "common practice":
            return self.status
        dated = self.source + edition_mark(self.edition)
        text = f"{dated}, {place(self.clause)}" if self.clause else dated
        return text if self.status == "read" else f"{text} ({status_text(self.status)})"

    @property
    def short_basis(self) -> str:
        """Return the basis in short, for the bench."""
        return short_basis(self.basis)

    def __str__(self) -> str:
        """Write the figure in both systems of units."""
        return f"{self.printed} ({self.also})" if self.also else str(self.printed)


UNCHECKED_MARK = ", unchecked"
"""How it is marked in short."""


def short_basis(basis: str) -> str:
    """
    Return a source in short, for a table or the bench.

    >>> short_basis("ASTM D698, table 2 (not yet checked against the standard's text)")
    'ASTM D698, table 2, unchecked'
    """
    return basis.replace(f" ({UNCHECKED})", UNCHECKED_MARK)


def status_text(status: str) -> str:
    """Return a status in the words for a reader."""
    return UNCHECKED if status == "from memory" else status


def edition_mark(edition: str) -> str:
    """
    Return an edition as written after its publication: `-12e2`, ` (1990)`.

    >>> edition_mark("17"), edition_mark("1990"), edition_mark("January 2024")
    ('-17', ' (1990)', ' (January 2024)')
    """
    if not edition:
        return ""
    year = edition[:4]
    whole = (len(year) == 4 and year.isdigit()) or not edition[:1].isdigit()
    return f" ({edition})" if whole else f"-{edition}"


def place(clause: str) -> str:
    """
    Return a place in a publication: a number is a clause; else as written.

    >>> place("1.3.1"), place("table 2")
    ('clause 1.3.1', 'table 2')
    """
    return f"clause {clause}" if clause[:1].isdigit() else clause


def cell_from(name: str, row: Mapping[str, object]) -> Cell:
    """Make a cell of one row of a file; a row without source or status is refused."""
    also = row.get("also")
    return Cell(
        name=name,
        value=text_at(row, "value"),
        unit=text_at(row, "unit"),
        source=text_at(row, "source"),
        clause=text_at(row, "clause"),
        edition=text_at(row, "edition"),
        status=text_at(row, "status"),
        note=text_at(row, "note"),
        tolerance=text_at(row, "tolerance"),
        also=_printed(also) if isinstance(also, dict) else None,
        soils=tuple(list_at(row, "for")),
    )


class CellRows(Mapping[str, Cell]):
    """The cells of a file's rows by name, each made when it is first asked for."""

    def __init__(self, rows: Mapping[str, Mapping[str, object]]) -> None:
        self._rows = rows
        self._made: dict[str, Cell] = {}

    def __getitem__(self, name: str) -> Cell:
        if name not in self._made:
            self._made[name] = cell_from(name, self._rows[name])
        return self._made[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)


def _printed(row: Mapping[str, object]) -> Printed:
    return Printed(
        text_at(row, "value"), text_at(row, "unit"), text_at(row, "tolerance")
    )


def text_at(row: Mapping[str, object], key: str) -> str:
    """Return the scalar at `key`, or nothing."""
    found = row.get(key, "")
    if not isinstance(found, str):
        raise TypeError(f"{key}: expected one word or figure, not {found!r}")
    return found


def list_at(row: Mapping[str, object], key: str) -> Iterator[str]:
    """Yield the scalars of the list at `key`."""
    found = row.get(key, ())
    if isinstance(found, str) or not isinstance(found, list | tuple):
        raise TypeError(f"{key}: expected a list, not {found!r}")
    yield from (str(item) for item in found)
