"""Small archives of records: a sound one, and what changes make of it."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from buildsite.pages.alone import alone
from buildsite.pages.archive import Archive, flags_across, survey
from buildsite.record.flags import Flag

FAULTS = Path(__file__).parent / "faults"

Files = Mapping[str, bytes]
Changes = Mapping[str, str | list[list[str]] | None]
"""By file: pairs of text to find and text to put there, a whole text, or None."""


@cache
def sound() -> Files:
    """The archive that raises no flag: every fault is a change of this one."""
    base = FAULTS / "base"
    return {
        path.relative_to(base).as_posix(): path.read_bytes()
        for path in sorted(base.rglob("*"))
        if path.is_file()
    }


def changed(changes: Changes) -> Files:
    """The sound archive after some changes, each of which must find its text once."""
    files = dict(sound())
    for name, change in changes.items():
        file = f"records/{name}"
        if change is None:
            del files[file]
        elif isinstance(change, str):
            files[file] = change.encode()
        else:
            text = files[file].decode()
            for was, now in change:
                assert text.count(was) == 1, f"{file}: {text.count(was)} times: {was}"
                text = text.replace(was, now)
            files[file] = text.encode()
    return files


def flags_of(files: Files) -> list[Flag]:
    """Every flag of every record, by file and line."""
    names = sorted(name for name in files if name.endswith(".yaml"))
    archive = Archive(names, files.__getitem__)
    archive.across_flags = flags_across(archive, survey(archive, archive.files("test")))
    return [flag for name in names for flag in archive.flags(name)]


def flags_of_one(files: Files, name: str) -> list[Flag]:
    """Every flag of one record, taken out of its archive."""
    return list(alone(files[f"records/{name}"], f"records/{name}")[1])


def briefly(flags: list[Flag]) -> list[str]:
    """One line a flag: where, how heavy, which."""
    return [f"{flag.file}:{flag.line}: {flag.severity}: {flag.flag}" for flag in flags]
