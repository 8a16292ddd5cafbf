"""A report is of what the branch says, whichever commits its merges name."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.clones import git, write
from tests.issuing.clones import TESTS, edit
from tests.verify.tampering import (
    CHAIN,
    RECORD,
    Fault,
    caught,
    commit,
    head,
    issue,
    published,
    sound,
    verify,
)

MASS = "mold_and_wet_soil: 8.6"
OTHER = "marsh-lane/tests/ML-102.yaml"
OTHERS = f"{TESTS}/ML-102.issued.yaml"
THIRD = "mold_and_wet_soil: 4002"
EMPTY_MOLD = "mold_mass: 2001"
NOT_OF_IT = "not issued from the records that the branch holds at this commit"
ISSUED = (f"{TESTS}/ML-101.*.html", f"{TESTS}/ML-101.*.json", CHAIN)


def forged(root: Path) -> None:
    """On `forger`, an item of a mass that nobody read; `main` read another one."""
    git(root, "checkout", "--quiet", "-b", "forger")
    edit(root, RECORD, f"{MASS}0", f"{MASS}9")
    issue(root, "ML-101", reason="Mass of point 3 again")
    git(root, "checkout", "--quiet", "main")
    edit(root, RECORD, f"{MASS}0", f"{MASS}2")


def item_alone(root: Path, *parents: str, into: str = "main") -> str:
    """Merge what `forger` issued, and keep the records as they stand."""
    git(root, "checkout", "--quiet", "-B", "merging", parents[0])
    tree = ("read-tree", "--reset", "-u", into)
    git(root, *tree)
    git(root, "checkout", "forger", "--", *ISSUED)
    names = [word for one in parents for word in ("-p", head(root, one))]
    made = git(root, "commit-tree", git(root, "write-tree"), *names, "-m", "merged")
    git(root, "reset", "--quiet", "--hard", made)
    git(root, "checkout", "--quiet", "-B", "main", made)
    return made


@pytest.mark.parametrize("more", [(), ("aside",)])
def test_an_item_of_records_that_a_merge_names_is_caught(
    root: Path, more: tuple[str, ...]
) -> None:
    forged(root)
    git(root, "branch", "aside", "forger~1")  # what the item is of, without the item
    came = item_alone(root, "main", "forger", *more)

    fault = Fault("ML-101", 2, CHAIN, came)
    caught(root, fault, NOT_OF_IT)
    caught(root, fault, "issued: ")
    caught(root, fault, NOT_OF_IT, "--onto", "main")


@pytest.mark.parametrize("undone", [True, False])
def test_the_order_of_the_parents_hides_nothing(
    root: Path, tmp_path: Path, undone: bool
) -> None:
    forged(root)
    before = published(root, tmp_path)
    git(root, "branch", "published")
    if undone:  # the false reading is taken back before the merge
        git(root, "checkout", "--quiet", "forger")
        edit(root, RECORD, f"{MASS}9", f"{MASS}2")
    came = item_alone(root, "forger", "main")

    fault = Fault("ML-101", 2, CHAIN, came)
    caught(root, fault, NOT_OF_IT, "--against", before)
    proposed = Fault("ML-101", 2, CHAIN, head(root))
    caught(root, proposed, NOT_OF_IT, "--onto", "published")
    caught(root, fault, NOT_OF_IT)


def test_a_withdrawn_report_does_not_come_back(root: Path) -> None:
    git(root, "branch", "early")
    issue(root, "ML-102", "--withdraw", reason="the sample was another one")
    withdrawn = (root / OTHERS).read_bytes()
    git(root, "checkout", "--quiet", "-b", "forger", "early")
    for suffix in ("html", "json"):
        assert not (root / f"{TESTS}/ML-102.r1.{suffix}").exists()
    (root / OTHERS).write_bytes(withdrawn)
    git(root, "checkout", "main", "--", f"{TESTS}/ML-102.r1.html")
    commit(root, "what was withdrawn, without its record")
    issue(root, "ML-102", reason="it was not")
    git(root, "checkout", "--quiet", "main")
    git(root, "merge", "--quiet", "--no-commit", "--no-ff", "--strategy=ours", "forger")
    git(root, "checkout", "forger", "--", TESTS)
    git(root, "checkout", "main", "--", f"records/{OTHER}")
    came = commit(root, "merged")

    fault = Fault("ML-102", 2, OTHERS, came)
    caught(root, fault, f"{NOT_OF_IT}, by which the test is withdrawn")


def test_a_preliminary_report_settles_nothing_of_a_final_one(root: Path) -> None:
    forged(root)
    came = item_alone(root, "main", "forger")
    issue(root, "ML-101", "--preliminary", reason="asked for early")

    caught(root, Fault("ML-101", 2, CHAIN, came), NOT_OF_IT)


def test_a_withdrawal_is_of_the_branch_too(root: Path) -> None:
    git(root, "checkout", "--quiet", "-b", "forger")
    issue(root, "ML-102", "--withdraw", reason="the sample was another one")
    git(root, "checkout", "--quiet", "main")
    git(root, "merge", "--quiet", "--no-commit", "--no-ff", "forger")
    git(root, "checkout", "main", "--", f"records/{OTHER}")
    came = commit(root, "merged")

    words = f"{NOT_OF_IT}, by which the test is complete"
    caught(root, Fault("ML-102", 1, OTHERS, came), words)


def test_nobody_else_signs_than_the_branch_says(root: Path) -> None:
    # E03 authorizes, so the test itself asks nothing of E03.
    engineer = "  E02: {roles: [engineer], "
    other = "  E03: {roles: [engineer], may: [authorize], from: 2021-01-01}\n"
    edit(root, "lab.yaml", engineer, other + engineer)
    git(root, "checkout", "--quiet", "-b", "forger")
    edit(root, "lab.yaml", "E03: {roles", "E03: {name: Nobody Invented, roles")
    edit(root, OTHER, THIRD, "mold_and_wet_soil: 4004")
    ran = run(
        *("issue", "ML-102", "--authorized-by", "E03", "--reason", "again"),
        *("--on", "2026-03-13", "--root", root),
    )
    assert ran.status == 0, ran.err
    git(root, "checkout", "--quiet", "main")
    git(root, "merge", "--quiet", "--no-commit", "--no-ff", "forger")
    git(root, "checkout", "main", "--", "records/lab.yaml")
    came = commit(root, "merged")

    words = "by which E03 is E03, engineer, not Nobody Invented (E03), engineer"
    caught(root, Fault("ML-102", 1, OTHERS, came), words)


def test_a_second_record_of_an_issued_test_is_told(root: Path) -> None:
    other = "records/marsh-lane/tests/aside/ML-101.yaml"
    write(root, {other: (root / f"records/{RECORD}").read_bytes()})
    came = commit(root, "another one")

    fault = Fault("ML-101", None, other, came)
    caught(root, fault, "its id is that of several records")


Merge = Callable[[Path], str]


def theirs_into_ours(root: Path) -> str:
    git(root, "checkout", "--quiet", "main")
    git(root, "merge", "--quiet", "--no-edit", "--no-ff", "work")
    return head(root)


def ours_into_theirs(root: Path) -> str:
    git(root, "checkout", "--quiet", "work")
    git(root, "merge", "--quiet", "--no-edit", "--no-ff", "main")
    git(root, "checkout", "--quiet", "-B", "main", "work")
    return head(root)


EITHER_WAY = pytest.mark.parametrize("merge", [theirs_into_ours, ours_into_theirs])


def at_work(root: Path) -> None:
    """Issue ML-102 of a mass read again, on a branch."""
    git(root, "checkout", "--quiet", "-b", "work")
    edit(root, OTHER, THIRD, "mold_and_wet_soil: 4004")
    issue(root, "ML-102", reason="Mass of point 3 again")
    git(root, "checkout", "--quiet", "main")


@EITHER_WAY
def test_a_correction_that_met_the_issue_in_a_merge_is_told(
    root: Path, tmp_path: Path, merge: Merge
) -> None:
    at_work(root)
    edit(root, OTHER, EMPTY_MOLD, "mold_mass: 2002")
    before = published(root, tmp_path)
    came = merge(root)

    fault = Fault("ML-102", 1, OTHERS, came)
    for asked in ((), ("--against", before)):
        caught(root, fault, NOT_OF_IT, *asked)

    issue(root, "ML-102", reason="The mold was weighed again")
    assert sound(root)
    assert sound(root, "--against", before)
    (note,) = json.loads(verify(root).out)["assessed"]
    assert note["commit"] == came
    assert "r2 was issued since" in note["what"] + note["mend"]


def test_a_correction_on_the_published_branch_is_told_before_the_merge(
    root: Path,
) -> None:
    at_work(root)
    edit(root, OTHER, EMPTY_MOLD, "mold_mass: 2002")
    git(root, "checkout", "--quiet", "work")

    fault = Fault("ML-102", 1, OTHERS, head(root))
    caught(root, fault, NOT_OF_IT)
    caught(root, fault, NOT_OF_IT, "--onto", "main")

    git(root, "merge", "--quiet", "--no-edit", "main")
    issue(root, "ML-102", reason="The mold was weighed again")
    assert sound(root, "--onto", "main")


@EITHER_WAY
def test_a_withdrawal_settles_it_too(root: Path, merge: Merge) -> None:
    at_work(root)
    edit(root, OTHER, EMPTY_MOLD, "mold_mass: 2002")
    merge(root)
    issue(root, "ML-102", "--withdraw", reason="the mold was another one")

    assert sound(root)


@EITHER_WAY
def test_so_does_a_correction_taken_back(root: Path, merge: Merge) -> None:
    at_work(root)
    edit(root, OTHER, EMPTY_MOLD, "mold_mass: 2002")
    merge(root)
    edit(root, OTHER, "mold_mass: 2002", EMPTY_MOLD)

    assert sound(root)


@EITHER_WAY
def test_what_changes_no_value_used_is_no_matter(
    root: Path, tmp_path: Path, merge: Merge
) -> None:
    at_work(root)
    edit(root, RECORD, f"{MASS}0", f"{MASS}2")
    issue(root, "ML-101", reason="Mass of point 3 again")
    staff = "staff:\n"
    edit(root, "lab.yaml", staff, f"{staff}  T77: {{name: New Colleague}}\n")
    before = published(root, tmp_path)
    git(root, "checkout", "--quiet", "work")
    assert sound(root, "--onto", "main")
    git(root, "checkout", "--quiet", "main")
    merge(root)

    assert sound(root)
    assert sound(root, "--against", before)


@EITHER_WAY
def test_what_a_branch_issued_and_corrected_after_that_is_no_matter(
    root: Path, merge: Merge
) -> None:
    # The branch said what was issued; the record moved on, as `check` says.
    edit(root, OTHER, THIRD, "mold_and_wet_soil: 4004")
    git(root, "checkout", "--quiet", "-b", "work")
    issue(root, "ML-102", reason="Mass of point 3 again")
    edit(root, OTHER, EMPTY_MOLD, "mold_mass: 2002")
    git(root, "checkout", "--quiet", "main")
    edit(root, RECORD, f"{MASS}0", f"{MASS}2")
    merge(root)

    assert sound(root)


@EITHER_WAY
def test_two_revisions_of_one_branch_are_no_matter(root: Path, merge: Merge) -> None:
    at_work(root)
    git(root, "checkout", "--quiet", "work")
    edit(root, OTHER, EMPTY_MOLD, "mold_mass: 2002")
    issue(root, "ML-102", reason="The mold was weighed again")
    git(root, "checkout", "--quiet", "main")
    edit(root, RECORD, f"{MASS}0", f"{MASS}2")
    merge(root)

    assert sound(root)
    assert json.loads(verify(root).out)["assessed"] == []
