"""Every check there is: its name, its weight, what it rests on, what it sees."""

from collections.abc import Iterator, Mapping
from functools import cache

from buildsite.archive import chains, identity, references, signing
from buildsite.archive import drift as moved
from buildsite.kinds import KINDS, across, outcome
from buildsite.kinds.sheet import Cell, Column, Row, Sheet, Table
from buildsite.pages.indexes import due
from buildsite.record.faults import FAULTS
from buildsite.record.flags import Known


def by_subject() -> Iterator[tuple[str, Known]]:
    """Every check with what it looks at, files first and then kind by kind."""
    for fault in FAULTS:
        yield "Files and fields", fault.known
    for one in (*identity.KNOWN, *references.KNOWN):
        yield "References", one
    for one in across.KNOWN:
        yield "Tests side by side", one
    for what, several in (
        ("Equipment on a day", (due.FALLS_DUE,)),
        ("Edits", (across.EDITED, *signing.KNOWN)),
        ("Issued revisions", (moved.MOVED, *chains.KNOWN)),
    ):
        yield from ((what, one) for one in several)
    for one in outcome.KNOWN:
        yield "Acceptances", one
    for kind in KINDS:
        for rule in kind.rules:
            yield kind.title, rule.known


@cache
def catalogue() -> Mapping[str, tuple[tuple[str, Known], ...]]:
    """Checks by name. A name that several kinds share says one thing of each."""
    found: dict[str, list[tuple[str, Known]]] = {}
    for subject, known in by_subject():
        if (subject, known) not in found.setdefault(known.flag, []):
            found[known.flag].append((subject, known))
    return {flag: tuple(entries) for flag, entries in sorted(found.items())}


COLUMNS = tuple(
    Column(label)
    for label in ("Flag", "Severity", "What it sees", "Rests on", "Looks at")
)


def row(flag: str, entries: tuple[tuple[str, Known], ...]) -> Row:
    """One check. Where kinds differ in words, each is said once."""
    says = dict.fromkeys(known.says for _, known in entries)
    bases = dict.fromkeys(known.basis for _, known in entries)
    weights = dict.fromkeys(str(known.severity) for _, known in entries)
    subjects = dict.fromkeys(subject for subject, _ in entries)
    return Row(
        (
            Cell(flag),
            Cell(", ".join(weights)),
            Cell(" ".join(says).replace("`", '"')),
            Cell("; ".join(bases)),
            Cell(", ".join(subjects)),
        ),
        mark=next(iter(weights)),
        anchor=flag,
    )


def sheet() -> Sheet:
    """Show all checks in one table, by name."""
    rows = tuple(row(flag, entries) for flag, entries in catalogue().items())
    note = (
        "An error is missing or impossible data: it blocks issue and can't be "
        "accepted. A warning wants a person's judgement: accepted with a reason, or "
        "printed as it stands. A note is for the laboratory alone."
    )
    return Sheet(
        "Checks",
        f"{len(rows)} checks, each with what it rests on",
        (Table("checks", "All checks", COLUMNS, rows, role="list", note=note),),
    )
