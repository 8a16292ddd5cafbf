"""Kept files on a site, and items cut from a manifest, are judged by the items."""

import json
import shutil
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from buildsite import software
from tests.cli.running import run
from tests.issuing.clones import edit
from tests.verify.tampering import (
    RECORD,
    Fault,
    caught,
    commit,
    head,
    issue,
    published,
    sound,
    verify,
)


@pytest.fixture(scope="session")
def built(untouched: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of the untouched laboratory."""
    out = tmp_path_factory.mktemp("kept") / "site"
    ran = run("build", "--root", untouched, "--out", out, "--jobs", "1")
    assert ran.status == 0, ran.err
    return out


@pytest.fixture
def site(built: Path, tmp_path: Path) -> Path:
    """A copy of the site to tamper with."""
    return Path(shutil.copytree(built, tmp_path / "site"))


@pytest.fixture
def other(monkeypatch: pytest.MonkeyPatch) -> None:
    """Verify with a program of another version."""
    theirs = {**software.software(), "version": "9.9", "fingerprint": "9" * 64}
    monkeypatch.setattr(software, "software", lambda: theirs)
    monkeypatch.setattr(software, "fingerprint", lambda: theirs["fingerprint"])


def manifest(path: Path) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(path.read_bytes())
    return told


def rewrite(path: Path, **changes: object) -> None:
    """Write a manifest as a build does, with some of it changed."""
    told = manifest(path) | changes
    text = json.dumps(told, ensure_ascii=False, sort_keys=True, indent=2)
    path.write_text(text + "\n", "utf-8")


def resealed(site: Path, path: str) -> None:
    """Give the manifest the digest that a file has now, or no entry."""
    files = manifest(site / "manifest.json")["files"]
    files.pop(path, None)
    if (site / path).exists():
        files[path] = "sha256:" + sha256((site / path).read_bytes()).hexdigest()
    rewrite(site / "manifest.json", files=files)


def cut(site: Path, test: str, first: int) -> None:
    """Cut a test's revisions from a site and its manifest, consistently."""
    told = manifest(site / "manifest.json")
    kept = told["tests"][test][:first]
    tests = {**told["tests"], test: kept}
    if not kept:
        del tests[test]
    for path in list(told["files"]):
        gone = path.startswith(f"tests/{test}/")
        if gone and (not kept or path.startswith(f"tests/{test}/r{first}/")):
            del told["files"][path]
            (site / path).unlink()
    rewrite(site / "manifest.json", tests=tests, files=told["files"])


@pytest.mark.parametrize(
    ("path", "revision", "words"),
    [
        ("tests/ML-101/r0/report.html", 0, "the kept report is not the one issued"),
        ("tests/ML-101/r1/result.json", 1, "the kept result is not the one issued"),
    ],
)
@pytest.mark.usefixtures("other")
def test_a_kept_file_is_compared_before_another_version_ends_the_run(
    untouched: Path, site: Path, path: str, revision: int, words: str
) -> None:
    data = (site / path).read_bytes()
    (site / path).write_bytes(data.replace(b"lb/ft", b"kg/ft", 1))
    resealed(site, path)

    fault = Fault("ML-101", revision, path, head(untouched))
    caught(untouched, fault, words, "--site", site)
    ran = run("verify", "--site", site, "--root", untouched)
    assert "can't be rebuilt here" in ran.err


@pytest.mark.usefixtures("other")
def test_a_kept_file_that_is_missing_is_told_by_another_version_too(
    untouched: Path, site: Path
) -> None:
    path = "tests/ML-101/r1/report.html"
    (site / path).unlink()
    resealed(site, path)

    fault = Fault("ML-101", 1, path, head(untouched))
    caught(untouched, fault, "of an issued item is missing", "--site", site)


@pytest.mark.usefixtures("other")
def test_a_report_of_no_item_is_told_by_another_version_too(
    untouched: Path, site: Path
) -> None:
    path = "tests/ML-101/r2/report.html"
    (site / path).parent.mkdir()
    shutil.copy(site / "tests/ML-101/r1/report.html", site / path)
    resealed(site, path)

    fault = Fault("ML-101", 2, path, head(untouched))
    caught(untouched, fault, "no issued item keeps this file", "--site", site)


@pytest.mark.usefixtures("other")
def test_an_untouched_site_of_another_version_still_ends_with_3(
    untouched: Path, site: Path
) -> None:
    assert verify(untouched, "--site", site).status == 3


def test_what_differs_from_manifest_and_item_is_told_once(
    untouched: Path, site: Path
) -> None:
    path = "tests/ML-101/r0/report.html"
    (site / path).write_bytes(b"gone")

    faults = json.loads(verify(untouched, "--site", site).out)["faults"]

    assert [one["what"] for one in faults] == [
        "differs from the manifest; the kept report is not the one issued: its digest "
        "is not the item's"
    ]


@pytest.mark.parametrize(("test", "first"), [("ML-101", 1), ("ML-102", 0)])
@pytest.mark.usefixtures("other")
def test_a_site_cut_with_its_manifest_is_compared_with_its_commit(
    untouched: Path, site: Path, test: str, first: int
) -> None:
    cut(site, test, first)

    fault = Fault(test, first, "manifest.json", head(untouched))
    caught(untouched, fault, "cut from the manifest", "--site", site)


@pytest.mark.parametrize(("test", "first"), [("ML-101", 1), ("ML-102", 0)])
def test_a_manifest_cut_consistently_is_compared_with_its_commit(
    untouched: Path, site: Path, test: str, first: int
) -> None:
    cut(site, test, first)
    path = site / "manifest.json"

    fault = Fault(test, first, str(path), head(untouched))
    caught(untouched, fault, "cut from the manifest", "--against", path)


def test_what_was_issued_later_is_not_cut(root: Path, tmp_path: Path) -> None:
    before = published(root, tmp_path)
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.61")
    issue(root, "ML-101", reason="read once more", on="2026-03-14")

    assert sound(root, "--against", before)


@pytest.mark.parametrize("public", [False, True])
def test_a_manifest_for_clients_has_the_tests_of_public_projects(
    root: Path, tmp_path: Path, *, public: bool
) -> None:
    project = root / "records/marsh-lane/project.yaml"
    assert "publish" not in project.read_text("utf-8")
    if public:
        project.write_text(project.read_text("utf-8") + "publish: yes\n", "utf-8")
        commit(root, "marsh-lane: released")
    before = published(root, tmp_path)
    rewrite(before, options={"release": True}, tests={})

    assert sound(root, "--against", before) is not public


def test_a_manifest_that_lists_another_report_than_was_issued_is_told(
    untouched: Path, site: Path
) -> None:
    path, place = site / "manifest.json", "tests/ML-101/r0/report.html"
    files = manifest(path)["files"]
    rewrite(path, files={**files, place: "sha256:" + "0" * 64})

    fault = Fault("ML-101", 0, place, head(untouched))
    words = "the kept report is not the one issued"
    caught(untouched, fault, words, "--against", path)
