"""Files written whole or not at all, one or several."""

import os
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import TypeAlias

from buildsite.errors import EnvironmentFault
from buildsite.record.places import SUFFIX

Write: TypeAlias = Callable[[Path, bytes], None]
"""Function that writes a file whole; tests replace it."""


def write_whole(path: Path, data: bytes) -> None:
    """
    Write a file so that a reader sees the old one or the new one, never a part.

    A hidden file is written beside it, synced to disk and moved into place; the mode of
    an existing file is kept.
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
    """Return the fault of an unwritable file or folder."""
    return EnvironmentFault(
        f"Can't write {path}: {error.strerror or error}.",
        "Check the free disk space and the permissions of the folder.",
    )


def write_files(
    root: Path, files: Mapping[str, bytes], *, write: Write = write_whole
) -> dict[str, bytes | None]:
    """Write files, all or none; return what was there before."""
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
    """Sort key: issued files are written after the files they name."""
    return name.endswith(SUFFIX), name


def restore_files(
    root: Path,
    before: Mapping[str, bytes | None],
    *,
    write: Write = write_whole,
) -> None:
    """Restore what was there before."""
    for name, data in before.items():
        if data is None:
            (root / name).unlink(missing_ok=True)
        else:
            write(root / name, data)
