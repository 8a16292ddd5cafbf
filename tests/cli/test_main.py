"""The program as a whole: help, statuses, and what it says of its own bugs."""

import re
from pathlib import Path

import click
import pytest

from buildsite import __version__
from buildsite.cli import COMMANDS, buildsite
from buildsite.cli import check as check_module
from buildsite.kinds import all_kinds
from tests.archives import sound
from tests.cli.running import run
from tests.clones import write


def test_help_lists_every_command_with_its_line() -> None:
    ran = run("--help")

    assert ran.status == 0
    for name, line in COMMANDS.items():
        assert re.search(rf"^ +{name} +{line}$", ran.out, re.M)


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_each_command_has_help_with_an_example(name: str) -> None:
    ran = run(name, "--help")

    assert ran.status == 0
    assert f"Example: buildsite {name}" in ran.out
    command = buildsite.get_command(click.Context(buildsite), name)
    assert command is not None
    assert command.name == name


@pytest.mark.parametrize("kind", [k.name for k in all_kinds() if k.blank is not None])
def test_each_new_record_has_help_with_an_example(kind: str) -> None:
    ran = run("new", kind, "--help")

    assert ran.status == 0
    assert re.search(rf"^ *Example: buildsite new {kind} .*--defaults$", ran.out, re.M)


def test_the_version_is_told() -> None:
    assert __version__ in run("--version").out


@pytest.mark.parametrize("words", [["nonsense"], ["check", "--nonsense"], ["show"]])
def test_wrong_usage_is_two(words: list[str]) -> None:
    ran = run(*words)

    assert (ran.status, ran.out) == (2, "")
    assert "Usage:" in ran.err


def test_a_bug_of_ours_is_seventy_and_leaves_a_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(root: Path) -> None:
        raise ZeroDivisionError("on purpose\nsecond line")

    monkeypatch.setattr(check_module, "list_archive", broken)
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.setattr("tempfile.tempdir", None)

    ran = run("check", "--root", write(tmp_path / "a", sound()))

    assert (ran.status, ran.out) == (70, "")
    assert "Traceback" not in ran.err
    first, second = ran.err.splitlines()
    assert "ZeroDivisionError: on purpose" in first
    (log,) = tmp_path.glob("buildsite-*.log")
    assert str(log) in second
    text = log.read_text("utf-8")
    assert "Traceback" in text
    assert "check --root" in text
    assert __version__ in text


def test_an_unknown_root_is_wrong_usage(tmp_path: Path) -> None:
    assert run("check", "--root", tmp_path / "nowhere").status == 2
    assert run("check", "--root", tmp_path).status == 3


def test_a_folder_that_is_gone_is_said_to_be(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()

    ran = run("check")

    assert ran.status == 3
    assert ran.err.startswith("The current folder no longer exists.")
