"""`commit`: changed records, committed with who and why."""

import re
from collections.abc import Sequence
from pathlib import Path

import click

from buildsite.archive.identity import group_of, name_of
from buildsite.cli.common import (
    archive_root,
    at_terminal,
    record_names,
    refuse,
    root_option,
)
from buildsite.cli.prompts import ask_reason
from buildsite.cli.record_files import changed_records, commit_records
from buildsite.entering.record_store import committed_bytes, open_store
from buildsite.files import list_archive
from buildsite.history.commit import differing, head, message_of, who_commits
from buildsite.history.under_way import refuse_while_under_way
from buildsite.record.issued import issued_name
from buildsite.record.proof import id_of
from buildsite.record.source import read_source


@click.command()
@click.argument("paths", nargs=-1, metavar="[FILE]...", type=click.Path(path_type=Path))
@click.option("--why", metavar="TEXT", help="Reason of the change. Default: asked.")
@root_option
def commit(paths: tuple[Path, ...], why: str | None, root: Path | None) -> None:
    """
    Commit all changed records, or only each FILE.

    Reports are reviewed and issued from committed records. Readings saved by `enter`
    are committed by `enter`, which knows who entered them.

    Example: buildsite commit --why "mold M-03 calibrated again"
    """
    folder = archive_root(root)
    head(folder)
    refuse_while_under_way(folder)
    who_commits(folder)
    names, left = choose_records(folder, paths)
    left |= tell_uncommitted_issues(folder)
    if not names:
        all = "No record is left to commit" if left else "All records are committed"
        click.echo(f"{all}: nothing to do.", err=True)
        return
    refuse_needed(folder, names)
    refuse_unreadable(folder, names)
    for name in names:
        click.echo(f"{state_of(folder, name)}: {name}", err=True)
    if not why and not at_terminal():
        raise click.UsageError("The reason is missing. Give --why TEXT.")
    reason = why or ask_reason()
    message = message_of(subject_of(names, reason), [("Reason", reason)])
    commit_records(folder, message.rstrip("\n"), names)
    for name in names:
        click.echo(name)


def tell_uncommitted_issues(root: Path) -> bool:
    """Tell of reports that were issued but not committed: `issue` says what to do."""
    listing = list_archive(root)
    names = differing(root, {name: listing.read(name) for name in listing.issued})
    for name in names:
        click.echo(
            f"not committed: {name}, an issue that was interrupted or made with "
            f"--no-commit; `buildsite issue {id_of(name)}` says what to do",
            err=True,
        )
    return bool(names)


def state_of(root: Path, name: str) -> str:
    """Return whether a record is new, changed or deleted."""
    if not (root / name).exists():
        return "deleted"
    return "new" if committed_bytes(root, name) is None else "changed"


def refuse_needed(root: Path, names: Sequence[str]) -> None:
    """Refuse to commit that a record is gone which a report or a record needs."""
    gone = [name for name in names if not (root / name).exists()]
    for name in gone:
        if (root / issued_name(name)).exists():
            why = f"{name_of(name)} was issued: a report needs its record"
        elif users := naming(root, name_of(name)):
            more = f" and {len(users) - MOST} more" if len(users) > MOST else ""
            why = f"{', '.join(users[:MOST])}{more} still name {name_of(name)}"
        else:
            continue
        raise click.UsageError(
            f"{name} is deleted, but {why}. Bring it back: `git restore {name}`."
        )


def refuse_unreadable(root: Path, names: Sequence[str]) -> None:
    """Refuse to commit records that can't be read: no report could be made of them."""
    there = [name for name in names if (root / name).exists()]
    read = (read_source(name, (root / name).read_bytes()) for name in there)
    faults = [str(fault) for source in read for fault in source.faults]
    if faults:
        refuse(*faults, nothing="Nothing was committed.")


def naming(root: Path, id: str) -> list[str]:
    """Return the ids of the records whose text names a record."""
    listing = list_archive(root)
    word = re.compile(rf"(?<![\w.-]){re.escape(id)}(?![\w.-])".encode())
    return [name_of(name) for name in listing.names if word.search(listing.read(name))]


def subject_of(names: Sequence[str], reason: str) -> str:
    """
    Return the subject of a commit: its records and the reason, each named once.

    >>> subject_of(["records/equipment/M-05.yaml"], "calibrated again")
    'M-05: calibrated again'
    >>> subject_of(["records/equipment/M-05.yaml"], "mold M-05 calibrated again")
    'mold M-05 calibrated again'
    """
    ids = list(map(name_of, names))
    words = re.findall(r"[\w.-]*\w", reason)
    if all(id in words for id in ids[:MOST]):
        return reason
    others = " and others" * (len(ids) > MOST)
    return f"{', '.join(ids[:MOST])}{others}: {reason}"


MOST = 3
"""Number of records named in a commit's subject."""


def choose_records(root: Path, paths: Sequence[Path]) -> tuple[list[str], bool]:
    """
    Return the changed records among those named, without readings of `enter`.

    And whether there were such readings.
    """
    names = changed_records(root)
    if paths:
        every = sorted({*list_archive(root).names, *names})
        wanted = set(record_names(root, every, paths))
        names = [name for name in names if name in wanted]
    found = []
    for name in names:
        data = (root / name).read_bytes() if (root / name).exists() else b""
        store = open_store(root, name, committing=True)
        by = store.entered_by(committed_bytes(root, name), data)
        if by:
            what = "readings" if group_of(name) == "test" else "changes"
            run = f"run `buildsite enter {name_of(name)}`"
            if not data:
                run = (
                    f"it is deleted: bring it back with `git restore {name}`, and {run}"
                )
            click.echo(
                f"not committed: {name} has {what} entered by {by}; {run}", err=True
            )
        else:
            found.append(name)
    return found, len(found) < len(names)
