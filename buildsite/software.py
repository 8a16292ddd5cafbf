"""What computed a result: the name, the version, and a fingerprint of code and lock."""

import functools
import hashlib
import json
from collections.abc import Iterator
from pathlib import Path

from buildsite import __version__

NAME = "buildsite"
VERSION = __version__

_PACKAGE = Path(__file__).resolve().parent
SHIPPED = frozenset({".py", ".md", ".yaml", ".html", ".xml", ".css", ".js", ".svg"})
"""Suffixes of what the package is made of; an editor's leavings have others."""


def _beside_or_inside(name: str) -> Path:
    """Find what a wheel carries inside the package and a clone has beside it."""
    inside = _PACKAGE / name
    return inside if inside.exists() else _PACKAGE.parent / name


def templates() -> Path:
    """Return the folder of templates, in a clone or in an installed wheel."""
    return _beside_or_inside("templates")


def lock() -> Path:
    """Return the lock file that names what the program runs on."""
    return _beside_or_inside("requirements.lock")


def _parts() -> Iterator[tuple[str, Path]]:
    """Every file of the program, under the name it has in a clone."""
    for folder, prefix in ((_PACKAGE, "buildsite"), (templates(), "templates")):
        for path in folder.rglob("*"):
            name = path.relative_to(folder)
            # In a wheel the templates are inside the package: not twice.
            inside = folder == _PACKAGE and name.parts[0] == "templates"
            if path.suffix in SHIPPED and not inside:
                yield f"{prefix}/{name.as_posix()}", path
    yield lock().name, lock()


def _digest(path: Path) -> str:
    """SHA-256 of a text file as git stores it: with LF alone."""
    return hashlib.sha256(path.read_bytes().replace(b"\r\n", b"\n")).hexdigest()


@functools.cache
def lock_digest() -> str:
    """SHA-256 of the lock file."""
    return _digest(lock())


@functools.cache
def fingerprint() -> str:
    """
    SHA-256 over the program's own files and its lock, the same on any machine.

    It is the digest of lines ``<sha256>  <name>``, sorted by name: what
    ``sha256sum`` prints, so that a person can repeat it without this program.
    """
    lines = [f"{_digest(path)}  {name}\n" for name, path in sorted(_parts())]
    return hashlib.sha256("".join(lines).encode()).hexdigest()


def software() -> dict[str, str]:
    """Return what a result says of the program that computed it."""
    return {"name": NAME, "version": VERSION, "fingerprint": fingerprint()}


def installed_from() -> str:
    """
    Where pip got this program, as it wants it written: a repository at one commit.

    Empty where it was a folder or a file of this machine, which is nowhere else
    (PEP 610, `direct_url.json`).
    """
    from importlib.metadata import PackageNotFoundError, distribution

    try:
        told = json.loads(distribution(NAME).read_text("direct_url.json") or "{}")
    except PackageNotFoundError:
        return ""
    commit = told.get("vcs_info", {}).get("commit_id", "")
    return f"git+{told['url']}@{commit}" if commit else ""
