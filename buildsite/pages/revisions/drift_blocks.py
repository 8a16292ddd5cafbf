"""The box above an issued report whose records have moved: what was, is, and to do."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from buildsite.archive.drift import MOVED, reported
from buildsite.archive.identity import name_of
from buildsite.archive.issued_files import IssuedState
from buildsite.kinds.reporting import readable_text
from buildsite.kinds.sheet import Note
from buildsite.pages.page import Site
from buildsite.pages.revisions.revision_pages import report_number
from buildsite.pages.rows import result_title
from buildsite.pages.tables import flag_table
from buildsite.pages.view_models import Block
from buildsite.record.flags import Flag, Severity


def drift_blocks(site: Site, state: IssuedState) -> Iterator[Block]:
    """Say what moved since the issue, and what stands against the working state."""
    if site.options.release:
        return
    flags = site.archive.flags(state.file)
    found = [flag for flag in flags if flag.flag == MOVED.flag]
    for flag in found:
        lines = (*drift_sentences(state, flag), advice(state, flag))
        # A new colleague in lab.yaml changes a file of every test: no alarm for that.
        quiet = flag.severity is Severity.NOTE
        title = "A file changed since issue" if quiet else "Moved since issue"
        role = "remark" if quiet else "moved"
        yield Note("moved", title, lines, role, laboratory_only=True)
    if found:
        others = [flag for flag in flags if flag.flag != MOVED.flag]
        title = "Flags of the records as they stand"
        table = flag_table(others, "flags-now", title)
        yield replace(table, laboratory_only=True)


def drift_sentences(state: IssuedState, flag: Flag) -> Iterator[str]:
    """Say what was issued and what the records say now, for who reads the page."""
    item, now = state.item, state.now
    what = f"{report_number(state.file, item)}, issued on {item.issued_on},"
    if item.kind == "withdrawal":
        yield f"{what} withdrew the result, and the record says “{flag.found}” again."
        return
    if now is None:
        yield f"{what} can’t be computed again: the record can’t be read as it stands."
        return
    texts = reported(now)
    if texts != dict(item.results):
        yield f"{what} reports: {differing_results(state, item.results, texts)}."
        yield f"The records now give: {differing_results(state, texts, item.results)}."
    elif flag.severity is Severity.NOTE:
        yield f"A file that {what} came from was changed, but no value used in it."
    else:
        yield f"{what} reports what the records still give, but from other values."


def differing_results(
    state: IssuedState, texts: Mapping[str, str], others: Mapping[str, str]
) -> str:
    """Say those results that differ from the others, in the standard's words."""
    return "; ".join(
        f"{result_title(name, state.method, texts.get(name) or others[name])} "
        f"{readable_text(texts[name]) if name in texts else 'not given'}"
        for name in sorted({*texts, *others})
        if texts.get(name) != others.get(name)
    )


def advice(state: IssuedState, flag: Flag) -> str:
    """Say what to do about a test that moved, with the command that does it."""
    id = name_of(state.file)
    if flag.severity is Severity.NOTE:
        return "Nothing need be done: what was reported stands."
    if state.item.kind == "withdrawal":
        return (
            "Set its status back to withdrawn; or have it reviewed and issue a report "
            f"anew: `buildsite issue {id}`."
        )
    alone = state.now is not None and state.now.used == state.item.used
    if alone:
        return (
            "The program alone moved it. Issue it again, or record why the report "
            f"stands: `buildsite issue {id} --assess {state.item.revision}`."
        )
    return (
        f"See what moved it: the history, or `buildsite diff {id}`. If the records are "
        "right, have it reviewed and issue an amended report: "
        f"`buildsite issue {id}`; if they are not, put them right."
    )
