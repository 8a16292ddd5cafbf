"""Files written whole or not at all, one or several."""

import os
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import TypeAlias

from buildsite.errors import EnvironmentFault
from buildsite.record.issued import SUFFIX

Write: TypeAlias = Callable[[Path, bytes], None]
"""How a file is written whole; tests write otherwise, to see what is left."""


def write_whole(path: Path, data: bytes) -> None:
    """
    Write a file so that a reader sees the old one or the new one, never a part.

    A file of a name beginning with a dot is written beside it, brought to the disk,
    and moved into place; the mode of the file that was there is kept.

    Raises
    ------
    EnvironmentFault
        If the disk is full, or the folder is missing or may not be written.
    """
    beside = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        with beside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            beside.chmod(path.stat().st_mode)
        beside.replace(path)
    except OSError as error:
        raise unwritable(path, error) from error
    finally:
        with suppress(OSError):  # where nothing can be written nothing was left either
            beside.unlink(missing_ok=True)


def unwritable(path: Path, error: OSError) -> EnvironmentFault:
    """Say that a file or a folder cannot be written, and why."""
    return EnvironmentFault(
        f"Cannot write {path}: {error.strerror or error}.",
        "Look at the disk's free space and at who may write in the folder.",
    )


def write_files(
    root: Path, files: Mapping[str, bytes], *, write: Write = write_whole
) -> dict[str, bytes | None]:
    """Write files, all or none; give what stood there before."""
    before: dict[str, bytes | None] = {}
    try:
        for name in sorted(files, key=chains_last):
            path = root / name
            before[name] = path.read_bytes() if path.exists() else None
            write(path, files[name])
    except BaseException:
        restore_files(root, before, write=write)
        raise
    return before


def chains_last(name: str) -> tuple[bool, str]:
    """Sort key: what names other files is written after them, lest we are killed."""
    return name.endswith(SUFFIX), name


def restore_files(
    root: Path,
    before: Mapping[str, bytes | None],
    *,
    write: Write = write_whole,
) -> None:
    """Put back what stood there before."""
    for name, data in before.items():
        if data is None:
            (root / name).unlink(missing_ok=True)
        else:
            write(root / name, data)
