"""`build --strict` fails on what was altered, and not on what moved."""

from pathlib import Path

from tests.archives import Files, changed
from tests.cli.running import run
from tests.clones import clone

TEST = "marsh-lane/tests/ML-101"
ISSUED = ({"test": TEST},)


def strict(root: Path, files: Files) -> int:
    clone(root, files)
    return run("build", "--strict", "--root", root, "--out", root / "site").status


def test_a_test_that_moved_is_built(tmp_path: Path) -> None:
    moved = {f"{TEST}.yaml": [["mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.66"]]}

    assert strict(tmp_path, changed(moved, ISSUED)) == 0


def test_an_altered_item_fails(tmp_path: Path) -> None:
    altered = {f"{TEST}.issued.yaml": [["Issue 0", "Issue nought"]]}

    assert strict(tmp_path, changed(altered, ISSUED)) == 1


def test_a_kept_report_that_went_fails(tmp_path: Path) -> None:
    assert strict(tmp_path, changed({f"{TEST}.r0.html": None}, ISSUED)) == 1


def test_a_kept_result_that_is_nonsense_stops_no_build(tmp_path: Path) -> None:
    files = dict(changed({}, ISSUED))
    files[f"records/{TEST}.r0.json"] = b"nonsense"

    assert strict(tmp_path, files) == 1
