"""A file is replaced whole or not at all."""

import os
from contextlib import suppress
from pathlib import Path

from buildsite.errors import EnvironmentFault


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
