"""
The working of an issued report: of its inputs as issued, or why there is none.

A number that was not issued never stands there.
"""

from collections.abc import Iterator

from buildsite.archive.identity import name_of
from buildsite.archive.issued_files import IssuedState
from buildsite.kinds.sheet import Cell, Note, Sheet, fact_table
from buildsite.pages.page import Head, Pairs, Site
from buildsite.pages.report.parts import TestFolder
from buildsite.pages.revisions.revision_pages import report_number
from buildsite.pages.revisions.revision_status import current_status
from buildsite.pages.view_models import Block
from buildsite.pages.working import (
    FOLDER,
    Working,
    is_shown,
    title_of,
    working_page,
)


def issued_working(
    site: Site, state: IssuedState, sheet: Sheet, crumbs: Pairs
) -> Working | None:
    """Return the page of the working, or of why there is none, where one is shown."""
    item, release = state.item, site.options.release
    if release and item.kind == "withdrawal":
        return None
    number = report_number(state.file, item)
    status = current_status(state.issued.items, item)
    if state.outcome is not None:
        return working_page(site, state.outcome, sheet, crumbs, number, status)
    made = state.archive.outcome(state.file) if state.archive is not None else state.now
    if release or made is None or not is_shown(site, made):
        return None
    head = Head("", title_of(number), status=status[0], tone=status[1])
    blocks = tuple(instead(state, computed=state.archive is not None))
    return Working(TestFolder(site, state.file, crumbs).render(FOLDER, head, blocks))


def instead(state: IssuedState, *, computed: bool) -> Iterator[Block]:
    """Yield why there is no working, and where the difference was assessed."""
    number = report_number(state.file, state.item)
    if computed:
        why = (
            f"This program computes another result from the records as issued than "
            f"{number} reports. It can show how its own result comes about, and not "
            "how that one did, so it shows neither.",
            "The numbers as issued, with every reading, stand in the kept report.",
        )
    else:
        why = (
            f"The records that {number} was computed from are not all to be found as "
            "they were, so how its numbers came about can't be shown here.",
            "The numbers as issued, with every reading, stand in the kept report.",
        )
    yield Note("none", "No working of this report", why, role="banner")
    id = name_of(state.file)
    kept = Cell(number, ("revision", f"{id}/r{state.item.revision}"))
    assessed = [
        (
            f"Assessed on {one.issued_on}",
            Cell(
                f"r{one.revision}: {one.reason}", ("revision", f"{id}/r{one.revision}")
            ),
        )
        for one in state.issued.items
        if one.assesses == state.item.revision
    ]
    facts = (("Kept report", kept), *(assessed or [("Assessed", Cell("not yet"))]))
    yield fact_table("where", "Where to look", facts)
