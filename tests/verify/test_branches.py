"""Two branches that both issue, and a branch judged as if it were merged."""

import json
import subprocess
from pathlib import Path

import pytest

from tests.clones import git
from tests.issuing.clones import TESTS, edit
from tests.verify.tampering import (
    CHAIN,
    RECORD,
    Fault,
    caught,
    commit,
    head,
    issue,
    items,
    put,
    sound,
    verify,
)


@pytest.fixture
def parted(root: Path) -> Path:
    """After r0, `main` issued r1, and so did `other`, of another mass."""
    git(root, "checkout", "--quiet", "-b", "other", "HEAD~2")
    edit(root, RECORD, "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.57")
    issue(root, "ML-101", reason="Mass of point 3 was misread")
    git(root, "checkout", "--quiet", "main")
    return root


BOTH_WAYS = pytest.mark.parametrize(
    ("ours", "theirs"), [("main", "other"), ("other", "main")]
)


def merge(root: Path, ours: str, theirs: str) -> None:
    """Make one branch the published one, and begin to merge the other: git stops."""
    tips = {name: head(root, name) for name in (ours, theirs)}
    git(root, "checkout", "--quiet", "-B", "main", tips[ours])
    with pytest.raises(subprocess.CalledProcessError):
        git(root, "merge", "--no-edit", tips[theirs])
    assert f"UU {CHAIN}" in git(root, "status", "--porcelain")


@BOTH_WAYS
def test_git_stops_and_its_marks_are_seen(parted: Path, ours: str, theirs: str) -> None:
    merge(parted, ours, theirs)
    broke = commit(parted, "merged without a look")

    fault = Fault("ML-101", 0, CHAIN, broke)
    caught(parted, fault, "can't be read", alone=False)


@BOTH_WAYS
def test_both_items_do_not_stand_in_one_chain(
    parted: Path, ours: str, theirs: str
) -> None:
    mine, other = items_at(parted, ours), items_at(parted, theirs)
    merge(parted, ours, theirs)
    put(parted, [*mine, other[-1]])
    for suffix in ("html", "json"):
        git(parted, "checkout", "--ours", "--", f"{TESTS}/ML-101.r1.{suffix}")
    git(parted, "checkout", "--ours", "--", f"records/{RECORD}")
    broke = commit(parted, "both kept")

    caught(parted, Fault("ML-101", 1, CHAIN, broke), "numbered 1 in place of 2")


@BOTH_WAYS
def test_theirs_in_the_place_of_ours_is_an_altered_item(
    parted: Path, ours: str, theirs: str
) -> None:
    merge(parted, ours, theirs)
    git(parted, "checkout", "--theirs", "--", "records")
    broke = commit(parted, "theirs taken")

    caught(parted, Fault("ML-101", 1, CHAIN, broke), "altered")


@BOTH_WAYS
def test_ours_in_the_place_of_theirs_drops_an_item(
    parted: Path, ours: str, theirs: str
) -> None:
    merge(parted, ours, theirs)
    git(parted, "checkout", "--ours", "--", "records")
    broke = commit(parted, "ours stands")

    fault = Fault("ML-101", 1, CHAIN, broke)
    caught(parted, fault, "missing from the chain it was merged into")

    why = "what the branch issued was never sent"
    issue(parted, "ML-101", "--assess", "1", "--breaks", broke, reason=why)
    assert sound(parted)
    (note,) = json.loads(verify(parted).out)["assessed"]
    assert note["commit"] == broke
    assert why in note["what"]


def test_a_branch_in_the_place_of_the_published_one(parted: Path) -> None:
    """Forced by nobody: the old tip is an ancestor, its items are gone."""
    git(parted, "checkout", "--quiet", "other")
    git(parted, "merge", "--quiet", "--no-edit", "--strategy=ours", "main")
    broke = head(parted)
    git(parted, "checkout", "--quiet", "main")
    git(parted, "merge", "--quiet", "--ff-only", "other")

    fault = Fault("ML-101", 1, CHAIN, broke)
    caught(parted, fault, "missing from the chain it was merged into")


def test_not_even_if_the_published_one_was_shortened_first(root: Path) -> None:
    tip = head(root)
    put(root, items(root)[:1])
    commit(root, "shorter")
    git(root, "branch", "shortened")
    git(root, "checkout", "--quiet", "-b", "other", f"{tip}~2")
    edit(root, "lab.yaml", "Sedge Hollow\n", "Sedge Hollow, north\n")
    git(root, "merge", "--quiet", "--no-edit", "--strategy=ours", "shortened")
    broke = head(root)
    git(root, "checkout", "--quiet", "-B", "main", "other")

    fault = Fault("ML-101", 1, CHAIN, broke)
    caught(root, fault, "missing from the chain it was merged into")


def test_a_branch_that_takes_its_issue_back_is_told_before_the_merge(
    root: Path,
) -> None:
    git(root, "checkout", "--quiet", "-b", "work", "HEAD~1")
    issue(root, "ML-102", "--withdraw", reason="too early")
    assert sound(root)
    git(root, "revert", "--no-edit", "HEAD")

    other = CHAIN.replace("101", "102")
    caught(root, Fault("ML-102", 1, other, head(root)), "missing from the chain")


@BOTH_WAYS
def test_before_a_merge_the_branch_is_told(
    parted: Path, ours: str, theirs: str
) -> None:
    git(parted, "checkout", "--quiet", theirs)
    fault = Fault("ML-101", 1, CHAIN, head(parted))

    caught(parted, fault, f"issued both here and on {ours}", "--onto", ours)


def test_without_a_word_the_published_branch_is_what_counts(parted: Path) -> None:
    git(parted, "checkout", "--quiet", "other")
    fault = Fault("ML-101", 1, CHAIN, head(parted))

    caught(parted, fault, "issued both here and on main")


def test_a_branch_that_lacks_what_was_issued_since_is_sound(root: Path) -> None:
    git(root, "checkout", "--quiet", "-b", "late", "HEAD~2")
    edit(root, "lab.yaml", "Sedge Hollow\n", "Sedge Hollow, north\n")

    assert sound(root)
    assert sound(root, "--onto", "main")


def test_a_branch_that_removes_an_item_is_not(root: Path) -> None:
    git(root, "checkout", "--quiet", "-b", "forger")
    put(root, items(root)[:1])
    broke = commit(root, "shorter")

    caught(root, Fault("ML-101", 1, CHAIN, broke), "removed", "--onto", "main")


def test_an_earlier_state_of_the_published_branch_is_judged_by_itself(
    root: Path,
) -> None:
    git(root, "checkout", "--quiet", "--detach", "HEAD~2")

    assert sound(root)


def test_an_unknown_branch_is_an_error(untouched: Path) -> None:
    ran = verify(untouched, "--onto", "nowhere")

    assert ran.status == 3
    assert "'nowhere'" in ran.err


def items_at(root: Path, name: str) -> list[dict[str, object]]:
    """Items as a branch has them."""
    git(root, "checkout", "--quiet", name)
    found = items(root)
    git(root, "checkout", "--quiet", "main")
    return found


def test_a_tag_does_not_stand_for_the_branch_of_its_name(root: Path) -> None:
    git(root, "branch", "published")
    git(root, "checkout", "--quiet", "-b", "forger")
    put(root, items(root)[:1])
    broke = commit(root, "shorter")
    git(root, "tag", "published", "forger")

    fault = Fault("ML-101", 1, CHAIN, broke)
    caught(root, fault, "removed", "--onto", "published")
