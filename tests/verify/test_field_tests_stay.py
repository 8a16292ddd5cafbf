"""A field test that stood on the published branch stays, issued or not."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.clones import git
from tests.issuing.clones import TESTS
from tests.kinds.tests.field_density.records import SAND_CONE
from tests.verify.tampering import Fault, caught, commit, head, published, sound
from tests.verify.test_gone import WAYS, move

NAME = f"{TESTS}/ML-F001.yaml"
GONE = "once stood on main and is gone: a test of this kind stays, issued or not"


def failing(root: Path) -> str:
    """Commit a failing field test that is not issued; return its file."""
    text = SAND_CONE.replace("HF-F0231", "ML-F001\nproject: marsh-lane")
    (root / NAME).write_text(text, "utf-8")
    commit(root, "ML-F001: tested")
    assert sound(root)
    return NAME


def under_another_number(root: Path, name: str) -> Path:
    """The record is renamed, so that the failure is of a test that never was."""
    other = name.replace("F001", "F002")
    move(root, name, other)
    text = (root / other).read_text("utf-8").replace("ML-F001", "ML-F002")
    (root / other).write_text(text, "utf-8")
    commit(root, "renumbered")
    return root


def squashed(root: Path, name: str) -> Path:
    """A branch on which it was removed, among others, comes as one commit."""
    git(root, "checkout", "--quiet", "-b", "work")
    git(root, "rm", "--quiet", name)
    commit(root, "tidy up")
    (root / "notes.txt").write_text("more\n", "utf-8")
    commit(root, "notes")
    git(root, "checkout", "--quiet", "main")
    git(root, "merge", "--quiet", "--squash", "work")
    commit(root, "notes")
    return root


@pytest.mark.parametrize("way", [*WAYS, under_another_number, squashed])
def test_a_field_test_may_not_go(root: Path, way: Callable[[Path, str], Path]) -> None:
    archive = way(root, failing(root))

    caught(archive, Fault("ML-F001", None, NAME, head(root)), GONE)


def test_a_branch_without_it_is_told_before_it_is_merged(root: Path) -> None:
    name = failing(root)
    git(root, "checkout", "--quiet", "-b", "work")
    git(root, "rm", "--quiet", name)
    broke = commit(root, "tidy up")

    fault = Fault("ML-F001", None, NAME, broke)
    caught(root, fault, "and is gone", "--onto", "main")


def test_a_past_that_is_squashed_into_one_without_it_is_no_past(
    root: Path, tmp_path: Path
) -> None:
    base = head(root)
    name = failing(root)
    manifest = published(root, tmp_path)
    git(root, "reset", "--quiet", "--soft", base)
    git(root, "rm", "--quiet", "--force", name)
    commit(root, "all of it")

    assert sound(root)
    assert not sound(root, "--against", manifest)


def test_a_field_test_may_not_become_a_test_of_another_kind(root: Path) -> None:
    name = failing(root)
    text = (root / name).read_text("utf-8")
    other = text.replace("kind: field-density", "kind: water-content")
    (root / name).write_text(other, "utf-8")
    broke = commit(root, "another kind")

    caught(root, Fault("ML-F001", None, NAME, broke), "is of another kind now")


def test_a_field_test_that_moves_with_its_number_stays(root: Path) -> None:
    name = failing(root)
    move(root, name, f"{TESTS}/june/ML-F001.yaml")
    commit(root, "moved")

    assert sound(root)
