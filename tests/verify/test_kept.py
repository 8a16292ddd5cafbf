"""Kept reports and results are, byte for byte, those that were issued."""

from pathlib import Path

import pytest

from tests.clones import write
from tests.issuing.clones import TESTS
from tests.verify.tampering import Fault, caught, commit, sound


@pytest.mark.parametrize("suffix", ["html", "json"])
@pytest.mark.parametrize("revision", [0, 1])
def test_a_kept_file_is_not_edited_unseen(
    root: Path, suffix: str, revision: int
) -> None:
    name = f"{TESTS}/ML-101.r{revision}.{suffix}"
    data = (root / name).read_bytes()
    write(root, {name: data.replace(b"lb/ft", b"kg/ft")})
    assert (root / name).read_bytes() != data
    broke = commit(root, "edited")

    caught(root, Fault("ML-101", revision, name, broke), "its digest differs")


@pytest.mark.parametrize("suffix", ["html", "json"])
def test_a_kept_file_is_not_removed_unseen(root: Path, suffix: str) -> None:
    name = f"{TESTS}/ML-101.r0.{suffix}"
    (root / name).unlink()
    broke = commit(root, "removed")

    caught(root, Fault("ML-101", 0, name, broke), "is missing")


def test_two_kept_reports_are_not_exchanged_unseen(root: Path) -> None:
    first, second = (f"{TESTS}/ML-101.r{number}.html" for number in (0, 1))
    one, other = (root / first).read_bytes(), (root / second).read_bytes()
    write(root, {first: other, second: one})
    broke = commit(root, "exchanged")

    caught(root, Fault("ML-101", 0, first, broke), "its digest differs")
    caught(root, Fault("ML-101", 1, second, broke), "its digest differs")


def test_a_report_that_no_item_speaks_of_is_seen(root: Path) -> None:
    name = f"{TESTS}/ML-101.r2.html"
    write(root, {name: b"<!doctype html>"})
    broke = commit(root, "one more")

    caught(root, Fault("ML-101", 2, name, broke), "kept without an issued item")


def test_what_is_not_committed_is_not_judged(root: Path) -> None:
    (root / TESTS / "ML-101.r0.html").unlink()

    assert sound(root)
