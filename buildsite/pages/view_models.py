"""
Blocks made ready for the template: strings and links, nothing left to decide.

Templates neither compute, sort nor format; what they loop over is made here.
"""

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import NamedTuple

from buildsite.kinds.sheet import Column, Note, Plot, Row, Table
from buildsite.pages.links import Links

Block = Table | Plot | Note

MARKS_IN_WORDS = ("rejected", "used", "changed")
"""Marks that no cell of their row says: they stand beside its name."""

BANNERS = ("banner", "caution", "moved")
"""Roles of notes that stand across the page."""

SHORT = 18
"""Letters up to which a cell of a list stays on one line: ids, days, methods."""


class CellView(NamedTuple):
    text: str
    href: str
    css: str


class RowView(NamedTuple):
    css: str
    word: str  # the mark in words, where no cell says it
    anchor: str
    point: str
    head: CellView
    cells: tuple[CellView, ...]


class BlockView(NamedTuple):
    """One block. `shape` says which part of the template draws it."""

    shape: str  # table | folded | facts | results | plot | note
    id: str
    title: str
    css: str
    columns: tuple[CellView, ...] = ()  # label; unit in `href`'s place
    rows: tuple[RowView, ...] = ()
    note: str = ""
    paragraphs: tuple[str, ...] = ()
    alt: str = ""
    frame: tuple[tuple[str, str], ...] = ()  # data of the axes, for the script


class Region(NamedTuple):
    """Blocks that stand together: beside each other where there is room."""

    css: str
    blocks: tuple[BlockView, ...]


FIGURE_SPACE, POINT_SPACE = "\u2007", "\u2008"


def keep_units(text: str) -> str:
    r"""
    Keep a number and its unit on one line.

    >>> keep_units("12.3 % at 20 °C").split(" ")
    ['12.3\xa0%', 'at', '20\xa0°C']
    """
    return text.replace(" %", "\u00a0%").replace(" °C", "\u00a0°C")


def decimals(text: str) -> int | None:
    """
    Decimals of a number as printed; nothing for what is no number.

    >>> decimals("121.30"), decimals("-4"), decimals("—")
    (2, 0, None)
    """
    whole, _, rest = text.lstrip("-").partition(".")
    if not whole.isdigit() or (rest and not rest.isdigit()):
        return None
    return len(rest)


def align_decimals(texts: Sequence[str]) -> list[str]:
    """
    Fill numbers up with blanks of a digit's width, so that their points line up.

    >>> [one.replace(FIGURE_SPACE, "_") for one in align_decimals(["8.5", "8.52", "—"])]
    ['8.5_', '8.52', '—']
    """
    places = [decimals(text) for text in texts]
    most = max((place for place in places if place is not None), default=0)
    filled = []
    for text, place in zip(texts, places, strict=True):
        if place is None or place == most:
            filled.append(text)
        else:
            point = POINT_SPACE if place == 0 else ""
            filled.append(text + point + FIGURE_SPACE * (most - place))
    return filled


def table_view(table: Table, links: Links) -> BlockView:
    """Prepare a table with a heading over each column."""
    lines = [[keep_units(cell.text) for cell in row.cells] for row in table.rows]
    for i, column in enumerate(table.columns):
        if column.number:
            for line, text in zip(
                lines, align_decimals([x[i] for x in lines]), strict=True
            ):
                line[i] = text
    css = ["n" if column.number else "" for column in table.columns]
    rows = tuple(
        row_view(
            row,
            [
                CellView(text, links.to(cell.to), name or short_class(text))
                for text, cell, name in zip(line, row.cells, css, strict=True)
            ],
        )
        for row, line in zip(table.rows, lines, strict=True)
    )
    return BlockView(
        "folded" if table.role == "folded" else "table",
        table.name,
        table.title,
        css_classes(table),
        columns=tuple(heading_view(column) for column in table.columns),
        rows=rows,
        note=keep_units(table.note),
    )


def short_class(text: str) -> str:
    """Class of a cell that stays on one line."""
    return "s" if len(text) <= SHORT else ""


def heading_view(column: Column) -> CellView:
    """Prepare the heading of a column, its unit beside it."""
    return CellView(column.label, column.unit, "n" if column.number else "")


def row_view(row: Row, cells: Sequence[CellView]) -> RowView:
    """Prepare one row: its first cell names it."""
    css = f"is-{row.mark.replace('_', '-')}" if row.mark else ""
    word = row.mark if row.mark in MARKS_IN_WORDS else ""
    point = str(row.point) if row.point else ""
    return RowView(css, word, row.anchor, point, cells[0], tuple(cells[1:]))


def facts_view(table: Table, links: Links) -> BlockView:
    """Prepare labels with what is stated of each."""
    rows = tuple(
        row_view(
            row,
            [
                CellView(keep_units(cell.text), links.to(cell.to), "")
                for cell in row.cells
            ],
        )
        for row in table.rows
    )
    shape = "results" if table.role == "results" else "facts"
    return BlockView(
        shape,
        table.name,
        table.title,
        css_classes(table),
        rows=rows,
        note=keep_units(table.note),
    )


def css_classes(block: Table | Note) -> str:
    """Classes of a block: its role, and whether it stays in the laboratory."""
    return block.role + (" laboratory-only" if block.laboratory_only else "")


def plot_view(plot: Plot, frame: Sequence[tuple[str, str]]) -> BlockView:
    """Prepare the place of a figure, whose picture is a file of its own."""
    return BlockView(
        "plot",
        plot.name,
        plot.title,
        "plot",
        note=keep_units(plot.caption),
        alt=plot.alt,
        frame=tuple(frame),
    )


def block_view(
    block: Block, links: Links, frame: Sequence[tuple[str, str]] = ()
) -> BlockView:
    """Prepare one block."""
    if isinstance(block, Note):
        return BlockView(
            "note",
            block.name,
            block.title,
            css_classes(block),
            paragraphs=tuple(map(keep_units, block.paragraphs)),
        )
    if isinstance(block, Plot):
        return plot_view(block, frame)
    if block.headed == "row":
        return facts_view(block, links)
    return table_view(block, links)


def region_class(block: Block) -> str:
    """Kind of region that a block stands in."""
    if isinstance(block, Plot):
        return "pair"
    if isinstance(block, Note):
        return "banner" if block.role in BANNERS else "notes"
    if block.role in ("results", "points"):
        return "pair" if block.role == "points" else "results"
    return "facts" if block.headed == "row" else "full"


def regions(
    blocks: Iterable[Block],
    links: Links,
    frame: Sequence[tuple[str, str]] = (),
    *,
    laboratory: bool,
) -> tuple[Region, ...]:
    """Group blocks in reading order: neighbours of one sort share a region."""
    kept = [
        block
        for block in blocks
        if laboratory or isinstance(block, Plot) or not block.laboratory_only
    ]
    return tuple(
        Region(
            f"in-{css}", tuple(block_view(block, links, frame) for block in together)
        )
        for css, together in groupby(kept, region_class)
    )
