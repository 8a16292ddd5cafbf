"""A record edited after its review is flagged, where git's past is there to tell."""

from pathlib import Path

import pytest

from buildsite.build import build
from buildsite.pages.site_sources import Options
from tests.cli.running import run
from tests.clones import git
from tests.issuing.clones import TESTS, edit, lab

RECORD = "marsh-lane/tests/ML-101.yaml"
SAMPLE = "marsh-lane/samples/ML-S1.yaml"
REVIEW = "reviewed: {on: 2026-03-12, by: E02}"
AGAIN = "reviewed: {on: 2026-03-13, by: E02}"
ACCEPTED = "accepted: [{flag: water-bled, by: E02, reason: seen}]\nlayers: 3"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """ML-101, reviewed as it was first committed."""
    (tmp_path / "archive").mkdir()
    return lab(tmp_path / "archive")


def flags(root: Path) -> list[str]:
    """Lines that tell of it, with what was found."""
    ran = run("check", "--root", root)
    lines = ran.out.splitlines()
    return [
        one.strip()
        for i, line in enumerate(lines)
        if line.endswith(": edited-after-review")
        for one in lines[i : i + 3]
    ]


def test_a_record_that_stands_as_reviewed(root: Path) -> None:
    assert flags(root) == []


@pytest.mark.parametrize("commit", [True, False])
def test_a_reading_changed_since(root: Path, commit: bool) -> None:
    edit(
        root,
        RECORD,
        "mold_and_wet_soil: 8.64",
        "mold_and_wet_soil: 8.60",
        commit=commit,
    )

    place, found, mend = flags(root)

    assert place.startswith(f"{TESTS}/ML-101.yaml:")
    assert "edited since the review by E02 on 2026-03-12" in found
    assert "point 3, mold and wet soil" in found
    assert "buildsite review ML-101 --by CODE" in mend


@pytest.mark.parametrize(
    ("name", "was", "now"),
    [
        (RECORD, REVIEW, AGAIN),
        (RECORD, "layers: 3", ACCEPTED),
        (RECORD, "layers: 3", "layers: 3  # counted"),
        (SAMPLE, "2.69", "2.71"),
    ],
)
def test_what_is_no_edit_of_what_was_reviewed(
    root: Path, name: str, was: str, now: str
) -> None:
    edit(root, name, was, now)

    assert flags(root) == []


def test_a_new_review_settles_it(root: Path) -> None:
    edit(root, RECORD, "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60")
    assert flags(root)

    edit(root, RECORD, REVIEW, AGAIN)

    assert flags(root) == []


def test_an_edit_that_was_taken_back(root: Path) -> None:
    edit(root, RECORD, "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60")
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.64")

    assert flags(root) == []


def test_the_laboratory_s_copy_shows_it(root: Path, tmp_path: Path) -> None:
    edit(root, RECORD, "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60")

    build(root, tmp_path / "site", Options(), 1)

    for page in ("tests/ML-101/index.html", "flags/index.html"):
        assert "edited-after-review" in (tmp_path / "site" / page).read_text()


def test_without_the_whole_past_it_is_said_that_nothing_was_looked_for(
    root: Path, tmp_path: Path
) -> None:
    edit(root, RECORD, "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60")
    git(root, "clone", "--quiet", "--depth=1", root.as_uri(), str(tmp_path / "half"))

    ran = run("check", "--root", tmp_path / "half")

    assert "Edits after a review or an entry check were not checked." in ran.err
    assert "edited-after-review" not in ran.out
