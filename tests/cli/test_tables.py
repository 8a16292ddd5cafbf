"""`new moisture-density --from` and `--template`, as a laboratory runs them."""

from errno import ENOSPC
from pathlib import Path

import pytest

from buildsite.exports.schema import schema_files
from tests.archives import sound
from tests.cli.running import Ran, run
from tests.cli.test_new import files
from tests.clones import clone, git, write
from tests.starting.test_table import FIRST, GOOD

TESTS = "records/marsh-lane/tests"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write(tmp_path / "archive", {**sound(), **schema_files()})


def new(root: Path, *words: str | Path) -> Ran:
    return run("new", "moisture-density", *words, "--root", root)


def table(root: Path, text: str) -> Path:
    path = root.parent / "old.csv"
    path.write_text(text, "utf-8")
    return path


def test_a_record_is_written_for_each_test(root: Path) -> None:
    two = GOOD + FIRST.replace("ML-9", "ML-10") + "\n"

    ran = new(root, "--from", table(root, two))

    assert (ran.status, ran.out) == (0, f"{TESTS}/ML-9.yaml\n{TESTS}/ML-10.yaml\n")
    assert ran.err.endswith("2 tests, 4 rows. Next: buildsite check\n")
    assert run("check", root / TESTS / "ML-9.yaml").status == 0


def test_one_bad_cell_and_nothing_is_written(root: Path) -> None:
    before = files(root)
    two = GOOD + FIRST.replace("ML-9", "ML-10").replace("9.8", "9,8x") + "\n"

    ran = new(root, "--from", table(root, two))

    assert (ran.status, ran.out) == (1, "")
    assert ran.err.startswith("old.csv: row 5, column")
    assert files(root) == before


def test_nothing_is_overwritten(root: Path) -> None:
    new(root, "--from", table(root, GOOD))
    before = files(root)

    assert new(root, "--from", table(root, GOOD)).status == 1
    assert files(root) == before


def test_a_full_disk_leaves_nothing(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = files(root)

    move = Path.replace

    def full(self: Path, target: Path) -> Path:
        if target.name == "ML-9.yaml":
            raise OSError(ENOSPC, "No space left on device")
        return move(self, target)

    monkeypatch.setattr(Path, "replace", full)
    two = GOOD + FIRST.replace("ML-9", "ML-10") + "\n"

    assert new(root, "--from", table(root, two)).status == 3
    assert files(root) == before


def test_all_tests_of_a_table_make_one_commit(tmp_path: Path) -> None:
    root = tmp_path / "archive"
    clone(root, {**sound(), **schema_files()})
    git(root, "config", "user.name", "A")
    git(root, "config", "user.email", "a@lab.example")

    assert new(root, "--from", table(root, GOOD), "--commit").status == 0

    assert git(root, "status", "--porcelain") == ""
    assert git(root, "log", "-1", "--format=%s") == "Import 1 test from old.csv"


def test_a_template_filled_in_comes_back(root: Path) -> None:
    path = root.parent / "results.csv"
    words = ["--on", "2026-03-20", "--by", "T07", "--standard", "ASTM D698"]

    ran = new(root, "--template", path, "--defaults", *words)

    assert (ran.status, ran.out) == (0, f"{path}\n")
    assert not (root / TESTS / "ML-103.yaml").exists()
    names, first = path.read_text("utf-8-sig").splitlines()
    cells = dict(zip(names.split(","), first.split(","), strict=True))
    assert (cells["id"], cells["mold_mass"]) == ("ML-103", "2001")
    readings = {"mold_and_wet_soil": "3854", "container_mass": "52.10"}
    readings |= {"container_and_wet": "198.41", "container_and_dry": "187.19"}
    cells |= {f"point.{name}": value for name, value in readings.items()}
    path.write_text(f"{','.join(cells)}\r\n{','.join(cells.values())}\r\n", "utf-8-sig")

    assert new(root, "--from", path).status == 0
    text = (root / TESTS / "ML-103.yaml").read_text()
    assert "container_mass: 52.10," in text
    assert "edition: 12(2021)" in text


def test_a_template_overwrites_nothing(root: Path) -> None:
    path = table(root, "mine")

    assert new(root, "--template", path, "--defaults").status == 2
    assert path.read_text() == "mine"


def test_a_table_that_is_not_there_is_told(root: Path) -> None:
    ran = new(root, "--from", root / "no.csv")

    assert (ran.status, "Can't read" in ran.err) == (2, True)


def test_a_kind_without_a_list_of_readings_has_no_table(root: Path) -> None:
    assert run("new", "oven", "--from", "x.csv", "--root", root).status == 2
