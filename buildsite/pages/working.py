"""
The page of a test's working: how each number of its report came about.

The numbers of the report's page lead to their lines on it, where the site shows it.
Printed, it is the appendix of that page: it has the results, and a page its name.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from buildsite.archive.identity import name_of
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Cell, Column, Row, Sheet, Table
from buildsite.kinds.steps import Steps
from buildsite.pages.page import File, Head, Pairs, Site
from buildsite.pages.report.parts import TestFolder
from buildsite.pages.steps_html import RecordBlock, StepsBlock
from buildsite.pages.view_models import Block
from buildsite.values import dataclass

FOLDER = "working"
LABEL = ("Working", f"{FOLDER}/index.html")
SUBTITLE = (
    "How each number of the report came about: the formula, the values put in, the "
    "result unrounded and as reported. Each value leads to where it is from."
)
APPENDIX = "Printed, this page is the appendix of the report’s sheet."
RESULTS = ("results", "lesser")
OWN_RECORD = "The readings as written. Values above lead to these lines."


@dataclass(frozen=True)
class Working:
    """The page of a working, and the places on it that others may point to."""

    file: File
    anchors: frozenset[str] = frozenset()


def is_shown(site: Site, outcome: Outcome) -> bool:
    """Return whether a site shows the working: the laboratory's own, or as asked."""
    if outcome.kind.working is None:
        return False
    if not site.options.release:
        return True
    id = str(getattr(outcome.case.record, "project", ""))
    file = site.archive.find("project", id)
    made = site.archive.outcome(file) if file is not None else None
    return made is not None and bool(made.case.record.publish_working)


def working_parts(outcome: Outcome, *, laboratory: bool) -> tuple[Steps, ...]:
    """Return the steps of an outcome under their headings."""
    parts = outcome.kind.working(outcome.case) if outcome.kind.working else ()
    return tuple(one for one in parts if laboratory or not one.laboratory_only)


def places_of(parts: Iterable[Steps]) -> Iterator[str]:
    """Yield the places of a working: its headings, and the lines of its steps."""
    for part in parts:
        yield part.name
        for step in part.steps:
            for line in step.lines:
                yield line.anchor


def title_of(number: str) -> str:
    """Return the title of the working of a report: it stands on every sheet."""
    return f"Working of {number}"


def working_page(
    site: Site,
    outcome: Outcome,
    sheet: Sheet,
    crumbs: Pairs,
    number: str,
    status: tuple[str, str],
) -> Working | None:
    """Return the page where the site shows one: the laboratory's with the record."""
    if not is_shown(site, outcome):
        return None
    laboratory = not site.options.release
    parts = working_parts(outcome, laboratory=laboratory)
    anchors = frozenset(places_of(parts))
    line_of = (lambda field: outcome.source.place(field)[0]) if laboratory else None
    shown = [one for one in sheet.blocks if getattr(one, "role", "") in RESULTS]
    lead = led_to_steps(shown, outcome.file, anchors)
    blocks: list[StepsBlock | RecordBlock] = [
        StepsBlock(part, anchors, line_of) for part in parts
    ]
    if laboratory:
        text = outcome.source.text
        blocks.append(RecordBlock("record", "The record", text, OWN_RECORD))
    head = Head(
        kicker="Appendix of the report",
        title=title_of(number),
        subtitle=f"{SUBTITLE} {APPENDIX}",
        status=status[0],
        tone=status[1],
        contents=tuple((block.title, block.name) for block in blocks),
        end=f"End of the working of {number}",
    )
    folder = TestFolder(site, outcome.file, crumbs)
    return Working(folder.render(FOLDER, head, (*lead, *blocks)), anchors)


def led_to_steps(
    blocks: Iterable[Block], file: str, anchors: frozenset[str]
) -> Iterator[Block]:
    """Yield a report's blocks, each number that has a line in the working led to it."""
    page = f"{name_of(file)}/{LABEL[1]}"
    for block in blocks:
        if not anchors or not isinstance(block, Table):
            yield block
            continue
        rows = tuple(led_row(row, block.columns, page, anchors) for row in block.rows)
        yield replace(block, rows=rows) if rows != block.rows else block


def led_row(
    row: Row, columns: tuple[Column, ...], page: str, anchors: frozenset[str]
) -> Row:
    """Return a row whose numbers lead to their lines."""

    def led(cell: Cell, step: str) -> Cell:
        return cell.linked(("step", f"{page}#{step}")) if step in anchors else cell

    if row.step:
        name, value, *more = row.cells
        return replace(row, cells=(name, led(value, row.step), *more))
    if not row.point:
        return row
    steps = [f"{one.steps}-{row.point}" if one.steps else "" for one in columns]
    return replace(row, cells=tuple(map(led, row.cells, steps)))
