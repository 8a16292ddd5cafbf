"""What several commands share: the option --root, and finding the archive."""

import sys
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

import click

from buildsite.archive.archive import Archive
from buildsite.archive.drift import sets_exit_status
from buildsite.archive.records import Records
from buildsite.errors import EnvironmentFault
from buildsite.files import find_root, list_archive
from buildsite.record.flags import Flag, Severity
from buildsite.record.messages import nearest
from buildsite.record.reading import day

F = TypeVar("F", bound=Callable[..., Any])


def root_option(command: F) -> F:
    """Add --root, the folder that holds records/."""
    return click.option(
        "--root",
        type=click.Path(exists=True, file_okay=False, path_type=Path),
        help="The archive's folder. Default: the first one above that holds one.",
    )(command)


def archive_root(root: Path | None) -> Path:
    """Find the archive: where the user says, else above the current folder."""
    return find_root(root if root is not None else current_folder())


def open_archive(root: Path) -> Archive:
    """Return the archive as it stands in the working tree, but for kept reports."""
    listing = list_archive(root)
    return Archive(listing.names, listing.read, issued=listing.issued)


def my_code(root: Path, archive: Archive) -> str:
    """Return the staff code of whom git knows here; empty where nobody bears it."""
    from buildsite.archive.edits import codes_by_email
    from buildsite.history.clone_setup import identity

    _, email = identity(root)
    return codes_by_email(archive.laboratory).get(email.casefold(), "") if email else ""


def at_terminal() -> bool:
    """Whether a person can be asked."""
    return sys.stdin.isatty()


def current_folder() -> Path:
    """
    Tell the folder that the user stands in.

    Raises
    ------
    EnvironmentFault
        If it was taken away meanwhile.
    """
    try:
        return Path.cwd()
    except OSError:
        raise EnvironmentFault(
            "The folder you are in is not there any more.",
            "Go to another (cd), then run this again.",
        ) from None


def test_ids(root: Path, tests: Sequence[str]) -> list[str]:
    """
    Ids of the tests that are named, each once.

    Raises
    ------
    click.UsageError
        If the archive holds no test of a name.
    """
    records = Records(list_archive(root).names, read_nothing)
    for id in tests:
        if records.find("test", id) is None:
            near = nearest(id, records.ids("test"))
            hint = f"Did you mean {near}?" if near else "See `buildsite check`."
            raise click.UsageError(f"No test {id!r} in this archive. {hint}")
    return sorted(set(tests))


def read_nothing(name: str) -> bytes:
    """Stand in where only names are looked at."""
    raise AssertionError(f"{name} was read, and only names were asked for")


def day_or_today(text: str | None) -> date:
    """
    Read a day; today where none is given.

    Raises
    ------
    click.UsageError
        If it is no day of the calendar.
    """
    if text is None:
        return date.today()  # noqa: DTZ011 — the laboratory's own day, by its own clock
    try:
        return day(text)
    except ValueError:
        raise click.UsageError(f"{text!r} is no day. Write YYYY-MM-DD.") from None


def count_errors(archive: Archive, files: Sequence[str], flags: Sequence[Flag]) -> int:
    """
    How many files have an error that counts.

    Flags of tests in progress or withdrawn never count, for those tests claim nothing;
    nor does having moved since the last issue.
    """
    silent = {file for file in files if not archive.claims(file)}
    return len(
        {
            flag.file
            for flag in flags
            if flag.severity is Severity.ERROR
            and flag.file not in silent
            and sets_exit_status(flag)
        }
    )


def record_names(root: Path, names: Sequence[str], paths: Sequence[Path]) -> list[str]:
    """
    Names of the records at or under some paths.

    Raises
    ------
    click.UsageError
        If a path holds no record of this archive.
    """
    chosen: set[str] = set()
    for path in paths:
        place = path.resolve()
        inside = (
            place.relative_to(root).as_posix() if place.is_relative_to(root) else ""
        )
        found = [
            name
            for name in names
            if inside in ("", ".", name) or name.startswith(f"{inside}/")
        ]
        if not found or not place.is_relative_to(root):
            raise click.UsageError(
                f"No record of the archive at {path}. Name a file or a folder under "
                f"{root / 'records'}."
            )
        chosen.update(found)
    return sorted(chosen)
