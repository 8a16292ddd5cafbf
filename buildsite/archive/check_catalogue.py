"""Every check, with what it applies to."""

from collections.abc import Iterator, Mapping
from functools import cache

from buildsite.archive import (
    drift,
    due_dates,
    identity,
    issued_flags,
    other_projects,
    references,
    signing,
)
from buildsite.kinds import across, all_kinds, outcome
from buildsite.record.faults import FAULTS
from buildsite.record.flags import Known


def by_subject() -> Iterator[tuple[str, Known]]:
    """Return every check with what it applies to, files first, then by kind."""
    for fault in FAULTS:
        yield "Files and fields", fault.known
    for one in (*identity.KNOWN, *references.KNOWN, *other_projects.KNOWN):
        yield "References", one
    for one in across.KNOWN:
        yield "Tests compared", one
    for what, several in (
        ("Equipment by date", (due_dates.FALLS_DUE,)),
        ("Edits", (*across.BY_HISTORY, *signing.KNOWN)),
        ("Issued revisions", (drift.MOVED, *issued_flags.KNOWN)),
    ):
        yield from ((what, one) for one in several)
    for one in outcome.KNOWN:
        yield "Acceptances", one
    for kind in all_kinds():
        for rule in kind.rules:
            yield kind.title, rule.known


@cache
def catalogue() -> Mapping[str, tuple[tuple[str, Known], ...]]:
    """Return the checks by name; several kinds may share one."""
    found: dict[str, list[tuple[str, Known]]] = {}
    for subject, known in by_subject():
        if (subject, known) not in found.setdefault(known.flag, []):
            found[known.flag].append((subject, known))
    return {flag: tuple(entries) for flag, entries in sorted(found.items())}
