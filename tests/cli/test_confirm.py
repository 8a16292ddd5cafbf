"""An unchecked figure of a standard, confirmed by a command."""

from pathlib import Path

import pytest

from tests.cli.running import Ran, run
from tests.clones import git
from tests.issuing.clones import lab

READ = ("--value", "3", "--edition", "22", "--clause", "5.2", "--on", "2026-03-02")
LINE = (
    '  - {standard: AASHTO T 99, cell: Layers, value: 3, edition: 22, clause: "5.2", '
    "on: 2026-03-02, by: E02}"
)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return lab(tmp_path)


def confirm(root: Path, *words: str) -> Ran:
    return run("confirm", *words, "--root", root)


def text(root: Path) -> str:
    return (root / "records/lab.yaml").read_text("utf-8")


def test_the_list_names_what_is_not_yet_checked(root: Path) -> None:
    ran = confirm(root, "t99")

    assert ran.status == 0
    assert "Layers: 3" in ran.out.splitlines()
    assert not any(line.startswith("Rammer mass:") for line in ran.out.splitlines())
    assert "items not yet checked" in ran.err


def test_what_was_read_in_the_copy_is_one_line_in_one_commit(root: Path) -> None:
    before = text(root)

    ran = confirm(root, "T 99", "Layers", *READ, "--by", "E02")

    assert ran.status == 0, ran.err
    after = text(root)
    assert after.startswith(before)
    assert [line.replace('"', "") for line in after[len(before) :].splitlines()] == [
        "confirmed:",
        LINE.replace('"', ""),
    ]
    message = git(root, "log", "-1", "--format=%B")
    assert message.startswith("lab: Layers of AASHTO T 99 confirmed")
    assert "Reason: edition 22, clause 5.2" in message
    assert "Layers: 3" not in confirm(root, "T 99").out.splitlines()
    assert run("check", "--root", root).status == 0


def test_a_second_one_goes_below_the_first(root: Path) -> None:
    assert confirm(root, "T 99", "Layers", *READ, "--by", "E02").status == 0
    first = text(root)

    words = ("--value", "unless fragile", *READ[2:], "--by", "E02")
    ran = confirm(root, "T 99", "may_reuse_soil", *words)

    assert ran.status == 0, ran.err
    assert text(root).startswith(first)
    assert text(root).count("  - {standard: AASHTO T 99") == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("T 99", "Layerz", *READ, "--by", "E02"), "confirmed-cell-unknown"),
        (("T 99", "Layers", "--value", "5", *READ[2:], "--by", "E02"), "differs"),
        (("T 99", "Layers", *READ, "--by", "T07"), "confirmed-without-authority"),
        (("T 99", "Layers", *READ, "--by", "E77"), "not on the staff list"),
    ],
)
def test_what_does_not_hold_is_refused_and_nothing_kept(
    root: Path, words: tuple[str, ...], said: str
) -> None:
    before, head = text(root), git(root, "rev-parse", "HEAD")

    ran = confirm(root, *words)

    assert ran.status == 1
    assert said in ran.err
    assert "Nothing was confirmed." in ran.err
    assert (text(root), git(root, "rev-parse", "HEAD")) == (before, head)


def test_a_standard_not_on_file_is_refused_with_the_list(root: Path) -> None:
    ran = confirm(root, "T 98")

    assert ran.status == 2
    assert "AASHTO T 99" in ran.err


def test_what_is_missing_is_named(root: Path) -> None:
    ran = confirm(root, "T 99", "Layers", "--by", "E02")

    assert ran.status == 2
    assert "Give --value, --edition, --clause." in ran.err


def test_a_lab_file_with_other_changes_is_left_alone(root: Path) -> None:
    file = root / "records/lab.yaml"
    file.write_text(text(root) + "# mine\n", "utf-8")

    ran = confirm(root, "T 99", "Layers", *READ, "--by", "E02")

    assert ran.status == 1
    assert "not committed" in ran.err


def test_without_commit_only_the_file_is_written(root: Path) -> None:
    head = git(root, "rev-parse", "HEAD")

    ran = confirm(root, "T 99", "Layers", *READ, "--by", "E02", "--no-commit")

    assert ran.status == 0, ran.err
    assert "confirmed:" in text(root)
    assert git(root, "rev-parse", "HEAD") == head
