"""History written anew shows by contents that are lost, else by what was published."""

import json
from pathlib import Path

import pytest

from tests.clones import git
from tests.issuing.clones import edit
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

FILE = f"records/{RECORD}"
GONE = "not in this history"
LOST = "an input that no reachable commit holds"


def test_a_history_that_goes_on_is_sound(untouched: Path, root: Path) -> None:
    before = published(untouched, root.parent)
    assert sound(root, "--against", before)

    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.61")
    issue(root, "ML-101", reason="read once more", on="2026-03-14")

    assert sound(root, "--against", before)


def test_an_amended_commit_is_caught(root: Path) -> None:
    before = published(root, root.parent)
    was = tip = head(root)
    git(root, "reset", "--quiet", "--hard", "HEAD~1")
    edit(
        root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.58", commit=False
    )
    git(root, "commit", "--quiet", "--all", "--amend", "--no-edit")
    git(root, "cherry-pick", tip)

    caught(root, Fault("ML-101", 1, FILE, head(root)), LOST)
    fault = Fault("", None, str(before), was)
    caught(root, fault, GONE, "--against", before, alone=False)


def test_a_rebase_that_drops_an_edit_is_caught(root: Path) -> None:
    before, was = published(root, root.parent), head(root)
    git(root, "rebase", "--quiet", "--onto", "HEAD~2", "HEAD~1", "main")

    caught(root, Fault("ML-101", 1, FILE, head(root)), LOST)
    fault = Fault("", None, str(before), was)
    caught(root, fault, GONE, "--against", before, alone=False)


def test_a_filter_over_all_commits_is_caught(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FILTER_BRANCH_SQUELCH_WARNING", "1")
    before, was = published(root, root.parent), head(root)
    change = f"sed -i s/container_mass:.31.42/container_mass:\\ 31.40/ {FILE}"
    git(
        root,
        *("filter-branch", "--tree-filter", change, "HEAD"),
    )
    first = head(root, "HEAD~2")

    caught(root, Fault("ML-101", 0, FILE, first), LOST)
    caught(root, Fault("ML-101", 1, FILE, head(root)), LOST)
    fault = Fault("", None, str(before), was)
    caught(root, fault, GONE, "--against", before, alone=False)


def test_squashed_commits_are_caught(root: Path) -> None:
    before, was = published(root, root.parent), head(root)
    git(root, "reset", "--quiet", "--soft", "HEAD~3")
    squashed = commit(root, "all in one")

    assert sound(root)  # both states of the record stand in what is left
    fault = Fault("", None, str(before), was)
    caught(root, fault, GONE, "--against", before)
    ran = verify(root, "--against", before)
    assert "ML-101 r0 to r1, ML-102 r0" in ran.out
    assert head(root) == squashed


def test_an_orphan_branch_in_the_place_of_the_published_one_is_caught(
    root: Path,
) -> None:
    before, was = published(root, root.parent), head(root)
    git(root, "checkout", "--quiet", "--orphan", "new")
    new = commit(root, "a fresh start")
    caught(root, Fault("", None, "records", new), "shares no commit", alone=False)
    git(root, "branch", "--quiet", "--force", "--move", "new", "main")

    caught(root, Fault("ML-101", 0, FILE, new), LOST)
    fault = Fault("", None, str(before), was)
    caught(root, fault, GONE, "--against", before, alone=False)


def test_a_past_made_anew_with_care_shows_against_what_was_published(
    root: Path,
) -> None:
    # Record, item and kept files fit each other: the archive alone can't tell.
    before, was = published(root, root.parent), head(root)
    git(root, "reset", "--quiet", "--hard", "HEAD~2")
    edit(root, RECORD, "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.57")
    issue(root, "ML-101", reason="Mass of point 3 was misread")
    assert sound(root)

    fault = Fault("ML-101", 1, CHAIN, was)
    words = "not as published"
    caught(root, fault, words, "--against", before, alone=False)
    caught(
        root, Fault("", None, str(before), was), GONE, "--against", before, alone=False
    )


def test_a_revision_that_was_published_and_is_gone_is_named(root: Path) -> None:
    before, was = published(root, root.parent), head(root)
    git(root, "reset", "--quiet", "--hard", "HEAD~2")
    assert sound(root)

    fault = Fault("ML-101", 1, CHAIN, was)
    words = "published, but no longer there"
    caught(root, fault, words, "--against", before, alone=False)


@pytest.mark.parametrize("data", [None, b"", b"<html>404</html>", b"{}", b"[]"])
def test_a_manifest_that_can_not_be_read_is_no_first_publication(
    untouched: Path, tmp_path: Path, data: bytes | None
) -> None:
    path = tmp_path / "manifest.json"
    if data is not None:
        path.write_bytes(data)

    ran = verify(untouched, "--against", path)

    assert (ran.status, ran.out) == (3, "")
    assert "Can't read a manifest" in ran.err
    assert "`--first-publication`" in ran.err


def test_a_manifest_that_lost_its_items_is_none(
    untouched: Path, tmp_path: Path
) -> None:
    path = published(untouched, tmp_path)
    told = json.loads(path.read_bytes())
    del told["tests"]
    path.write_text(json.dumps(told), "utf-8")

    assert verify(untouched, "--against", path).status == 3


def test_both_at_once_is_a_contradiction(untouched: Path, tmp_path: Path) -> None:
    before = published(untouched, tmp_path)

    ran = verify(untouched, "--against", before, "--first-publication")

    assert ran.status == 2
    assert "not both" in ran.err


@pytest.mark.parametrize("tests", [5, ["ML-101"], {"ML-101": 5}, {"ML-101": [5]}])
def test_a_manifest_of_another_form_is_none(
    untouched: Path, tmp_path: Path, tests: object
) -> None:
    path = published(untouched, tmp_path)
    told = json.loads(path.read_bytes())
    path.write_text(json.dumps({**told, "tests": tests}), "utf-8")

    ran = verify(untouched, "--against", path)

    assert ran.status == 3
    assert "Can't read a manifest" in ran.err


def test_a_manifest_whose_digests_were_taken_out_is_named(
    untouched: Path, tmp_path: Path
) -> None:
    path = published(untouched, tmp_path)
    told = json.loads(path.read_bytes())
    pages = {"tests/ML-101/r1/index.html": "sha256:" + "0" * 64}
    told = {**told, "files": pages, "tests": {**told["tests"], "ML-101": []}}
    path.write_text(json.dumps(told), "utf-8")

    fault = Fault("ML-101", 1, str(path), head(untouched))
    caught(untouched, fault, "no digest of it", "--against", path)
