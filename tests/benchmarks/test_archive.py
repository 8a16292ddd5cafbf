"""The archive that we measure with is sound: nothing is measured on refused records."""

import subprocess
from pathlib import Path

import pytest
import yaml

from buildsite.history.walk import read_history
from tests.benchmarks.archive import (
    SOILS,
    archive_records,
    edits_in,
    make_archive,
    revisions_in,
)
from tests.benchmarks.measure import BUILDSITE


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("bench") / "archive"
    make_archive(folder, 60, "revisions")
    return folder


def test_one_seed_gives_the_same_bytes_and_another_gives_others() -> None:
    assert [*archive_records(60, 1)] == [*archive_records(60, 1)]
    assert [*archive_records(60, 1)] != [*archive_records(60, 2)]


def test_no_folder_grows_past_fifty_tests(root: Path) -> None:
    folders = sorted(root.glob("records/*/tests"))

    counts = [
        len({path.stem.partition(".")[0] for path in f.iterdir()}) for f in folders
    ]

    assert counts == [50, 10]


def test_the_past_holds_edits_and_issued_revisions(root: Path) -> None:
    # Each test is edited three times, one of eight issued, one of sixteen twice.
    past = read_history(root)

    edits = [c for c in past.commits if c.trailers.get("reason") == "read again"]
    assert len(edits) == 3 * 60 == edits_in(60)
    assert len([*root.glob("records/*/tests/*.r0.html")]) == 8
    assert len([*root.glob("records/*/tests/*.r1.html")]) == 4
    assert revisions_in(60) == 8 + 4
    assert len(past.commits) == 1 + 180 + 12


def test_whatever_the_past_the_records_are_the_same(root: Path, tmp_path: Path) -> None:
    plain = make_archive(tmp_path / "none", 60, "none")
    edited = make_archive(tmp_path / "edits", 60, "edits")

    for one, other in zip(plain, edited, strict=True):
        revised = root / one.relative_to(tmp_path / "none")
        assert one.read_bytes() == other.read_bytes() == revised.read_bytes()


def test_every_point_is_well_left_of_zero_air_voids(root: Path) -> None:
    # By the definition of saturation alone: volume of water over volume of voids,
    # with solids of specific gravity G and water of 0.9982 g/cm3.
    volumes = {f"M-{n:02d}": 943.0 + 0.3 * n for n in range(1, 9)}
    for number, path in enumerate(sorted(root.glob("records/*/tests/P*-???.yaml"))):
        test = yaml.safe_load(path.read_text("utf-8"))
        gravity = SOILS[(number % 50 + 1) % len(SOILS)].specific_gravity
        for point in test["points"]:
            solids = point["container_and_dry"] - point["container_mass"]
            water = (point["container_and_wet"] - point["container_and_dry"]) / solids
            wet = point["mold_and_wet_soil"] - test["mold_mass"]
            dry = wet / volumes[test["equipment"]["mold"]] / (1 + water)
            assert water * dry / (0.9982 - dry / gravity) < 0.98, path


@pytest.mark.parametrize("command", ["check", "verify"])
def test_the_program_finds_no_fault(root: Path, command: str) -> None:
    done = subprocess.run(
        [*BUILDSITE, command], cwd=root, capture_output=True, text=True, check=False
    )

    assert done.returncode == 0, done.stdout + done.stderr
    assert ": error: " not in done.stdout
    assert "container-mass-changed" not in done.stdout
    assert "edited-after" not in done.stdout
