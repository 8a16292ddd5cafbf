"""What moved since a test was reviewed is told to the person who issues it."""

from pathlib import Path

import pytest

from tests.cli.running import run
from tests.issuing.clones import edit, lab

TEST_FILE = "marsh-lane/tests/ML-101.yaml"
ISSUED = ("--authorized-by", "E02", "--reason", "first issue")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return lab(tmp_path)


MOLD, SAMPLE = "equipment/M-04.yaml", "marsh-lane/samples/ML-S1.yaml"
MASS = ("mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60")
WATER = ("full_with_plates: 4052.5", "full_with_plates: 4062.5")
CHANGES = {
    "record": (TEST_FILE, *MASS, "ML-101"),
    "mold": (MOLD, *WATER, "M-04"),
    "sample": (SAMPLE, "2.69", "2.71", "ML-S1"),
}


@pytest.mark.parametrize("what", sorted(CHANGES))
def test_what_moved_since_the_review_is_told_to_who_issues(
    root: Path, what: str
) -> None:
    name, was, now, of = CHANGES[what]
    edit(root, name, was, now)

    stale = run("issue", "ML-101", *ISSUED, "--on", "2026-03-20", "--root", root)

    told = "warning: changed since the review on 2026-03-12: "
    assert stale.status == 0, stale.err
    assert f"{told}{of}. Have it reviewed again" in stale.err


def test_what_moved_nothing_or_was_reviewed_again_is_not_told(root: Path) -> None:
    edit(root, TEST_FILE, "layers: 3", "layers: 3  # as ever")
    first = run("issue", "ML-101", *ISSUED, "--on", "2026-03-13", "--root", root)
    edit(root, TEST_FILE, *MASS)
    words = ("review", "ML-101", "--by", "E02", "--on", "2026-03-20")
    again = run(*words, "--root", root)
    second = run("issue", "ML-101", *ISSUED, "--on", "2026-03-20", "--root", root)

    assert again.status == 0, again.err
    for ran in (first, second):
        assert ran.status == 0, ran.err
        assert "changed since the review" not in ran.err
