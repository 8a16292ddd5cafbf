"""Items written by hand, with digests that fit: what they claim is looked at."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from buildsite.record.canonical import digest
from tests.clones import write
from tests.issuing.clones import TESTS, edit
from tests.verify.tampering import (
    CHAIN,
    RECORD,
    Fault,
    Item,
    by_another,
    caught,
    chained,
    commit,
    issue,
    items,
    put,
    sound,
)

Files = dict[str, bytes]
SUFFIXES = ("html", "json")


def forged(root: Path, change: Callable[[Item, Files], None]) -> str:
    """Commit an r2 of ML-101 that was issued as it should be, changed, and closed."""
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    issue(root, "ML-101", "--no-commit", reason="Mass of point 3 was misread again")
    *stood, item = items(root)
    files = {x: (root / f"{TESTS}/ML-101.r2.{x}").read_bytes() for x in SUFFIXES}
    content = item["content"].encode()
    change(item, files)
    item["result"] = digest(files["json"])
    trees = chained([*stood, item])
    files["html"] = files["html"].replace(content, trees[-1]["content"].encode())
    trees[-1]["report"] = digest(files["html"])
    write(root, {f"{TESTS}/ML-101.r2.{x}": data for x, data in files.items()})
    put(root, trees)
    return commit(root, "Issue ML-101 r2")


def unchanged(item: Item, files: Files) -> None:
    """Forge nothing: the control."""


def by_technician(item: Item, files: Files) -> None:
    """T07 may test, and authorizes nothing."""
    item["authorized_by"] = "T07"


def by_nobody(item: Item, files: Files) -> None:
    """A code that lab.yaml does not hold."""
    item["authorized_by"] = "X99"


def before_r1(item: Item, files: Files) -> None:
    """E02 had authority then, and r1 was not there yet."""
    item["issued_on"] = "2026-03-12"


def years_ahead(item: Item, files: Files) -> None:
    """A day that the commit does not know yet."""
    item["issued_on"] = "2099-01-01"


def result_otherwise(item: Item, files: Files) -> None:
    """The program that reads the result is told another number than the item says."""
    said = json.loads(files["json"])
    said["results"]["maximum_dry_density"]["reported"] = "199.9 lb/ft3"
    files["json"] = json.dumps(said).encode()


def report_otherwise(item: Item, files: Files) -> None:
    """The client reads another number than the item says."""
    number = item["results"]["maximum_dry_density"].partition(" ")[0].encode()
    files["html"] = files["html"].replace(number, b"199.9")


def points_otherwise(item: Item, files: Files) -> None:
    """A point that its inputs do not give."""
    said = json.loads(files["json"])
    said["points"][0]["dry_density"] = 1999.0
    files["json"] = json.dumps(said).encode()


def used_otherwise(item: Item, files: Files) -> None:
    """The result speaks of other values, and a program that is known, not in use."""
    item["software"] = by_another(item)["software"]
    said = json.loads(files["json"])
    said["software"] = item["software"]
    said["used"] = "sha256:" + "0" * 64
    files["json"] = json.dumps(said).encode()


def readings_otherwise(item: Item, files: Files) -> None:
    """The same, of another record."""
    item["software"] = by_another(item)["software"]
    said = json.loads(files["json"])
    said["software"] = item["software"]
    said["inputs"]["records/lab.yaml"] = "sha256:" + "0" * 64
    files["json"] = json.dumps(said).encode()


def test_the_control_is_sound(root: Path) -> None:
    forged(root, unchanged)

    assert sound(root)


@pytest.mark.parametrize(
    ("change", "file", "words"),
    [
        (by_technician, CHAIN, "without authority: T07 has no authority to authorize"),
        (by_nobody, CHAIN, "X99 is not a staff code"),
        (before_r1, CHAIN, "back-dated: dated 2026-03-12"),
        (years_ahead, CHAIN, "dated ahead: dated 2099-01-01"),
        (result_otherwise, f"{TESTS}/ML-101.r2.json", "199.9 lb/ft3"),
        (report_otherwise, f"{TESTS}/ML-101.r2.html", "does not state"),
        (
            points_otherwise,
            f"{TESTS}/ML-101.r2.json",
            "kept result differs",
        ),
        (used_otherwise, f"{TESTS}/ML-101.r2.json", "differs from the item in used"),
        (
            readings_otherwise,
            f"{TESTS}/ML-101.r2.json",
            "differs from the item in inputs",
        ),
    ],
)
def test_a_claim_that_can_not_be_is_named(
    root: Path, change: Callable[[Item, Files], None], file: str, words: str
) -> None:
    came = forged(root, change)

    caught(root, Fault("ML-101", 2, file, came), words)


def test_a_report_that_prints_another_digest_is_named(root: Path) -> None:
    stood = items(root)
    trees = chained([*stood, dict(stood[-1])])
    for suffix in ("html", "json"):
        data = (root / f"{TESTS}/ML-101.r1.{suffix}").read_bytes()
        write(root, {f"{TESTS}/ML-101.r2.{suffix}": data})
    put(root, trees)
    came = commit(root, "Issue ML-101 r2")

    fault = Fault("ML-101", 2, f"{TESTS}/ML-101.r2.html", came)
    caught(root, fault, "does not print the item's content digest")
