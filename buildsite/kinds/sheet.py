"""
The blocks of a report: tables, one plot, notes. No markup, no numbers to be rounded.

`pages/` draws them for every kind; `points.csv` is written from the same tables. A
kind names other records by (what, id); pages turn that into a link.
"""

from array import array
from collections.abc import Iterable
from datetime import date
from itertools import chain

from buildsite.values import dataclass

Target = tuple[str, str]
"""The target of a cell: ("test" | "sample" | "project" | "equipment" | "soil" |
"method" | "check" | "revision" | "family", its id; a revision's is HF-0117/r1, a
family's heron-flats/embankment; or "cell", a row of a standard: its designation, method
and label, as AASHTO T 180|C|Mold volume; or "page", a folder of the site; or "find",
the question put to the list of all tests; or "pair", two tests, as
HF-0101&b=HF-0104; or "step", a line of a test's working)."""


@dataclass(frozen=True)
class Cell:
    """
    One cell, ready to print. `to` makes it a link where that page exists.

    A `command` is to be typed: a line breaks between its options, and not in one. A
    `curve` is drawn small below the text.
    """

    text: str
    to: Target | None = None
    command: bool = False
    curve: "DrawnCurve | None" = None

    def linked(self, to: Target) -> "Cell":
        """Return the cell as a link."""
        return Cell(self.text, to, self.command, self.curve)


@dataclass(frozen=True)
class Column:
    """A column: `label`, `unit` printed under it; numbers align."""

    label: str
    unit: str = ""
    number: bool = False
    key: str = ""  # name in points.csv, unit included: wet_density_kg_m3
    steps: str = ""  # lines of the working, before the point's number: wet-density


@dataclass(frozen=True)
class Row:
    cells: tuple[Cell, ...]
    mark: str = ""  # "rejected", "changed"
    point: int = 0  # number shared with the point of the plot, from 1
    anchor: str = ""  # name by which other pages point to this row
    words: str = ""  # what a filter finds it by besides its cells
    step: str = ""  # line of the working that gives the value: maximum_dry_density


@dataclass(frozen=True)
class Table:
    """
    Rows under columns, or, with `headed="row"`, facts: a label and its text.

    `role` is the purpose of the block, by which pages place it:
    results | lesser | points | pairs | facts | people | flags | forms | revisions |
    more. Of several results, `lesser` are those beside the ones that count; `pairs`
    stand beside the figure of their curves.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    role: str = "facts"
    headed: str = "column"  # column | row
    note: str = ""
    laboratory_only: bool = False  # left out of what leaves the laboratory
    parts: tuple[Cell, ...] = ()  # of a long list: each part, the one shown unlinked


def fact_table(
    name: str, title: str, facts: Iterable[tuple[str, "Cell | str"]]
) -> Table:
    """Return a table of labels and facts; empty facts are left out."""
    cells = [
        (label, stated if isinstance(stated, Cell) else Cell(stated))
        for label, stated in facts
    ]
    rows = tuple(Row((Cell(label), cell)) for label, cell in cells if cell.text)
    return Table(name, title, (Column("What"), Column("Stated")), rows, headed="row")


@dataclass(frozen=True)
class Note:
    """
    Paragraphs.

    `role`: statement | caution | remark | deviation | banner | target.
    """

    name: str
    title: str
    paragraphs: tuple[str, ...]
    role: str = "remark"
    laboratory_only: bool = False


@dataclass(frozen=True)
class Axis:
    """
    `low`..`high` are fixed round numbers, `step` between labelled ticks.

    `plus`: along stations, the digits after the plus (12+40 has two).
    """

    label: str
    unit: str
    low: float
    high: float
    step: float
    decimals: int
    plus: int = 0


@dataclass(frozen=True)
class Line:
    """
    A drawn line, labelled.

    `kind`: curve | curve-before | air-voids | drop | limit; a `window` is an outline
    inside the axes whose inside is shaded; a `move` is drawn as an arrow between two
    marks, from its first point to its last.
    """

    kind: str
    x: tuple[float, ...]
    y: tuple[float, ...]
    label: str = ""


@dataclass(frozen=True)
class Dot:
    """
    A dot of the plot.

    `kind`: point | second | rejected | failed | peak | governing; a point and a peak of
    before, hollow and pale: point-before | peak-before. A `governing` one is the pair
    corrected for oversize, beside the peak of the curve.
    """

    kind: str
    x: float
    y: float
    number: int = 0
    label: str = ""


Pair = tuple[float, float]
"""Water content [%] and dry density [kg/m³]."""


@dataclass(frozen=True)
class DrawnCurve:
    """
    A compaction curve of a figure, in SI: read off there, and drawn with others.

    `line` is packed (`packed_line`), since the lists of a site hold thousands. `found`
    is a curve taken between others, not measured. `maximum` and `optimum` are the
    governing pair as reported: what field tests are judged by.
    """

    unit: str  # of density, as in records: lbf/ft3
    line: bytes
    peak: Pair | None = None
    governing: Pair | None = None
    maximum: str = ""  # in `unit`
    optimum: str = ""  # [%]
    specific_gravity: float | None = None
    water_density: float | None = None  # [kg/m³]
    found: bool = False

    @property
    def way(self) -> tuple[Pair, ...]:
        """Return the places along the curve."""
        values = array("f", self.line)
        return tuple(zip(values[::2], values[1::2], strict=True))

    @property
    def judged(self) -> Pair | None:
        """Return the pair that field tests are judged by, else the peak."""
        return self.governing or self.peak

    @property
    def corrected(self) -> bool:
        """Whether field tests are judged by a pair that is not the curve's peak."""
        return self.governing is not None and self.governing != self.peak


def packed_line(way: Iterable[Pair]) -> bytes:
    """
    Return places along a curve in eight bytes each: to seven digits, for drawing.

    >>> DrawnCurve("kg/m3", packed_line([(8.5, 1950.0), (9.0, 1960.5)])).way
    ((8.5, 1950.0), (9.0, 1960.5))
    """
    return array("f", chain.from_iterable(way)).tobytes()


@dataclass(frozen=True)
class Plot:
    """One figure in printed units. `alt` states the shape and the result in words."""

    name: str
    title: str
    x: Axis
    y: Axis
    lines: tuple[Line, ...]
    dots: tuple[Dot, ...]
    alt: str
    caption: str = ""
    curve: DrawnCurve | None = None  # the one that is read off
    several: tuple[tuple[str, DrawnCurve], ...] = ()  # or these, by their tests


@dataclass(frozen=True)
class Sheet:
    """The report of one record, its blocks in reading order."""

    title: str
    subtitle: str
    blocks: tuple[Table | Plot | Note, ...]
    day: date | None = None  # of the work: lists are sorted by it

    def table(self, name: str) -> Table | None:
        """Return the table of that name, if there is one."""
        for block in self.blocks:
            if isinstance(block, Table) and block.name == name:
                return block
        return None
