"""
Blocks prepared for the template: strings and links only.

Templates neither compute, sort nor format.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby, takewhile
from types import MappingProxyType
from typing import NamedTuple

from buildsite.kinds.sheet import Note, Plot, Table
from buildsite.pages.links import Links
from buildsite.pages.markup import fact_rows, keep_units, table_rows
from buildsite.pages.steps_html import (
    RecordBlock,
    StepsBlock,
    record_rows,
    steps_rows,
)


class Picture(NamedTuple):
    """A figure without axes to read off, in a file of its own beside the page."""

    name: str
    title: str
    alt: str
    size: tuple[int, int]  # width and height [px]
    caption: str = ""
    role: str = "picture"


Block = Table | Plot | Note
"""A block of a sheet."""

FOLDED = ("folded", "entry-fields")
"""Roles of tables that a reader opens."""

Shown = Block | StepsBlock | RecordBlock | Picture
"""A block of a page."""

BANNERS = ("banner", "caution", "moved", "search")
"""Roles of notes as wide as the page."""

FULL = ("hand",)
"""Roles of notes that hold more than paragraphs."""


OWN_REGIONS = {
    "change": "change",
    "weighed": "weighed",
    "compared": "pair",
    "two-tests": "two",
    "entry": "entries",
    "entry-fields": "entries",
}
"""Roles of the blocks that compare or tell a history, and the region each goes into."""


LEAD = ("results", "lesser", "target", "banner", "moved")
"""Roles of what a reader came for, and is warned of, where a page begins with them."""


class BlockView(NamedTuple):
    """One block. `shape` tells which part of the template renders it."""

    shape: str  # table | folded | facts | plot | note | steps
    id: str
    title: str
    css: str
    columns: tuple[tuple[str, str, str], ...] = ()  # label, unit, class
    rows: str = ""  # as HTML
    note: str = ""
    paragraphs: tuple[str, ...] = ()
    alt: str = ""
    frame: tuple[tuple[str, str], ...] = ()  # data of the axes, for the script
    parts: tuple[tuple[str, str], ...] = ()  # label, link of each part of a long list
    size: tuple[int, int] = (0, 0)  # of a picture [px]


class Region(NamedTuple):
    """Blocks shown together, side by side if there is room."""

    css: str
    blocks: tuple[BlockView, ...]


def table_view(table: Table, links: Links) -> BlockView:
    """Return the view of a table: facts, or rows with column headings."""
    about = (table.name, table.title, css_classes(table))
    note = keep_units(table.note)
    if table.headed == "row":
        return BlockView("facts", *about, rows=fact_rows(table, links), note=note)
    return BlockView(
        "folded" if table.role.partition(" ")[0] in FOLDED else "table",
        *about,
        columns=tuple(
            (one.label, one.unit, "n" if one.number else "") for one in table.columns
        ),
        rows=table_rows(table, links),
        note=note,
        parts=tuple((one.text, links.to(one.to)) for one in table.parts),
    )


def css_classes(block: Table | Note) -> str:
    """Return the CSS classes of a block."""
    return block.role + (" laboratory-only" if block.laboratory_only else "")


Frames = Mapping[str, Sequence[tuple[str, str]]]
"""Data of the axes for the script, by the name of the figure."""


def plot_view(plot: Plot, frame: Sequence[tuple[str, str]]) -> BlockView:
    """Return the view of a figure, whose picture is a separate file."""
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
    block: Shown, links: Links, frames: Frames = MappingProxyType({})
) -> BlockView:
    """Return the view of one block."""
    if isinstance(block, Note):
        return BlockView(
            "note",
            block.name,
            block.title,
            css_classes(block),
            paragraphs=tuple(map(keep_units, block.paragraphs)),
        )
    if isinstance(block, Plot):
        return plot_view(block, frames.get(block.name, ()))
    if isinstance(block, StepsBlock):
        rows = steps_rows(block, links)
        return BlockView("steps", block.name, block.title, "steps", rows=rows)
    if isinstance(block, RecordBlock):
        rows = record_rows(block)
        return BlockView("steps", block.name, block.title, "steps", rows=rows)
    if isinstance(block, Picture):
        about = (block.name, block.title, block.role)
        note = keep_units(block.caption)
        return BlockView("picture", *about, note=note, alt=block.alt, size=block.size)
    return table_view(block, links)


def region_class(block: Shown) -> str:
    """Return the kind of region that a block goes into."""
    if isinstance(block, Plot):
        return "pair"
    if isinstance(block, StepsBlock | RecordBlock | Picture):
        return "full"
    if block.role in OWN_REGIONS:
        return OWN_REGIONS[block.role]
    if block.role in ("results", "lesser", "target"):
        return "results"
    if isinstance(block, Note):
        if block.role in FULL:
            return "full"
        return "banner" if block.role in BANNERS else "notes"
    if block.role in ("points", "pairs"):
        return "pair"
    return "facts" if block.headed == "row" else "full"


def answers(block: Shown) -> bool:
    """Whether a block is what a reader came for."""
    return isinstance(block, Table | Note) and block.role in LEAD


def lead_and_rest(blocks: Iterable[Shown]) -> tuple[list[Shown], list[Shown]]:
    """Return the blocks with which a page answers, and those after them."""
    every = list(blocks)
    lead = list(takewhile(answers, every))
    return lead, every[len(lead) :]


def regions(
    blocks: Iterable[Shown],
    links: Links,
    frames: Frames = MappingProxyType({}),
    *,
    laboratory: bool,
) -> tuple[Region, ...]:
    """Return the blocks in regions, in reading order."""
    kept = [
        block
        for block in blocks
        if laboratory or not getattr(block, "laboratory_only", False)
    ]
    return tuple(
        Region(
            f"in-{css}", tuple(block_view(block, links, frames) for block in together)
        )
        for css, together in groupby(kept, region_class)
    )
