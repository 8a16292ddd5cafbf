"""Git: which commit is checked out, what a revision holds, what may not leak in."""

from pathlib import Path

import pytest

from buildsite.errors import EnvironmentFault
from buildsite.history import run
from buildsite.history.run import (
    Checkout,
    at_revision,
    checkout,
    clean_environment,
)
from tests.archives import sound
from tests.clones import clone, git, write

POUNDS = "records/marsh-lane/tests/ML-101.yaml"


def test_gits_own_variables_are_dropped_and_the_rest_kept() -> None:
    given = {
        "GIT_DIR": "/elsewhere/.git",
        "GIT_INDEX_FILE": "/elsewhere/index",
        "GIT_WORK_TREE": "/elsewhere",
        "GIT_OBJECT_DIRECTORY": "/elsewhere",
        "PATH": "/bin",
        "HOME": "/root",
        "LC_ALL": "de_DE.UTF-8",
    }

    cleaned = clean_environment(given)

    assert cleaned["PATH"] == "/bin"
    assert cleaned["HOME"] == "/root"
    assert cleaned["LC_ALL"] == "C.UTF-8"
    theirs = {name for name in cleaned if name.startswith("GIT_")}
    assert theirs == set(run.SETTINGS) - {"LC_ALL", "LANGUAGE"}
    assert "GIT_DIR" in given  # what was handed in is left alone


def test_a_clone_has_a_commit(tmp_path: Path) -> None:
    commit = clone(tmp_path, sound())

    assert len(commit) == 40
    assert checkout(tmp_path) == Checkout(commit, differs=False)


def test_within_a_hook_the_folder_asked_about_counts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    commit = clone(tmp_path / "a", sound())
    clone(tmp_path / "b", {"x.txt": b""})
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "b/.git"))
    monkeypatch.setenv("GIT_INDEX_FILE", str(tmp_path / "b/.git/index"))

    assert checkout(tmp_path / "a") == Checkout(commit, differs=False)


def test_a_folder_that_is_no_clone_has_no_commit(tmp_path: Path) -> None:
    write(tmp_path, sound())

    assert checkout(tmp_path) == Checkout(None, differs=False)


def test_a_clone_without_a_commit_has_none(tmp_path: Path) -> None:
    git(tmp_path, "init", "--quiet")

    assert checkout(tmp_path) == Checkout(None, differs=False)


def test_an_archive_may_be_a_folder_of_its_clone(tmp_path: Path) -> None:
    inner = {f"demo/{name}": data for name, data in sound().items()}
    commit = clone(tmp_path, inner)
    (tmp_path / "elsewhere.txt").write_text("not of the archive")

    assert checkout(tmp_path / "demo") == Checkout(commit, differs=False)
    names, read = at_revision(tmp_path / "demo", "HEAD")
    assert list(names) == sorted(sound())
    assert read(POUNDS) == sound()[POUNDS]


@pytest.mark.parametrize("name", ["records/lab.yaml", "records/q/tests/NEW.yaml"])
def test_a_record_that_is_not_as_committed_differs(tmp_path: Path, name: str) -> None:
    clone(tmp_path, sound())
    write(tmp_path, {name: b"kind: sample\n"})

    assert checkout(tmp_path).differs


def test_a_staged_and_a_deleted_record_differ(tmp_path: Path) -> None:
    clone(tmp_path, sound())
    (tmp_path / POUNDS).unlink()
    assert checkout(tmp_path).differs

    git(tmp_path, "add", "--all")
    assert checkout(tmp_path).differs


def test_what_is_outside_the_records_makes_no_difference(tmp_path: Path) -> None:
    clone(tmp_path, sound())
    write(tmp_path, {"notes.txt": b"", "site/index.html": b""})

    assert not checkout(tmp_path).differs


def test_untracked_records_differ_though_git_is_told_to_pass_over_them(
    tmp_path: Path,
) -> None:
    clone(tmp_path, sound())
    git(tmp_path, "config", "status.showUntrackedFiles", "no")
    write(tmp_path, {"records/q/tests/NEW.yaml": b""})
    assert checkout(tmp_path).differs


def test_ignored_records_differ_and_what_else_is_ignored_does_not(
    tmp_path: Path,
) -> None:
    clone(tmp_path, {**sound(), ".gitignore": b"NEW.yaml\n.DS_Store\n"})
    write(tmp_path, {"records/.DS_Store": b""})
    assert not checkout(tmp_path).differs

    write(tmp_path, {"records/equipment/NEW.yaml": b""})
    assert checkout(tmp_path).differs


def test_a_revision_holds_the_records_as_they_were(tmp_path: Path) -> None:
    first = clone(tmp_path, sound())
    write(tmp_path, {POUNDS: b"kind: moisture-density\n"})
    git(tmp_path, "commit", "--quiet", "--all", "--message=second")
    (tmp_path / POUNDS).unlink()

    for revision, data in [
        (first, sound()[POUNDS]),
        ("HEAD~1", sound()[POUNDS]),
        ("HEAD", b"kind: moisture-density\n"),
        ("main", b"kind: moisture-density\n"),
    ]:
        names, read = at_revision(tmp_path, revision)
        assert list(names) == sorted(sound())
        assert read(POUNDS) == data


def test_a_revision_holds_records_alone(tmp_path: Path) -> None:
    (tmp_path / "records").mkdir()
    (tmp_path / "records/link.yaml").symlink_to("lab.yaml")
    clone(
        tmp_path,
        {
            "records/lab.yaml": b"kind: laboratory\n",
            "records/p/tests/T-1.issued.yaml": b"",
            "records/p/tests/T-1.r0.json": b"",
            "records/.schema/sample.json": b"",
            "records/.drafts/T-2.yaml": b"",
            "records/p/tests/ü 1.yaml": b"",
            "outside.yaml": b"",
        },
    )

    names, _ = at_revision(tmp_path, "HEAD")

    assert list(names) == ["records/lab.yaml"]


@pytest.mark.parametrize("revision", ["nonsense", "", "HEAD~9", "--all", "-x"])
def test_an_unknown_revision_is_told_with_a_remedy(
    tmp_path: Path, revision: str
) -> None:
    clone(tmp_path, sound())

    with pytest.raises(EnvironmentFault, match="No revision") as caught:
        at_revision(tmp_path, revision)
    assert "HEAD~1:HF-0117" in caught.value.remedy


def test_a_replaced_object_is_not_looked_at(tmp_path: Path) -> None:
    # `git replace` would show other bytes under the name of a commit.
    clone(tmp_path, sound())
    blob = git(tmp_path, "rev-parse", f"HEAD:{POUNDS}")
    write(tmp_path, {"other": b"forged\n"})
    forged = git(tmp_path, "hash-object", "-w", "other")
    git(tmp_path, "replace", blob, forged)

    _, read = at_revision(tmp_path, "HEAD")

    assert read(POUNDS) == sound()[POUNDS]


def test_without_git_the_remedy_is_to_install_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))

    with pytest.raises(EnvironmentFault, match="not found") as caught:
        checkout(tmp_path)
    assert "Install git" in caught.value.remedy
