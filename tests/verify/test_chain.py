"""Issued items along the published branch: none is altered, removed or moved."""

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
    Item,
    caught,
    chained,
    commit,
    head,
    issue,
    items,
    put,
    sound,
    verify,
)

Tamper = Callable[[list[Item]], list[Item]]


def test_what_nobody_touched_is_sound(untouched: Path) -> None:
    assert sound(untouched)
    assert sound(untouched, "--first-publication")


def edited(trees: list[Item]) -> list[Item]:
    return [{**trees[0], "reason": "other words"}, *trees[1:]]


def edited_with_digests(trees: list[Item]) -> list[Item]:
    return chained(edited(trees))


def without_the_last(trees: list[Item]) -> list[Item]:
    return trees[:-1]


def without_the_first(trees: list[Item]) -> list[Item]:
    return trees[1:]


def without_the_first_numbered_anew(trees: list[Item]) -> list[Item]:
    return chained(trees[1:])


def the_other_way_round(trees: list[Item]) -> list[Item]:
    return trees[::-1]


def with_one_between(trees: list[Item]) -> list[Item]:
    return [trees[0], {**trees[0], "reason": "between"}, trees[1]]


def with_one_number_twice(trees: list[Item]) -> list[Item]:
    return [*trees, {**trees[-1], "reason": "the same number"}]


@pytest.mark.parametrize(
    ("tamper", "revision", "words"),
    [
        (edited, 0, "altered"),
        (edited_with_digests, 0, "altered"),
        (without_the_last, 1, "removed"),
        (without_the_first, 0, "removed"),
        (without_the_first_numbered_anew, 0, "altered"),
        (the_other_way_round, 0, "another place"),
        (with_one_between, 1, "inserted"),
        (with_one_number_twice, 1, "numbered 1 in place of 2"),
    ],
)
def test_an_item_is_not_touched_unseen(
    root: Path, tamper: Tamper, revision: int, words: str
) -> None:
    put(root, tamper(items(root)))
    broke = commit(root, "tampered with")
    edit(root, "lab.yaml", "Sedge Hollow\n", "Sedge Hollow, north\n")

    caught(root, Fault("ML-101", revision, CHAIN, broke), words)


def test_an_issued_file_is_not_removed_unseen(root: Path) -> None:
    (root / CHAIN).unlink()
    broke = commit(root, "gone")

    caught(root, Fault("ML-101", 0, CHAIN, broke), "file was removed")


def test_not_even_with_the_test_and_all_that_was_kept(root: Path) -> None:
    for path in (root / TESTS).glob("ML-101*"):
        path.unlink()
    broke = commit(root, "it never was")

    caught(root, Fault("ML-101", 0, CHAIN, broke), "file was removed")


def test_nor_the_record_alone_from_beside_it(root: Path) -> None:
    (root / TESTS / "ML-101.yaml").unlink()
    broke = commit(root, "the record is gone")

    record = f"{TESTS}/ML-101.yaml"
    caught(root, Fault("ML-101", None, record, broke), "its record is missing")


def test_a_record_that_moves_alone_leaves_what_was_issued(root: Path) -> None:
    (root / TESTS / "south").mkdir()
    git(root, "mv", f"{TESTS}/ML-101.yaml", f"{TESTS}/south/ML-101.yaml")
    broke = commit(root, "moved")

    record = f"{TESTS}/ML-101.yaml"
    caught(root, Fault("ML-101", None, record, broke), "its record is missing")


def test_two_tests_do_not_exchange_what_was_issued(root: Path) -> None:
    other = f"{TESTS}/ML-102.issued.yaml"
    mine, theirs = (root / CHAIN).read_bytes(), (root / other).read_bytes()
    write(root, {CHAIN: theirs, other: mine})
    broke = commit(root, "exchanged")

    fault = Fault("ML-101", 0, CHAIN, broke)
    caught(root, fault, "names another test, ML-102", alone=False)


def test_a_second_file_of_the_same_test_is_seen(root: Path) -> None:
    write(root, {f"{TESTS}/more/ML-101.issued.yaml": (root / CHAIN).read_bytes()})
    broke = commit(root, "twice")

    caught(root, Fault("ML-101", 0, CHAIN, broke), "several files")


def test_a_file_that_can_not_be_read_is_seen(root: Path) -> None:
    write(root, {CHAIN: b"<<<<<<< ours\n" + (root / CHAIN).read_bytes()})
    broke = commit(root, "left a conflict mark")

    caught(root, Fault("ML-101", 0, CHAIN, broke), "can't be read: line 1")


def test_a_test_that_moves_takes_its_chain_along(root: Path) -> None:
    (root / TESTS / "south").mkdir()
    for path in sorted((root / TESTS).glob("ML-101*")):
        git(root, "mv", str(path), str(root / TESTS / "south"))
    commit(root, "moved")
    assert sound(root)

    moved = f"{TESTS}/south/ML-101.issued.yaml"
    text = (root / moved).read_text("utf-8")
    (root / moved).write_text(text.replace("first issue", "other words"), "utf-8")
    broke = commit(root, "tampered with")
    caught(root, Fault("ML-101", 0, moved, broke), "altered")


def moved_archive(root: Path, *way: str) -> Path:
    """Move all that the archive has into a folder of the repository, step by step."""
    at = root
    for step in way:
        (root / step).mkdir(parents=True)
        git(root, "mv", str(at / "records"), str(root / step / "records"))
        commit(root, f"into {step}")
        at = root / step
    return at


def test_an_archive_that_moves_takes_its_past_along(root: Path) -> None:
    assert sound(moved_archive(root, "lab", "our/lab"))


@pytest.mark.parametrize("late", [False, True])
def test_and_what_was_altered_there(root: Path, *, late: bool) -> None:
    stood = items(root)
    put(root, edited_with_digests(stood))
    broke = "" if late else commit(root, "tampered with")
    lab = moved_archive(root, "lab")
    broke = broke or head(root)

    caught(lab, Fault("ML-101", 0, CHAIN, broke), "altered", alone=False)


def test_what_somebody_puts_at_the_old_place_is_not_the_archives(root: Path) -> None:
    stood = (root / CHAIN).read_bytes()
    lab = moved_archive(root, "lab")
    moved = lab / CHAIN
    moved.write_bytes(stood.replace(b"first issue", b"other words"))
    write(root, {CHAIN: stood})
    broke = commit(root, "tampered with")

    caught(lab, Fault("ML-101", 0, CHAIN, broke), "altered")


def test_a_break_that_was_mended_fails_until_an_assessment_names_it(
    root: Path,
) -> None:
    stood = items(root)
    put(root, edited_with_digests(stood))
    broke = commit(root, "tampered with")
    put(root, stood)
    commit(root, "as it was")
    caught(root, Fault("ML-101", 0, CHAIN, broke), "altered")

    issue(root, "ML-101", "--assess", "1", "--breaks", broke, reason="a slip of T07")

    assert sound(root)


def test_no_assessment_clears_a_break_that_was_never_mended(root: Path) -> None:
    stood = items(root)
    put(root, edited_with_digests(stood))
    broke = commit(root, "tidy")

    about = ("--assess", "1", "--breaks", broke, "--authorized-by", "E02")
    words = (*about, "--reason", "format of a comment", "--on", "2026-03-13")
    refused = run("issue", "ML-101", *words, "--root", root)
    assert refused.status != 0
    assert f"git checkout {broke[:12]}^ -- {CHAIN}" in refused.err

    judged = {
        **items(root)[-1],
        "kind": "assessment",
        "assesses": "1",
        "breaks": broke,
        "reason": "format of a comment",
    }
    for key in ("result", "report", "results"):
        judged.pop(key)
    put(root, chained([*items(root), judged]))
    commit(root, "written by hand")
    caught(root, Fault("ML-101", 0, CHAIN, broke), "never restored")


def test_a_break_that_was_cleared_is_still_told(root: Path) -> None:
    stood = items(root)
    put(root, edited_with_digests(stood))
    broke = commit(root, "tampered with")
    put(root, stood)
    commit(root, "as it was")
    issue(root, "ML-101", "--assess", "1", "--breaks", broke, reason="a slip of T07")

    ran = verify(root)

    assert ran.status == 0
    (note,) = json.loads(ran.out)["assessed"]
    named = (note["test"], note["revision"], note["file"], note["commit"])
    assert named == ("ML-101", 0, CHAIN, broke)
    for words in ("altered", "assessed in ML-101 r2 by E02: a slip of T07"):
        assert words in note["what"]
        assert words in ran.err
    history = run("history", "ML-101", "--root", root)
    assert f"explains items altered or lost at commit {broke[:12]}" in history.out


def test_an_assessment_does_not_cover_a_chain_that_still_does_not_hold(
    root: Path,
) -> None:
    stood = items(root)
    put(root, edited(stood))
    broke = commit(root, "tampered with")
    put(root, stood)
    commit(root, "as it was")
    issue(root, "ML-101", "--assess", "1", "--breaks", broke, reason="a slip of T07")
    put(root, edited(items(root)))
    again = commit(root, "and once more")

    caught(root, Fault("ML-101", 0, CHAIN, again), "altered")


def test_editing_the_record_leaves_what_was_issued_sound(root: Path) -> None:
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.64")

    assert sound(root)
