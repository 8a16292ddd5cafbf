"""An object of the clone that is not what its name states is named, with its file."""

import json
import os
import shutil
import zlib
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.clones import git
from tests.verify.tampering import CHAIN, RECORD, Fault, caught, head, sound, verify

FILE = f"records/{RECORD}"
PARTS = {
    "record": FILE,
    "chain": CHAIN,
    "kept report": CHAIN.replace(".issued.yaml", ".r0.html"),
}


def object_file(root: Path, name: str) -> Path:
    """File of a loose object, which may be written to."""
    path = root / ".git/objects" / name[:2] / name[2:]
    path.chmod(0o644)
    return path


def overwritten(root: Path, rev: str, was: bytes, now: bytes) -> str:
    """Put other bytes in the place of an object's own; tell its name."""
    name = head(root, rev)
    path = object_file(root, name)
    data = zlib.decompress(path.read_bytes())
    assert was in data
    path.write_bytes(zlib.compress(data.replace(was, now, 1)))
    return name


@pytest.mark.parametrize(
    ("part", "was", "now"),
    [
        ("record", b"container_mass: 31.42", b"container_mass: 31.40"),
        ("chain", b"first issue", b"third issue"),
        ("kept report", b"lb/ft", b"kg/ft"),
    ],
)
def test_a_blob_that_was_overwritten_in_place_is_named(
    root: Path, part: str, was: bytes, now: bytes
) -> None:
    name = overwritten(root, f"HEAD:{PARTS[part]}", was, now)

    first = git(root, "log", "--format=%H", f"--find-object={name}").split()[-1]
    caught(
        root, Fault("ML-101", None, PARTS[part], first), f"{name} was altered in place"
    )


def test_an_overwritten_blob_is_refused_wherever_it_is_read(root: Path) -> None:
    overwritten(root, f"HEAD:{FILE}", b"mass: 31.42", b"mass: 31.40")

    for words in (("history", "ML-101"), ("diff", "--from", "HEAD", "ML-101")):
        ran = run(*words, "--root", root)
        assert ran.status == 3
        assert "not those that its name states" in ran.err


def test_a_commit_that_was_overwritten_is_named(root: Path) -> None:
    name = overwritten(root, "HEAD", b"a@lab.example", b"b@lab.example")

    caught(root, Fault("", None, ".git", name), "altered in place", alone=False)


def test_a_tree_that_was_overwritten_is_named(root: Path) -> None:
    name = overwritten(root, "HEAD:records", b"lab.yaml", b"lob.yaml")

    ran = verify(root)

    assert ran.status == 1
    assert f"{name} was altered in place" in ran.out


def test_a_missing_object_is_named(root: Path) -> None:
    name = head(root, f"HEAD:{FILE}")
    object_file(root, name).unlink()

    caught(
        root, Fault("ML-101", None, FILE, head(root, "HEAD~1")), f"{name} is missing"
    )


def test_what_is_committed_while_git_looks_is_no_damage(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A git whose first look comes before the object that a colleague is writing.
    path = object_file(root, head(root, f"HEAD:{FILE}"))
    seen, wrapper = tmp_path / "looked", tmp_path / "bin" / "git"
    wrapper.parent.mkdir()
    wrapper.write_text(
        "#!/bin/sh\n"
        f'case "$*" in *fsck*) [ -e "{seen}" ] || {{ : >"{seen}"; mv "{path}" '
        f'"{path}.late"; "{shutil.which("git")}" "$@"; status=$?; mv "{path}.late" '
        f'"{path}"; exit $status; }};; esac\nexec "{shutil.which("git")}" "$@"\n'
    )
    wrapper.chmod(0o755)
    monkeypatch.setenv("PATH", f"{wrapper.parent}:{os.environ['PATH']}")

    assert sound(root)
    assert seen.exists()


def test_a_damaged_pack_is_named(root: Path) -> None:
    git(root, "gc", "--quiet")
    assert sound(root)
    (pack,) = (root / ".git/objects/pack").glob("*.pack")
    pack.chmod(0o644)
    data = bytearray(pack.read_bytes())
    data[len(data) // 2] ^= 0xFF
    pack.write_bytes(data)

    ran = run("verify", "--root", root)

    assert ran.status == 1
    assert "is damaged and can't be read" in ran.out
    assert "altered in place" not in ran.out
    assert "nothing else in it was verified" in ran.err
    assert "0 issued items" not in ran.err


def test_no_setting_of_the_clone_hides_damage(root: Path) -> None:
    name = overwritten(root, f"HEAD:{FILE}", b"mass: 31.42", b"mass: 31.40")
    (root / "skip").write_text(f"{name}\n")
    git(root, "config", "fsck.skipList", str(root / "skip"))

    assert [one["file"] for one in json.loads(verify(root).out)["faults"]] == [FILE]


def test_what_git_was_told_to_forget_is_no_damage(root: Path) -> None:
    git(root, "commit", "--quiet", "--allow-empty", "--message=gone")
    git(root, "reset", "--quiet", "--hard", "HEAD~1")
    git(root, "prune", "--expire=now")
    git(root, "-c", "gc.reflogExpire=never", "prune", "--expire=now")

    assert sound(root)


def test_a_default_branch_that_a_remote_gave_up_is_no_damage(
    root: Path, tmp_path: Path
) -> None:
    git(tmp_path, "clone", "--quiet", str(root), "clone")
    clone = tmp_path / "clone"
    git(clone, "symbolic-ref", "refs/remotes/origin/HEAD", "refs/remotes/origin/old")
    assert sound(clone)

    (clone / ".git/refs/heads/odd").write_text("1" * 40 + "\n")
    assert "invalid sha1 pointer" in verify(clone).out


def test_names_of_sha256_are_proven_too(tmp_path: Path) -> None:
    # Git's documentation, hash-function-transition: the same header, another digest.
    from buildsite.history.object_ids import object_id

    git(tmp_path, "init", "--quiet", "--object-format=sha256")
    (tmp_path / "a").write_bytes(b"108.0\n")
    name = git(tmp_path, "hash-object", "a")

    assert len(name) == 64
    assert object_id(b"108.0\n", like=name) == name
