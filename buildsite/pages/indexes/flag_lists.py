"""Lists of flags: the page of all of them, errors first, and parts of it by year."""

from collections.abc import Iterator, Sequence

from buildsite.kinds.sheet import Table
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.split_lists import MOST, SplitLists
from buildsite.pages.page import File, Head
from buildsite.pages.tables import flag_table
from buildsite.record.flags import Flag, Severity


def flag_pages(context: IndexContext) -> Iterator[File]:
    """Return the page of open flags, errors first, then accepted flags."""
    still = [flag for flag in context.flags if not flag.accepted_by]
    settled = [flag for flag in context.flags if flag.accepted_by]
    head = Head("Laboratory", "Flags", f"{len(still)} open, {len(settled)} accepted")
    lists = SplitLists(context, "flags", head)
    errors = [flag for flag in still if flag.severity is Severity.ERROR]
    blocks = []
    if len(still) > MOST and errors:  # none of them is on another page
        blocks.append(flag_table(errors, "errors", "Open errors"))
        still = [flag for flag in still if flag.severity is not Severity.ERROR]
    blocks.append(list_of_flags(context, lists, still, "open", "Open"))
    if settled:
        title, last = "Accepted", "Accepted by, and reason"
        blocks.append(list_of_flags(context, lists, settled, "accepted", title, last))
    yield context.page("flags/index.html", head, blocks)
    yield from lists.files


def list_of_flags(
    context: IndexContext,
    lists: SplitLists,
    flags: Sequence[Flag],
    name: str,
    *words: str,
) -> Table:
    """Return flags; of very many, those of the tests made last."""
    days = {row.file: row.day for row in context.rows}
    return lists.table(
        flags,
        lambda flag: days.get(flag.file),
        lambda some: flag_table(some, name, *words),
        name,
    )
