"""Functions shared by commands: the option --root, finding the archive and tests."""

import sys
from collections.abc import Callable, Collection, Sequence
from datetime import date
from pathlib import Path
from typing import Any, NoReturn, TypeVar

import click

from buildsite.archive.archive import Archive
from buildsite.archive.drift import sets_exit_status
from buildsite.archive.records import Records
from buildsite.errors import FAULTY, EnvironmentFault
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
        help="Folder of the archive. Default: the current folder or one above it.",
    )(command)


def archive_root(root: Path | None) -> Path:
    """Return the archive's folder: the one given, else at or above the current one."""
    return find_root(root if root is not None else current_folder())


def open_archive(root: Path) -> Archive:
    """Return the archive of the working tree, without kept reports."""
    listing = list_archive(root)
    return Archive(listing.names, listing.read, issued=listing.issued)


def my_code(root: Path, archive: Archive) -> str:
    """Return the staff code of git's e-mail address here; empty if nobody's."""
    from buildsite.archive.edits import codes_by_email
    from buildsite.history.clone_setup import identity

    _, email = identity(root)
    return codes_by_email(archive.laboratory).get(email.casefold(), "") if email else ""


def at_terminal() -> bool:
    """Whether a person is at the terminal."""
    return sys.stdin.isatty()


def current_folder() -> Path:
    """Return the current folder."""
    try:
        return Path.cwd()
    except OSError:
        raise EnvironmentFault(
            "The current folder no longer exists.",
            "Change to another folder (cd), then run this again.",
        ) from None


def test_ids(root: Path, tests: Sequence[str]) -> list[str]:
    """Return the ids of tests of the archive, each once; refuse unknown ones."""
    records = Records(list_archive(root).names, read_nothing)
    for id in tests:
        if records.find("test", id) is None:
            raise unknown_id("test", id, records.ids("test"))
    return sorted(set(tests))


def unknown_id(
    what: str, id: str, ids: Sequence[str], otherwise: str = "See the folder records/."
) -> click.UsageError:
    """Return the refusal of an id that no record has, with the nearest that one has."""
    near = nearest(id, ids)
    hint = f"Did you mean {near}?" if near else otherwise
    return click.UsageError(f"No {what} {id!r} in this archive. {hint}")


def refuse(*reasons: str, nothing: str) -> NoReturn:
    """End with the reasons why nothing was done: "Nothing was kept."."""
    click.echo("\n".join([*reasons, nothing]), err=True)
    raise SystemExit(FAULTY)


def option_of(name: str) -> str:
    """
    Return the option that gives an answer.

    >>> option_of("next_due")
    '--next-due'
    """
    return f"--{name.replace('_', '-')}"


def read_nothing(name: str) -> bytes:
    """Reader for an archive of which only names are used."""
    raise AssertionError(f"{name} was read, and only names were asked for")


def day_or_today(text: str | None) -> date:
    """Return a date, or today if none is given."""
    if text is None:
        return date.today()  # noqa: DTZ011 — the laboratory's own day, by its own clock
    try:
        return day(text)
    except ValueError:
        raise click.UsageError(f"{text!r} is not a date. Write YYYY-MM-DD.") from None


def day_so_far(text: str | None) -> date:
    """Return a date that is not in the future, or today if none is given."""
    on = day_or_today(text)
    if on > day_or_today(None):
        raise click.UsageError(f"--on {on} is in the future: give today or earlier.")
    return on


def with_errors(
    archive: Archive, files: Collection[str], flags: Sequence[Flag]
) -> set[str]:
    """
    Return which files have an error that sets the exit status.

    Flags of tests in progress or withdrawn never do, nor does moved-since-issue.
    """
    found = {
        flag.file
        for flag in flags
        if flag.severity is Severity.ERROR and sets_exit_status(flag)
    }
    return {file for file in found if file not in files or archive.claims(file)}


def record_names(root: Path, names: Sequence[str], paths: Sequence[Path]) -> list[str]:
    """Return the records at or under some paths; refuse a path without any."""
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
                f"No record of this archive at {path}. Name a file or folder under "
                f"{root / 'records'}."
            )
        chosen.update(found)
    return sorted(chosen)
