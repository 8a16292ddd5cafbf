"""Writing a new archive into its folder, whole or not at all."""

import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

import click

from buildsite.cli.git_setup import program_command
from buildsite.errors import EnvironmentFault
from buildsite.files import write_whole
from buildsite.files.writing import unwritable
from buildsite.history import clone_setup as git
from buildsite.history.clone_setup import set_drivers
from buildsite.values import dataclass


@dataclass(frozen=True)
class GitSetup:
    """`clone`: the folder is one already; `known`: git itself knows who commits."""

    branch: str
    who: tuple[str, str]
    clone: bool
    known: bool


def write_archive(place: Path, files: Mapping[str, bytes], setup: GitSetup) -> None:
    """Write an archive whole: next to its place, and then moved there."""
    try:
        if place.exists():
            write_in_place(place, files, setup)
            return
        place.parent.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(prefix=f".{place.name}.", dir=place.parent))
        try:
            made = beside / "archive"  # a folder of the user's own mode
            made.mkdir()
            write_in_place(made, files, setup)
            made.rename(place)
        finally:
            shutil.rmtree(beside, ignore_errors=True)
    except OSError as error:
        raise unwritable(Path(error.filename or place), error) from error


def write_in_place(root: Path, files: Mapping[str, bytes], setup: GitSetup) -> None:
    """Write and commit an archive in a folder; on any failure, remove it again."""
    folders = {above for name in files for above in Path(name).parents} - {Path()}
    ours = [root / one for one in sorted(folders, reverse=True)]
    ours = [one for one in ours if not one.exists()]
    try:
        write_and_commit(root, files, setup)
    except BaseException:
        for name in files:
            (root / name).unlink(missing_ok=True)
        for one in ours:
            if one.is_dir() and not any(one.iterdir()):
                one.rmdir()
        if not setup.clone:
            shutil.rmtree(root / ".git", ignore_errors=True)
        raise


def write_and_commit(root: Path, files: Mapping[str, bytes], setup: GitSetup) -> None:
    """Make a folder a clone if it is none; write the files and commit them."""
    named = all(setup.who)
    if not setup.clone:
        git.make_clone(root, setup.branch)
    if named and not setup.known:
        git.set_identity(root, *setup.who)
    for name, data in sorted(files.items()):
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        write_whole(root / name, data)
    if named:
        git.first_commit(root, files, "Begin the archive")
    set_drivers(root, program_command())
    write_hook(root)


def write_hook(root: Path) -> None:
    """Write the hook; another hook in its place is no failure."""
    try:
        git.write_hook(root, program_command())
    except EnvironmentFault as fault:
        click.echo(f"{fault.cause}\n{fault.remedy}", err=True)


def refuse_others(place: Path) -> bool:
    """Refuse a folder inside another clone; return whether it is the top of one."""
    if place.exists() and not place.is_dir():
        raise click.UsageError(f"{place} is a file.")
    top = git.clone_top(place)
    if top is None:
        return False
    if top.resolve() != place.resolve():
        raise EnvironmentFault(
            f"{place} is inside the clone at {top}.",
            "Choose a folder outside it: an archive is a repository of its own.",
        )
    return True


def refuse_to_overwrite(place: Path, files: Mapping[str, bytes]) -> None:
    """Refuse a folder that has any of the archive's files."""
    there = [name for name in sorted(files) if os.path.lexists(place / name)]
    if there:
        raise click.UsageError(
            f"{place} already has {', '.join(there)}. Nothing is overwritten: choose "
            "an empty folder."
        )
