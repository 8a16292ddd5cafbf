"""A clone from anybody: whatever its settings name, reading it runs no program."""

import os
import shutil
from pathlib import Path

import pytest

from buildsite.history.commit import commit
from tests.archives import sound
from tests.cli.running import run
from tests.clones import WHO, clone, git, write

PROGRAMS = (
    "core.fsmonitor",
    "core.pager",
    "pager.log",
    "pager.status",
    "core.sshCommand",
    "core.gitProxy",
    "core.askPass",
    "core.editor",
    "core.alternateRefsCommand",
    "credential.helper",
    "diff.external",
    "diff.any.textconv",
    "diff.any.command",
    "merge.any.driver",
    "filter.any.clean",
    "filter.any.smudge",
    "filter.any.process",
    "gpg.program",
    "gpg.ssh.program",
    "gpg.ssh.defaultKeyCommand",
    "gpg.x509.program",
    "remote.origin.uploadpack",
    "remote.origin.receivepack",
    "uploadpack.packObjectsHook",
    "sequence.editor",
)
"""Settings that git runs as a program (git-config, documentation of 2.39)."""

HOOKS = ("post-index-change", "reference-transaction", "post-checkout", "pre-commit")

READING = [
    ("check",),
    ("show", "HEAD:ML-101"),
    ("diff", "--from", "HEAD~1"),
    ("history", "ML-101"),
    ("build", "--jobs", "1"),
    ("build", "--release", "--jobs", "1", "--out", "released"),
    ("verify",),
    ("verify", "--onto", "HEAD~1"),
    ("verify", "--site", "site"),
]


@pytest.fixture
def hostile(tmp_path: Path) -> tuple[Path, Path]:
    """A clone in which every setting, hook and attribute leads to one program."""
    root = tmp_path / "clone"
    root.mkdir()
    clone(root, sound())
    write(root, {"records/lab.yaml": sound()["records/lab.yaml"] + b"# more\n"})
    git(root, "commit", "--quiet", "--all", "--message=second")
    ran, program = tmp_path / "ran", tmp_path / "program"
    program.write_text(f'#!/bin/sh\necho "$0 $*" >>"{ran}"\nexit 1\n')
    program.chmod(0o755)
    for name in PROGRAMS:
        git(root, "config", name, str(program))
    git(root, "config", "core.hooksPath", str(tmp_path / "hooks"))
    git(root, "config", "log.showSignature", "yes")
    git(root, "config", "filter.any.required", "yes")
    git(root, "config", "remote.origin.url", f"ssh://{root}")
    (tmp_path / "hooks").mkdir()
    for hook in HOOKS:
        shutil.copy(program, tmp_path / "hooks" / hook)
    attributes = b"* diff=any merge=any filter=any\n"
    write(root, {".git/info/attributes": attributes})
    lab = root / "records/lab.yaml"
    lab.touch()  # git's list of times no longer says that it is as committed
    return root, ran


def test_the_trap_works(hostile: tuple[Path, Path]) -> None:
    root, ran = hostile

    with pytest.raises(Exception, match="status"):
        git(root, "-c", "alias.x=status", "status", "--porcelain")
    assert ran.exists()


@pytest.mark.parametrize("words", READING, ids=" ".join)
def test_reading_runs_no_program_of_the_clone(
    hostile: tuple[Path, Path], words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    root, ran = hostile
    monkeypatch.chdir(root)
    if "--site" in words:
        assert run("build", "--jobs", "1").status == 0

    done = run(*words)

    assert not ran.exists(), ran.read_text()
    assert done.status in (0, 1), done.err


@pytest.mark.parametrize("setting", ["core.fsmonitor", "filter.own.clean"])
def test_nor_a_program_of_a_repository_among_the_records(
    hostile: tuple[Path, Path], setting: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Git looks whether a submodule has changes, by that one's own settings.
    root, ran = hostile
    inner = root / "records/inner"
    inner.mkdir()
    clone(inner, {"a.txt": b"a\n"})
    for name in ("core.fsmonitor", "filter.any.clean"):
        git(root, "config", "--unset", name)
    (root / ".git/info/attributes").unlink()
    git(root, "-c", "core.hooksPath=/dev/null", "add", "records/inner")
    message = ("--message=third", "--no-gpg-sign")
    git(root, "-c", "core.hooksPath=/dev/null", "commit", "--quiet", *message)
    ran.unlink(missing_ok=True)
    git(inner, "config", setting, str(root.parent / "program"))
    write(inner, {".git/info/attributes": b"* filter=own\n"})
    os.utime(inner / "a.txt", (1, 1))
    monkeypatch.chdir(root)

    done = run("build", "--jobs", "1")

    assert not ran.exists(), ran.read_text()
    assert done.status == 0, done.err
    assert "differ from the last commit" in done.err  # its files are in no commit here


def test_nor_the_program_for_a_signature_of_another_sort(
    hostile: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    # A commit with two signatures: one header is of SSH, and git checks the other.
    root, ran = hostile
    lab = sound()["records/lab.yaml"].replace(b"{curve:", b"{signed_edits: yes, curve:")
    write(root, {"records/lab.yaml": lab})
    (root / ".git/info/attributes").unlink()
    for name in ("core.fsmonitor", "gpg.program"):
        git(root, "config", "--unset", name)
    git(root, "-c", "core.hooksPath=/dev/null", "commit", "--quiet", "--all", "-m=3")
    head, _, message = git(root, "cat-file", "commit", "HEAD").partition("\n\n")
    of_ssh = (
        "gpgsig-sha256 -----BEGIN SSH SIGNATURE-----\n AAAA\n -----END SSH SIGNATURE"
    )
    of_pgp = "gpgsig -----BEGIN PGP SIGNATURE-----\n \n iQ\n -----END PGP SIGNATURE"
    both = f"{head}\n{of_ssh}-----\n{of_pgp}-----\n\n{message}\n"
    write(root.parent, {"signed": both.encode()})
    words = ("hash-object", "-t", "commit", "-w", "--literally")
    id = git(root, *words, str(root.parent / "signed"))
    git(root, "-c", "core.hooksPath=/dev/null", "update-ref", "HEAD", id)
    ran.unlink(missing_ok=True)
    git(root, "config", "gpg.openpgp.program", str(root.parent / "program"))
    monkeypatch.chdir(root)

    done = run("verify")

    assert not ran.exists(), ran.read_text()
    assert done.status == 1, done.err
    assert "edit-not-signed" in done.out


def test_an_object_that_is_missing_is_not_fetched(
    hostile: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    root, ran = hostile
    blob = git(root, "rev-parse", "HEAD:records/lab.yaml")
    (root / ".git/objects" / blob[:2] / blob[2:]).unlink()
    git(root, "config", "remote.origin.promisor", "yes")
    git(root, "config", "core.repositoryFormatVersion", "1")
    git(root, "config", "extensions.partialClone", "origin")
    monkeypatch.chdir(root)

    done = run("show", "HEAD:ML-101")

    assert not ran.exists(), ran.read_text()
    assert done.status == 3


def test_a_commit_runs_no_monitor_of_files(
    hostile: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    # Hooks, filters and the signing program do run, as in any commit of that clone.
    root, ran = hostile
    for name, value in WHO.items():
        monkeypatch.setenv(name, value)
    git(root, "config", "core.hooksPath", "/dev/null")
    (root / ".git/info/attributes").unlink()

    commit(root, {"records/lab.yaml": sound()["records/lab.yaml"]}, "As it was")

    assert not ran.exists(), ran.read_text()
