"""
Pages of several tests: made again for what they show, with the bytes of a clean build.

An archive of two projects, in which every list longer than two is cut, so that parts of
lists gain, lose and exchange tests.
"""

import re
from pathlib import Path

import pytest

from buildsite.building import steps
from buildsite.cache.value_forms import Form
from buildsite.pages.indexes import search_data, soil_classes, split_lists
from tests.archives import sound
from tests.cache.test_incremental import ML_101, SAMPLE, Bench
from tests.cli.running import run
from tests.clones import clone, write

OTHER = Path("records/fen-road")
ISSUE = ("--authorized-by", "E02", "--reason", "first issue", "--on", "2026-03-13")


def several() -> dict[str, bytes]:
    """The sound archive, with a second project and more tests, each on its own day."""
    files = dict(sound())
    base = {name: data.decode() for name, data in files.items()}
    for name, text in base.items():
        if "marsh-lane" in name:
            renamed = name.replace("marsh-lane", "fen-road").replace("ML-", "FR-")
            told = text.replace("marsh-lane", "fen-road").replace("ML-", "FR-")
            files[renamed] = told.encode()
    for number in (103, 104, 105):
        text = base[str(ML_101)].replace("ML-101", f"ML-{number}")
        files[f"records/marsh-lane/tests/ML-{number}.yaml"] = text.encode()
    return files


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Bench:
    monkeypatch.setattr(split_lists.parts_of, "__defaults__", (2,))
    monkeypatch.setattr(split_lists.divided, "__defaults__", (2,))
    monkeypatch.setattr(split_lists, "LEAST", 1)
    monkeypatch.setattr(soil_classes, "MOST", 2)
    monkeypatch.setattr(search_data, "MOST_TESTS", 3)
    monkeypatch.setattr(steps, "AGAIN", 0)
    made = Bench(tmp_path, monkeypatch)
    clone(made.root, several())
    return made


@pytest.fixture
def pages(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Names of the steps of pages that were made, other than those of single tests."""
    found: list[str] = []
    whole = steps.Steps.keep

    def noted(
        self: steps.Steps, name: str, form: Form, *more: object, **named: object
    ) -> None:
        if self.keeps and name.startswith("pages "):
            found.append(name.removeprefix("pages "))
        whole(self, name, form, *more, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(steps.Steps, "keep", noted)
    return found


def test_only_what_shows_a_test_is_made_again(bench: Bench, pages: list[str]) -> None:
    bench.build()
    assert "sample FR-S1" in pages
    pages.clear()
    bench.build()
    assert pages == []

    bench.edit(ML_101, "container_and_dry: ", "container_and_dry:  ")
    bench.same("nothing that anybody sees")
    assert not {name for name in pages if "FR-" in name or "fen-road" in name}
    assert "sample ML-S2" not in pages
    assert not {name for name in pages if name.startswith(("equipment", "search t"))}


def test_each_reason_to_make_a_list_again(bench: Bench) -> None:
    bench.same("clean")
    dry = re.search(r"container_and_dry: [0-9.]+", (bench.root / ML_101).read_text())
    assert dry is not None
    bench.edit(ML_101, dry[0], f"{dry[0][:-1]}{9 - int(dry[0][-1])}")
    bench.same("a reading")
    bench.edit(ML_101, "compacted: {on: 2026-03-10", "compacted: {on: 2025-03-10")
    bench.same("another year")
    bench.commit("ML-101: the day was wrong")
    bench.same("committed")
    bench.edit(ML_101, "sample: ML-S1", "sample: ML-S2")
    bench.same("another sample")
    (bench.root / ML_101).unlink()
    bench.same("removed, the last of its year")
    bench.edit(SAMPLE, "class: CL", "class: CH")
    bench.same("another soil class")
    bench.edit(OTHER / "tests/FR-101.yaml", "status: complete", "status: withdrawn")
    bench.same("withdrawn")
    bench.edit(OTHER / "project.yaml", "Marsh Lane", "Fen Road")
    bench.same("a project's name")


def test_tests_and_projects_that_come_and_go(bench: Bench) -> None:
    bench.same("clean")
    old = OTHER / "tests/FR-101.yaml"
    text = (bench.root / old).read_text()
    (bench.root / old).unlink()
    moved = text.replace("fen-road", "marsh-lane").replace("FR-101", "ML-106")
    write(bench.root, {"records/marsh-lane/tests/ML-106.yaml": moved.encode()})
    bench.same("from one project to another")
    bench.commit("FR-101 is ML-106")
    new = text.replace("fen-road", "new-site").replace("FR-101", "NS-101")
    project = (bench.root / OTHER / "project.yaml").read_text()
    write(bench.root, {"records/new-site/tests/NS-101.yaml": new.encode()})
    bench.same("a test of a project without a record")
    told = project.replace("fen-road", "new-site").encode()
    write(bench.root, {"records/new-site/project.yaml": told})
    bench.same("a new project with its first test")
    (bench.root / OTHER / "project.yaml").unlink()
    bench.same("a project's record gone")
    sample = bench.root / OTHER / "samples/FR-S1.yaml"
    sample.rename(sample.with_name("FR-S9.yaml"))
    bench.edit(OTHER / "samples/FR-S9.yaml", "FR-S1", "FR-S9")
    bench.same("a sample renamed")
    equipment = bench.root / "records/equipment"
    for file in sorted((bench.root / OTHER / "tests").glob("*")):
        file.unlink()
    bench.same("a project without tests")
    (equipment / "B-11.yaml").unlink()
    bench.same("equipment gone")


def test_issues_and_withdrawals_come_into_the_lists(bench: Bench) -> None:
    bench.same("clean")
    for id in ("ML-101", "FR-102"):
        ran = run("issue", id, *ISSUE, "--root", bench.root)
        assert ran.status == 0, ran.err
        bench.same(f"{id} issued")
    bench.edit(ML_101, "8.64", "8.65")
    bench.commit("ML-101: read point 3 again")
    bench.same("changed since")
    again = ("--authorized-by", "E02", "--reason", "point 3 read again")
    ran = run("issue", "ML-101", *again, "--on", "2026-03-14", "--root", bench.root)
    assert ran.status == 0, ran.err
    bench.same("amended")
