"""What several commands share: the option --root, and finding the archive."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import click

from buildsite.exports.schema import schema_files
from buildsite.files import find_root, write_whole
from buildsite.pages.archive import Archive
from buildsite.record.flags import Flag, Severity

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
    return find_root(root if root is not None else Path.cwd())


def counted(archive: Archive, files: Sequence[str], flags: Sequence[Flag]) -> int:
    """
    How many files have an error that counts.

    Flags of tests in progress or withdrawn never count, for those tests claim nothing.
    """
    silent = {
        file
        for file in files
        if getattr(archive.entry(file).record, "status", "complete") != "complete"
    }
    return len(
        {
            flag.file
            for flag in flags
            if flag.severity is Severity.ERROR and flag.file not in silent
        }
    )


def write_schemas(root: Path) -> list[str]:
    """Keep the schemas beside the records current; tell which were written."""
    written = []
    for name, data in schema_files().items():
        path = root / name
        if not path.exists() or path.read_bytes() != data:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, data)
            written.append(name)
    return written
