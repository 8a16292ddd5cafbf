"""The box above an issued report whose records have changed since."""

from collections.abc import Iterator
from dataclasses import replace

from buildsite.archive.drift import (
    ASSESS,
    MOVED,
    differing_results,
    reported,
    same_used,
)
from buildsite.archive.identity import name_of
from buildsite.archive.issued_files import IssuedState
from buildsite.kinds.sheet import Note
from buildsite.pages.page import Site
from buildsite.pages.revisions.revision_pages import report_number
from buildsite.pages.revisions.verdict_sentences import verdict_now_sentences
from buildsite.pages.tables import flag_table
from buildsite.pages.view_models import Block
from buildsite.record.flags import Flag, Severity


def drift_blocks(site: Site, state: IssuedState) -> Iterator[Block]:
    """Return what changed since issue, and the flags of the records now."""
    if site.options.release:
        return
    flags = site.archive.flags(state.file)
    found = [flag for flag in flags if flag.flag == MOVED.flag]
    for flag in found:
        turned = verdict_now_sentences(state)
        lines = (*drift_sentences(state, flag), *turned, advice(state, flag))
        # A new person in lab.yaml changes a file of every test: no alarm for that.
        quiet = flag.severity is Severity.NOTE
        title = "A file changed since issue" if quiet else "Changed since issue"
        if flag.mend == ASSESS:
            quiet, title = False, "Relied on equipment found wrong"
        role = "remark" if quiet else "moved"
        yield Note("moved", title, lines, role, laboratory_only=True)
    if found:
        others = [flag for flag in flags if flag.flag != MOVED.flag]
        title = "Flags of the records now"
        table = flag_table(others, "flags-now", title)
        yield replace(table, laboratory_only=True)


def drift_sentences(state: IssuedState, flag: Flag) -> Iterator[str]:
    """Return what was issued and what the records give now."""
    item, now = state.item, state.now
    issued = f"{report_number(state.file, item)}, issued on {item.issued_on}"
    if item.kind == "withdrawal":
        yield f"{issued}, withdrew the result, but the record states “{flag.found}”."
        return
    if now is None:
        yield f"{issued}, can’t be recomputed: the record can’t be read."
        return
    texts, method = reported(now), state.method
    if texts != dict(item.results):
        yield f"{issued}, reports: {differing_results(item.results, texts, method)}."
        yield f"The records now give: {differing_results(texts, item.results, method)}."
    elif flag.severity is Severity.NOTE:
        yield f"A file used for {issued}, was changed; no value used changed."
    else:
        yield f"Results unchanged; inputs changed since {issued}."


def advice(state: IssuedState, flag: Flag) -> str:
    """Return what to do about a test that changed, with the command."""
    id = name_of(state.file)
    if flag.severity is Severity.NOTE:
        return f"{flag.mend[:1].upper()}{flag.mend[1:]}."
    if state.item.kind == "withdrawal":
        return (
            "Set the status back to withdrawn, or have the test reviewed and issue a "
            f"new report: `buildsite issue {id}`."
        )
    alone = state.now is not None and same_used(state.now, state.item)
    if alone:
        return (
            "Only the version of the program changed the result. Issue the test again, "
            "or record why the report remains valid: "
            f"`buildsite issue {id} --assess {state.item.revision}`."
        )
    return (
        f"To see what changed, open the history or run `buildsite diff {id}`. If the "
        "records are right, have the test reviewed and issue an amended report: "
        f"`buildsite issue {id}`. If not, correct them."
    )
