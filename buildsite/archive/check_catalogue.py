"""Every check, with what it applies to."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cache, lru_cache
from typing import Any

from buildsite.archive import (
    drift,
    due_dates,
    identity,
    issued_flags,
    other_projects,
    references,
    signing,
)
from buildsite.kinds import across, all_kinds, kind_named, kinds_at_hand, outcome
from buildsite.kinds.kind import Kind
from buildsite.record.faults import FAULTS
from buildsite.record.flags import Known


def by_subject(kinds: Iterable[Kind[Any, Any]]) -> Iterator[tuple[str, Known]]:
    """Return checks with what each applies to, files first, then those of kinds."""
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
    for kind in kinds:
        for rule in kind.rules:
            yield kind.title, rule.known


@cache
def catalogue() -> Mapping[str, tuple[tuple[str, Known], ...]]:
    """Return the checks by name; several kinds may share one."""
    found: dict[str, list[tuple[str, Known]]] = {}
    for subject, known in by_subject(all_kinds()):
        if (subject, known) not in found.setdefault(known.flag, []):
            found[known.flag].append((subject, known))
    return {flag: tuple(entries) for flag, entries in sorted(found.items())}


@cache
def is_check(flag: str) -> bool:
    """
    Whether there is a check of that name.

    A flag was found by a kind that is loaded: other kinds are loaded only to say no.
    """
    at_hand = tuple(kind.name for kind in kinds_at_hand())
    return flag in names_of(at_hand) or flag in catalogue()


@lru_cache(1)
def names_of(kinds: tuple[str, ...]) -> frozenset[str]:
    """Return the names of all checks of these kinds, and of those that are of none."""
    found = (kind for name in kinds if (kind := kind_named(name)) is not None)
    return frozenset(known.flag for _, known in by_subject(found))
