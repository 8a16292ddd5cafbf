"""A clone of the sound archive, in which a person may commit, and what it holds."""

from pathlib import Path

from buildsite.record.issued import Issued, read_issued
from buildsite.software import fingerprint
from tests.archives import sound
from tests.clones import clone, git

TESTS = "records/marsh-lane/tests"
PROGRAM = "program/fingerprint.txt"
"""Where an archive names the program that issues its reports."""

ATTRIBUTES = (
    b"records/**/*.html -text\nrecords/**/*.json -text\nrecords/**/*.pdf binary\n"
)


def lab(root: Path) -> Path:
    """Make the clone: everything committed, and git knows who commits."""
    named = f"{fingerprint()}\n".encode()
    clone(root, {**sound(), ".gitattributes": ATTRIBUTES, PROGRAM: named})
    git(root, "config", "user.name", "A")
    git(root, "config", "user.email", "a@lab.example")
    return root


def edit(root: Path, name: str, was: str, now: str, *, commit: bool = True) -> None:
    """Change one text of one record, which must be there once."""
    path = root / "records" / name
    text = path.read_text("utf-8")
    assert text.count(was) == 1, f"{name}: {text.count(was)} times: {was}"
    path.write_text(text.replace(was, now), "utf-8", newline="")
    if commit:
        git(root, "commit", "--quiet", "--all", f"--message=edit {name}")


def issued(root: Path, test: str) -> Issued:
    """Read what was issued of a test."""
    name = f"{TESTS}/{test}.issued.yaml"
    found, flags = read_issued(name, (root / name).read_bytes())
    assert found is not None, flags
    return found


def kept(root: Path, test: str, revision: int, suffix: str = "html") -> bytes:
    """Read a kept report or result."""
    return (root / TESTS / f"{test}.r{revision}.{suffix}").read_bytes()


def in_commit(root: Path, revision: str = "HEAD") -> list[str]:
    """Files of one commit, by status and name."""
    return git(
        root, "show", "--format=", "--name-status", "--no-renames", revision
    ).splitlines()


def state(root: Path) -> tuple[str, str, dict[str, bytes]]:
    """All that a refusal must leave as it was: tip, index and files."""
    files = {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if path.is_file() and ".git" not in path.parts
    }
    status = git(root, "status", "--porcelain", "--untracked-files=all")
    return git(root, "rev-parse", "HEAD"), status, files
