"""`history`: every edit that moved a test, on real clones."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.archives import Files, changed, issued, sound
from tests.cli.running import run
from tests.clones import clone, git, write

ONE = "marsh-lane/tests/ML-101"
READ_AGAIN = {f"{ONE}.yaml": [["mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.66"]]}
FULLER = {
    "equipment/M-04.yaml": [["full_with_plates: 4052.5", "full_with_plates: 4062.5"]]
}
COLLEAGUE = {
    "lab.yaml": [
        [
            "  E02:",
            "  T09: {roles: [technician], may: [test], from: 2026-02-01}\n  E02:",
        ]
    ]
}


def commit(root: Path, files: Files, message: str) -> str:
    write(root, files)
    git(root, "add", "--all")
    git(root, "commit", "--quiet", f"--message={message}")
    return git(root, "rev-parse", "HEAD")


def only(files: Files, name: str) -> Files:
    return {f"records/{name}.yaml": files[f"records/{name}.yaml"]}


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    """Written, read again, issued; a colleague came; the mold was corrected."""
    clone(tmp_path, sound())
    again = {**sound(), **only(changed(READ_AGAIN), ONE)}
    commit(tmp_path, again, "Read point 3 again\n\nEntered-by: T07\nReason: misread")
    commit(tmp_path, issued(again, ONE, {}), "Issue ML-101 r0")
    commit(tmp_path, only(changed(COLLEAGUE), "lab"), "A new colleague")
    commit(tmp_path, only(changed(FULLER), "equipment/M-04"), "The mold, corrected")
    return tmp_path


def edits(root: Path, *words: str) -> list[dict[str, Any]]:
    ran = run("history", "ML-101", "--json", *words, "--root", root)
    assert ran.status == 0, ran.err
    found: list[dict[str, Any]] = json.loads(ran.out)["edits"]
    return found


def test_it_lists_what_moved_the_test_whichever_file_it_was_in(archive: Path) -> None:
    found = edits(archive)

    assert [edit["reason"] for edit in found] == [
        "The mold, corrected",
        "misread",
        "first",
    ]
    assert [edit["files"] for edit in found[:2]] == [
        ["records/equipment/M-04.yaml"],
        [f"records/{ONE}.yaml"],
    ]
    assert found[1]["who"] == "T07"
    (field,) = found[1]["fields"]
    assert (field["old"], field["new"], field["unit"]) == ("8.64", "8.66", "lb")
    assert found[1]["results"][0]["name"] == "maximum_dry_density"
    assert found[1]["results"][0]["difference"].startswith("+")


def test_edits_that_moved_nothing_are_shown_on_wish(archive: Path) -> None:
    reasons = [edit["reason"] for edit in edits(archive, "--all")]

    assert "A new colleague" in reasons
    assert "A new colleague" not in run("history", "ML-101", "--root", archive).out


def test_commits_are_those_of_git(archive: Path) -> None:
    known = git(archive, "log", "--format=%H").splitlines()
    found = [edit["commit"] for edit in edits(archive, "--all")]

    assert found == [commit for commit in known if commit in found]


def test_revisions_stand_among_the_edits_where_they_were_issued(archive: Path) -> None:
    lines = run("history", "ML-101", "--root", archive).out.splitlines()

    heads = [line for line in lines if line.startswith("2026-")]
    assert lines[0] == (
        "ML-101: 3 edits that changed results, inputs or flags, 1 revision, "
        "1 other edit (--all)"
    )
    assert "The mold, corrected" in heads[0]
    assert "ML-101 r0: report, authorized by E02: Issue 0" in heads[1]
    assert "T07" in heads[2]
    assert "    point 3, mold and wet soil: 8.64 lb → 8.66 lb" in lines


def test_a_test_that_was_taken_away_has_its_past(archive: Path) -> None:
    git(archive, "rm", "--quiet", f"records/{ONE}.yaml")
    git(archive, "commit", "--quiet", "--message=Taken away")

    assert edits(archive)[0]["placed"] == f"removed: records/{ONE}.yaml"


def test_what_is_not_there_is_said(archive: Path) -> None:
    ran = run("history", "ML-999", "--root", archive)

    assert ran.status == 2
    assert "No test 'ML-999'" in ran.err


def test_a_folder_that_is_no_clone_is_refused(tmp_path: Path) -> None:
    write(tmp_path, sound())

    assert run("history", "ML-101", "--root", tmp_path).status == 3


@pytest.mark.parametrize("published", ["main", "other"])
def test_a_merge_that_undoes_an_edit_says_which_fields(
    tmp_path: Path, published: str
) -> None:
    """Whichever side is the first parent, the mold's correction is lost."""
    root = tmp_path
    clone(root, sound())
    git(root, "checkout", "--quiet", "-b", "other")
    commit(root, only(changed(COLLEAGUE), "lab"), "A new colleague")
    git(root, "checkout", "--quiet", "main")
    mold = "records/equipment/M-04.yaml"
    commit(root, only(changed(FULLER), "equipment/M-04"), "The mold, corrected")
    sides = {"main": "other", "other": "main"}
    git(root, "checkout", "--quiet", published)
    git(root, "merge", "--quiet", "--no-commit", "--no-ff", sides[published])
    git(root, "checkout", "main~1", "--", mold)
    merge = commit(root, {}, "Merge, and lose the correction")

    lost = next(one for one in edits(root) if one["commit"] == merge)

    assert [(one["old"], one["new"]) for one in lost["fields"]] == [
        ("4062.5", "4052.5")
    ]
    assert lost["results"]
