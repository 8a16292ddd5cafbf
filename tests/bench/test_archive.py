"""The archive that we measure with is sound: nothing is measured on refused records."""

import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from buildsite.bench.archive import SOILS, archive_records, make_archive


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("bench") / "archive"
    make_archive(folder, 60)
    return folder


def test_one_seed_gives_the_same_bytes_and_another_gives_others() -> None:
    assert [*archive_records(60, 1)] == [*archive_records(60, 1)]
    assert [*archive_records(60, 1)] != [*archive_records(60, 2)]


def test_no_folder_grows_past_fifty_tests(root: Path) -> None:
    counts = [
        len([*folder.iterdir()]) for folder in sorted(root.glob("records/*/tests"))
    ]

    assert counts == [50, 10]


def test_every_point_is_well_left_of_zero_air_voids(root: Path) -> None:
    # By the definition of saturation alone: volume of water over volume of voids,
    # with solids of specific gravity G and water of 0.9982 g/cm3.
    volumes = {f"M-{n:02d}": 943.0 + 0.3 * n for n in range(1, 9)}
    for number, path in enumerate(sorted(root.glob("records/*/tests/*.yaml"))):
        test = yaml.safe_load(path.read_text("utf-8"))
        gravity = SOILS[(number % 50 + 1) % len(SOILS)].specific_gravity
        for point in test["points"]:
            solids = point["container_and_dry"] - point["container_mass"]
            water = (point["container_and_wet"] - point["container_and_dry"]) / solids
            wet = point["mold_and_wet_soil"] - test["mold_mass"]
            dry = wet / volumes[test["equipment"]["mold"]] / (1 + water)
            assert water * dry / (0.9982 - dry / gravity) < 0.98, path


def test_check_raises_no_error(root: Path) -> None:
    check = "from buildsite.cli import main; main()"

    done = subprocess.run(
        [sys.executable, "-c", check, "check"],
        cwd=root,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stdout + done.stderr
    assert "error" not in done.stdout
