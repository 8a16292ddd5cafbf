"""What others wrote is printed as text: it moves no cursor and commands no CI."""

from pathlib import Path

import pytest

from buildsite.record.unseen import UNSEEN
from tests.archives import sound
from tests.cli.running import Ran, run
from tests.clones import clone, git, write

TEST = "records/marsh-lane/tests/ML-101.yaml"
HOSTILE = "read again\x1b[2J\x9b1A \u202etxet\r##[group]"


def lines(ran: Ran) -> list[str]:
    return (ran.out + ran.err).split("\n")


def printed_safely(ran: Ran) -> None:
    """Assert that no line has a hidden character, or is a command to a CI service."""
    assert not [line for line in lines(ran) if UNSEEN.search(line)]
    assert not [line for line in lines(ran) if line.strip().startswith("::")]
    assert "##[" not in ran.out + ran.err


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A clone in which a message, a value and a file's name are hostile."""
    files = dict(sound())
    clone(tmp_path, files)
    remark = b'\nremarks: "dried\\n::error::all is well ##[x]"\n'
    after = files | {TEST: files[TEST].rstrip(b"\n") + remark}
    write(tmp_path, after)
    git(tmp_path, "commit", "--quiet", "--all", f"--message={HOSTILE}\n::error::no")
    stray = tmp_path / "records/marsh-lane/tests/ML-9\x1b[2J\n::error::x.r0.html"
    stray.write_bytes(b"")
    git(tmp_path, "add", "--all")
    git(tmp_path, "commit", "--quiet", "--message=stray")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_history(root: Path) -> None:
    ran = run("history", "ML-101", "--all")

    assert "read again" in ran.out
    assert "remarks: " in ran.out
    printed_safely(ran)


@pytest.mark.parametrize("style", ["text", "markdown"])
def test_diff(root: Path, style: str) -> None:
    ran = run("diff", "ML-101", "--from", "HEAD~2", "--format", style)

    assert "dried\\n::error::all" in ran.out.replace("\\\\", "\\")
    printed_safely(ran)


def test_verify(root: Path) -> None:
    ran = run("verify")

    assert ran.status == 1
    assert "ML-9\\x1b[2J\\n::error::x.r0.html" in ran.out
    printed_safely(ran)


def test_check(root: Path) -> None:
    ran = run("check")

    assert "\\x1b" in ran.out
    printed_safely(ran)


def test_a_fault_of_the_machine(tmp_path: Path) -> None:
    folder = tmp_path / "lab\x1b[2J\n::error::gone"
    folder.mkdir()

    ran = run("check", "--root", folder)

    assert ran.status == 3
    assert "lab\\x1b[2J" in ran.err
    printed_safely(ran)
