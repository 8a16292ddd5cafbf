"""A clone of another owner: git refuses it, and the program passes that on."""

import os
import shutil
from pathlib import Path

import pytest

from buildsite.errors import EnvironmentFault
from buildsite.history.commit import commit, head
from buildsite.history.completeness import whole_clone
from buildsite.history.run import checkout
from tests.archives import sound
from tests.cli.running import run
from tests.clones import clone

NOBODY = 65534
ISSUE = ("issue", "ML-101", "--authorized-by", "E02", "--reason", "first")


@pytest.fixture
def another_s(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """
    A clone that belongs to somebody else, as git itself sees it.

    Root gives it away. Nobody else can; for them git's own test variable has it take
    every folder for another user's.
    """
    root = tmp_path / "clone"
    root.mkdir()
    clone(root, sound())
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    monkeypatch.delenv("SUDO_UID", raising=False)
    if os.geteuid() == 0:
        for path in (root, *root.rglob("*")):
            os.chown(path, NOBODY, NOBODY)
    else:
        real = shutil.which("git")
        wrapper = home / "git"
        wrapper.write_text(
            f'#!/bin/sh\nGIT_TEST_ASSUME_DIFFERENT_OWNER=1 exec "{real}" "$@"\n'
        )
        wrapper.chmod(0o755)
        monkeypatch.setenv("PATH", f"{home}{os.pathsep}{os.environ['PATH']}")
    return root


@pytest.mark.parametrize(
    "ask",
    [
        checkout,
        head,
        lambda root: whole_clone(root, "HEAD"),
        lambda root: commit(root, {"records/lab.yaml": b"x\n"}, "Try"),
    ],
    ids=["checkout", "head", "whole_clone", "commit"],
)
def test_git_s_own_words_and_remedy_are_passed_on(another_s: Path, ask: object) -> None:
    assert callable(ask)
    with pytest.raises(EnvironmentFault) as caught:
        ask(another_s)

    assert "dubious ownership" in caught.value.cause
    assert str(another_s) in caught.value.cause
    assert (
        f"`git config --global --add safe.directory {another_s}`" in caught.value.remedy
    )


@pytest.mark.parametrize(
    "words",
    [
        ("verify",),
        ("build",),
        ISSUE,
        ("history", "ML-101"),
    ],
)
def test_no_command_takes_it_for_no_clone(
    another_s: Path, words: tuple[str, ...]
) -> None:
    done = run(*words, "--root", another_s)

    assert done.status == 3
    assert "dubious ownership" in done.err
    assert "safe.directory" in done.err
    assert "Clone the archive" not in done.err
