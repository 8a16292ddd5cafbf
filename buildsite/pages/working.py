"""The page of a test's working: how each number of its report came about."""

from collections.abc import Iterator

from buildsite.kinds.outcome import Outcome
from buildsite.pages.page import File, Head, Pairs, Site
from buildsite.pages.report.parts import TestFolder
from buildsite.pages.steps_html import RecordBlock, StepsBlock
from buildsite.pages.view_models import Shown

FOLDER = "working"
LABEL = ("Working", f"{FOLDER}/index.html")
SUBTITLE = (
    "How each number of the report came about: the formula, the values put in, the "
    "result unrounded and as reported. Each value leads to where it is from."
)
OWN_RECORD = "The readings as written. Values above lead to these lines."


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


def working_blocks(outcome: Outcome, *, record: bool) -> list[Shown]:
    """Return the steps of an outcome; with the record, values lead to its lines."""
    parts = outcome.kind.working(outcome.case) if outcome.kind.working else ()
    anchors = frozenset(
        line.anchor for part in parts for step in part.steps for line in step.lines
    )
    line_of = (lambda field: outcome.source.place(field)[0]) if record else None
    blocks: list[Shown] = [
        StepsBlock(part, anchors, line_of)
        for part in parts
        if record or not part.laboratory_only
    ]
    if record:
        text = outcome.source.text
        blocks.append(RecordBlock("record", "The record", text, OWN_RECORD))
    return blocks


def working_page(
    site: Site,
    outcome: Outcome,
    crumbs: Pairs,
    labels: list[tuple[str, str]],
    *,
    number: str,
    status: tuple[str, str] = ("", ""),
) -> Iterator[File]:
    """Return the page, and add it to `labels`, where the site shows one."""
    if not is_shown(site, outcome):
        return
    blocks = working_blocks(outcome, record=not site.options.release)
    labels.append(LABEL)
    head = Head(
        kicker=number,
        title="Working",
        subtitle=SUBTITLE,
        status=status[0],
        tone=status[1],
        contents=tuple((block.title, block.name) for block in blocks),
        end=f"End of the working of {number}",
    )
    yield TestFolder(site, outcome.file, crumbs).render(FOLDER, head, blocks)
