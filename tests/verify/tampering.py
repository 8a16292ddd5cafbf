"""A laboratory with issued tests, and what a tamperer does to its repository."""

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest

import buildsite.cli.verify as command
from buildsite.archive.known_programs import known_programs
from buildsite.exports.manifest import Origin, item_digests, manifest
from buildsite.record.issued import appended, closed, read_issued
from buildsite.verifying import Scope, Verdict
from buildsite.verifying import verify as verify_archive
from tests.cli.running import Ran, run
from tests.clones import git, write
from tests.issuing.clones import TESTS, edit, lab

RECORD = "marsh-lane/tests/ML-101.yaml"
CHAIN = f"{TESTS}/ML-101.issued.yaml"
Item = dict[str, Any]


@dataclass(frozen=True)
class Fault:
    """What `verify` must name."""

    test: str
    revision: int | None
    file: str
    commit: str


def laboratory(root: Path) -> Path:
    """Two tests issued; then a mass of one was misread, and that one issued again."""
    lab(root)
    issue(root, "ML-101", "ML-102", reason="first issue")
    edit(root, RECORD, "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60")
    issue(root, "ML-101", reason="Mass of point 3 was misread")
    return root


def issue(
    root: Path,
    *words: str,
    reason: str,
    on: str = "2026-03-13",
    at: str = "2026-03-13T12:00:00Z",
) -> None:
    """Issue, which must go well; `at` is the time that the commit claims."""
    by = ("--authorized-by", "E02", "--reason", reason, "--on", on)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("GIT_AUTHOR_DATE", at)
        patch.setenv("GIT_COMMITTER_DATE", at)
        ran = run("issue", *words, *by, "--root", root)
    assert ran.status == 0, ran.err


def head(root: Path, name: str = "HEAD") -> str:
    """Id of a commit."""
    return git(root, "rev-parse", name)


def commit(root: Path, subject: str) -> str:
    """Commit everything as it stands."""
    git(root, "add", "--all")
    git(root, "commit", "--quiet", "--allow-empty", f"--message={subject}")
    return head(root)


def items(root: Path, test: str = "ML-101") -> list[Item]:
    """Items of a test, as they stand in the folder."""
    name = f"{TESTS}/{test}.issued.yaml"
    found, flags = read_issued(name, (root / name).read_bytes())
    assert found is not None, flags
    return [dict(tree) for tree in found.trees]


def put(root: Path, trees: Sequence[Item], test: str = "ML-101") -> None:
    """Write an issued file anew, of other items."""
    data = b"format: 1\ntest: ML-101\nrevisions:\n".replace(b"ML-101", test.encode())
    for tree in trees:
        data = appended(data, test, tree)
    write(root, {f"{TESTS}/{test}.issued.yaml": data})


def chained(trees: Sequence[Item]) -> list[Item]:
    """Number items and give them digests anew, as a careful forger does."""
    done: list[Item] = []
    for number, tree in enumerate(trees):
        before = done[-1] if done else None
        done.append(closed({**tree, "revision": str(number)}, before))
    return done


def by_another(tree: Item) -> Item:
    """The item as another program, which is known, issued it."""
    known = next(iter(known_programs()))
    return {**tree, "software": {**tree["software"], "fingerprint": known}}


def published(root: Path, folder: Path) -> Path:
    """The manifest of a site that was published from what is committed now."""
    issued = {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in sorted(root.rglob("*.issued.yaml"))
    }
    software = {"name": "buildsite", "version": "1", "fingerprint": "f"}
    origin = Origin(head(root), False, software, "l", {}, item_digests(issued), None)
    path = folder / "published.json"
    path.write_bytes(manifest({}, origin))
    return path


def verify(root: Path, *words: str | Path) -> Ran:
    """Verify for a program."""
    return run("verify", "--json", *words, "--root", root)


def sound(root: Path, *words: str | Path) -> bool:
    """Whether nothing is found."""
    ran = verify(root, *words)
    assert ran.status in (0, 1), ran.err
    assert (ran.status == 0) == (json.loads(ran.out)["faults"] == []), ran
    return ran.status == 0


@contextmanager
def verified_once() -> Iterator[None]:
    """Come to one verdict, in how many forms it may be told within."""
    known: list[Verdict] = []

    def verdict(root: Path, scope: Scope, *more: Any) -> Verdict:
        if not known:
            known.append(verify_archive(root, scope, *more))
        return known[0]

    with patch.object(command, "verify_archive", verdict):
        yield


def caught(
    root: Path, fault: Fault, words: str, *asked: str | Path, alone: bool = True
) -> None:
    """
    Assert that `verify` exits 1 and names all of a fault, for programs and people.

    With `alone`, nothing but this test is found at fault: the other one, which nobody
    touched, is the control.
    """
    with verified_once():
        ran = verify(root, *asked)
        said = run("verify", *asked, "--root", root)
    assert ran.status == 1, ran.out + ran.err
    faults = json.loads(ran.out)["faults"]
    seen = [
        one
        for one in faults
        if words in one["what"]
        and Fault(one["test"], one["revision"], one["file"], one["commit"]) == fault
    ]
    assert seen, f"{fault} {words!r} not in {ran.out}"
    assert all(one["mend"] for one in faults)
    if alone:
        assert {one["test"] for one in faults} == {fault.test}
    name = f"{fault.test} r{fault.revision}" if fault.revision is not None else ""
    assert said.status == 1
    for part in (name, fault.file, fault.commit, words):
        assert part in said.out
