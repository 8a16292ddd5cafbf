"""The program's name, version, and fingerprint of code and lock."""

import functools
import hashlib
import json
import os
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

from buildsite import __version__

NAME = "buildsite"
VERSION = __version__

_PACKAGE = Path(__file__).resolve().parent
SHIPPED = frozenset({".py", ".md", ".yaml", ".html", ".xml", ".css", ".js", ".svg"})
"""Suffixes of the package's files; an editor's backups have others."""


def _beside_or_inside(name: str) -> Path:
    """Return a path that is inside the package in a wheel, and beside it in a clone."""
    inside = _PACKAGE / name
    return inside if inside.exists() else _PACKAGE.parent / name


def templates() -> Path:
    """Return the folder of templates."""
    return _beside_or_inside("templates")


def lock() -> Path:
    """Return the lock file of the program's dependencies."""
    return _beside_or_inside("requirements.lock")


def _parts() -> Iterator[tuple[str, Path]]:
    """Yield every file of the program, with its name in a clone."""
    for folder, prefix in ((_PACKAGE, "buildsite"), (templates(), "templates")):
        for path in folder.rglob("*"):
            name = path.relative_to(folder)
            # In a wheel the templates are inside the package: not twice.
            inside = folder == _PACKAGE and name.parts[0] == "templates"
            if path.suffix in SHIPPED and not inside:
                yield f"{prefix}/{name.as_posix()}", path
    yield lock().name, lock()


def _digest(path: Path) -> str:
    """Return the SHA-256 of a text file as git stores it, with LF only."""
    return hashlib.sha256(path.read_bytes().replace(b"\r\n", b"\n")).hexdigest()


@functools.cache
def lock_digest() -> str:
    """Return the SHA-256 of the lock file."""
    return _digest(lock())


PLACES = ("buildsite", "templates", "requirements.lock")
"""Folders and file of the program, by their names in a clone."""


def is_part(name: str) -> bool:
    """
    Whether a file of a clone is part of the program.

    >>> is_part("buildsite/values.py"), is_part("buildsite/values.py~")
    (True, False)
    """
    folder, lock_name = name.partition("/")[0], PLACES[-1]
    return name == lock_name or (
        folder in PLACES[:-1] and "/" in name and Path(name).suffix in SHIPPED
    )


def fingerprint_of(digests: Mapping[str, str]) -> str:
    """
    Return the fingerprint of a program, from the SHA-256 of each of its files.

    It is the digest of lines ``<sha256>  <name>``, sorted by name, as ``sha256sum``
    prints them, so that a person can repeat it without this program.
    """
    lines = [f"{digests[name]}  {name}\n" for name in sorted(digests)]
    return hashlib.sha256("".join(lines).encode()).hexdigest()


_BELIEVED: list[str] = []


def believe(known: str) -> None:
    """Take a fingerprint as known: the files are as they were when it was found."""
    _BELIEVED[:] = [known]


@functools.cache
def fingerprint() -> str:
    """Return the fingerprint of this program, the same on any machine."""
    if _BELIEVED:
        return _BELIEVED[0]
    return fingerprint_of({name: _digest(path) for name, path in _parts()})


def software() -> dict[str, str]:
    """Return the name, version and fingerprint kept with a result."""
    return {"name": NAME, "version": VERSION, "fingerprint": fingerprint()}


@functools.cache
def libraries() -> str:
    """Return the digest of the names and versions of what is installed."""
    folders = [Path(place) for place in sys.path if place.endswith("-packages")]
    names = [name for place in folders if place.is_dir() for name in os.listdir(place)]  # noqa: PTH208
    found = sorted(name for name in names if name.endswith(".dist-info"))
    return hashlib.sha256("\n".join(found).encode()).hexdigest()


def installed_from() -> str:
    """
    Return where pip got this program: a repository at one commit, as pip writes it.

    Empty if it was a folder or a file of this machine (PEP 610, `direct_url.json`).
    """
    from importlib.metadata import PackageNotFoundError, distribution

    try:
        source = json.loads(distribution(NAME).read_text("direct_url.json") or "{}")
    except PackageNotFoundError:
        return ""
    commit = source.get("vcs_info", {}).get("commit_id", "")
    return f"git+{source['url']}@{commit}" if commit else ""
