"""A site is what its manifest says, and what a build of its commit makes."""

import json
import shutil
from collections.abc import Callable, Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from buildsite import software
from buildsite.build import build as build_site
from buildsite.pages.site_sources import Options
from tests.cli.running import run
from tests.clones import git
from tests.issuing.clones import TESTS, edit
from tests.verify.tampering import (
    RECORD,
    Fault,
    caught,
    commit,
    head,
    issue,
    sound,
    verify,
)


@pytest.fixture(scope="session")
def built(untouched: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of the untouched laboratory."""
    return build(untouched, tmp_path_factory.mktemp("site") / "site")


@pytest.fixture
def site(built: Path, tmp_path: Path) -> Path:
    """A copy of the site to tamper with."""
    return Path(shutil.copytree(built, tmp_path / "site"))


@pytest.fixture(scope="module")
def rebuilt(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., None]:
    """How `verify` builds a site again: what was checked out before is built once."""
    known: dict[tuple[object, ...], Path] = {}

    def built_again(archive: Path, out: Path, options: Options, *more: Any) -> None:
        key = head(archive), options.previous, *options.written().items()
        if key not in known:
            known[key] = tmp_path_factory.mktemp("rebuilt") / "site"
            build_site(archive, known[key], options, *more)
        shutil.copytree(known[key], out)

    return built_again


@pytest.fixture
def _built_once(rebuilt: Callable[..., None], monkeypatch: pytest.MonkeyPatch) -> None:
    """For a test that tampers with a site, and not with how it is built again."""
    monkeypatch.setattr("buildsite.verifying.site.build", rebuilt)


def build(root: Path, out: Path, *words: str | Path) -> Path:
    ran = run("build", "--root", root, "--out", out, "--jobs", "1", *words)
    assert ran.status == 0, ran.err
    return out


def manifest(site: Path) -> dict[str, Any]:
    told: dict[str, Any] = json.loads((site / "manifest.json").read_bytes())
    return told


def rewrite(site: Path, **changes: object) -> None:
    """Write the manifest as a build does, with some of it changed."""
    told = manifest(site) | changes
    text = json.dumps(told, ensure_ascii=False, sort_keys=True, indent=2)
    (site / "manifest.json").write_text(text + "\n", "utf-8")


def replaced(path: Path, was: bytes, now: bytes) -> None:
    data = path.read_bytes()
    assert was in data
    path.write_bytes(data.replace(was, now, 1))


def test_a_site_nobody_touched_is_sound(untouched: Path, built: Path) -> None:
    assert sound(untouched, "--site", built, "--against", built / "manifest.json")


EDITS: Mapping[str, tuple[str, int | None, bytes, bytes]] = {
    "page": ("tests/ML-101/index.html", None, b"107.", b"108."),
    "result": ("tests/ML-101/result.json", None, b'"reported": "', b'"reported": "9'),
    "curve": ("tests/ML-101/curve.svg", None, b"<path", b"<!-- -->\n<path"),
    "kept report": ("tests/ML-101/r0/report.html", 0, b"lb/ft", b"kg/ft"),
    "kept result": ("tests/ML-101/r1/result.json", 1, b"lb/ft", b"kg/ft"),
}


@pytest.mark.usefixtures("_built_once")
@pytest.mark.parametrize("what", EDITS)
def test_an_edited_file_is_named(untouched: Path, site: Path, what: str) -> None:
    path, revision, was, now = EDITS[what]
    replaced(site / path, was, now)

    fault = Fault("ML-101", revision, path, head(untouched))
    caught(untouched, fault, "differs from the manifest", "--site", site)


@pytest.mark.usefixtures("_built_once")
@pytest.mark.parametrize("what", ["page", "kept report"])
def test_a_manifest_made_anew_to_match_is_caught_by_the_rebuild(
    untouched: Path, site: Path, what: str
) -> None:
    path, revision, was, now = EDITS[what]
    replaced(site / path, was, now)
    sum = "sha256:" + sha256((site / path).read_bytes()).hexdigest()
    rewrite(site, files={**manifest(site)["files"], path: sum})

    fault = Fault("ML-101", revision, path, head(untouched))
    caught(untouched, fault, "differs from a rebuild", "--site", site, alone=False)


@pytest.mark.usefixtures("_built_once")
def test_a_file_too_many_is_named(untouched: Path, site: Path) -> None:
    (site / "tests/ML-101/r0/appendix.html").write_text("more", "utf-8")

    fault = Fault("ML-101", 0, "tests/ML-101/r0/appendix.html", head(untouched))
    caught(untouched, fault, "not listed in the manifest", "--site", site)


@pytest.mark.usefixtures("_built_once")
def test_a_link_is_one_too_many(untouched: Path, site: Path) -> None:
    (site / "tests/ML-101/r0/more").symlink_to("/etc")

    fault = Fault("ML-101", 0, "tests/ML-101/r0/more", head(untouched))
    caught(untouched, fault, "not listed in the manifest", "--site", site)


@pytest.mark.usefixtures("_built_once")
def test_a_missing_file_is_named(untouched: Path, site: Path) -> None:
    (site / "tests/ML-101/r0/report.html").unlink()

    fault = Fault("ML-101", 0, "tests/ML-101/r0/report.html", head(untouched))
    caught(untouched, fault, "missing", "--site", site)


@pytest.mark.usefixtures("_built_once")
def test_a_file_taken_out_of_site_and_manifest_is_caught_by_the_rebuild(
    untouched: Path, site: Path
) -> None:
    path = "tests/ML-101/r0/report.html"
    (site / path).unlink()
    files = manifest(site)["files"]
    rewrite(site, files={name: sum for name, sum in files.items() if name != path})

    fault = Fault("ML-101", 0, path, head(untouched))
    caught(untouched, fault, "differs from a rebuild", "--site", site, alone=False)


def shorter(told: Any) -> dict[str, Any]:
    return {"tests": {**told["tests"], "ML-101": told["tests"]["ML-101"][:1]}}


def for_release(told: Any) -> dict[str, Any]:
    return {"options": {**told["options"], "base_url": "https://lab.example/"}}


@pytest.mark.usefixtures("_built_once")
@pytest.mark.parametrize("change", [shorter, for_release])
def test_a_manifest_that_says_otherwise_is_caught_by_the_rebuild(
    untouched: Path, site: Path, change: Callable[[Any], dict[str, Any]]
) -> None:
    rewrite(site, **change(manifest(site)))

    fault = Fault("", None, "404.html", head(untouched))
    if change is shorter:
        fault = Fault("", None, "manifest.json", head(untouched))
    caught(untouched, fault, "differs from a rebuild", "--site", site, alone=False)


def test_a_site_of_records_that_were_not_committed_is_refused(
    root: Path, tmp_path: Path
) -> None:
    edit(root, "lab.yaml", "Sedge Hollow\n", "Sedge Hollow, north\n", commit=False)
    dirty = build(root, tmp_path / "dirty")

    fault = Fault("", None, "manifest.json", head(root))
    caught(root, fault, "uncommitted records", "--site", dirty)


def test_to_say_that_they_were_does_not_help(root: Path, tmp_path: Path) -> None:
    edit(root, "lab.yaml", "Sedge Hollow\n", "Sedge Hollow, north\n", commit=False)
    dirty = build(root, tmp_path / "dirty")
    rewrite(dirty, records_differ_from_commit=False)

    fault = Fault("ML-101", None, "tests/ML-101/index.html", head(root))
    caught(root, fault, "differs from a rebuild", "--site", dirty, alone=False)


def test_a_site_of_another_history_is_refused(untouched: Path, site: Path) -> None:
    rewrite(site, commit="1" * 40)

    fault = Fault("", None, "manifest.json", "1" * 40)
    caught(untouched, fault, "not in this history", "--site", site)


def test_a_site_without_a_commit_is_refused(untouched: Path, site: Path) -> None:
    rewrite(site, commit=None)

    fault = Fault("", None, "manifest.json", "")
    caught(untouched, fault, "names no commit", "--site", site)


def test_an_earlier_site_is_still_sound_when_the_archive_went_on(
    root: Path, built: Path
) -> None:
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.61")
    commit(root, "nothing more")

    assert sound(root, "--site", built, "--against", built / "manifest.json")


def test_a_site_for_clients_that_follows_another_is_sound(
    root: Path, built: Path, tmp_path: Path
) -> None:
    before = built / "manifest.json"
    words = ("--release", "--base-url", "https://lab.example", "--previous", before)
    site = build(root, tmp_path / "release", *words)
    sum = "sha256:" + sha256(before.read_bytes()).hexdigest()

    assert manifest(site)["previous"] == sum
    assert manifest(built)["previous"] is None
    assert sound(root, "--site", site)


@pytest.mark.parametrize("changed", ["version", "fingerprint", "lock"])
def test_another_program_or_lock_can_not_judge(
    untouched: Path, site: Path, changed: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if changed == "lock":
        monkeypatch.setattr(software, "lock_digest", lambda: "0" * 64)
    else:
        # The version stands in the code, so another one has another fingerprint.
        other = {**software.software(), "fingerprint": "0" * 64, changed: "0" * 64}
        monkeypatch.setattr(software, "software", lambda: other)
        monkeypatch.setattr(software, "fingerprint", lambda: other["fingerprint"])

    ran = verify(untouched, "--site", site)
    assert ran.status == 3
    assert "can't be rebuilt here" in ran.err
    assert "Install the version and the lock" in ran.err

    replaced(site / "tests/ML-101/index.html", b"107.", b"108.")
    assert verify(untouched, "--site", site).status == 1


@pytest.mark.parametrize("data", [None, b"", b"{}", b'{"files": []}'])
def test_a_site_whose_manifest_can_not_be_read_can_not_be_judged(
    untouched: Path, site: Path, data: bytes | None
) -> None:
    (site / "manifest.json").unlink()
    if data is not None:
        (site / "manifest.json").write_bytes(data)

    ran = verify(untouched, "--site", site)

    assert ran.status == 3
    assert "Can't read a manifest" in ran.err


def test_options_that_no_build_has_are_refused(untouched: Path, site: Path) -> None:
    rewrite(site, options={**manifest(site)["options"], "note": "forged"})

    ran = verify(untouched, "--site", site)

    assert ran.status == 3
    assert "build options are unknown" in ran.err


def test_line_ends_that_a_checkout_changed_reach_no_site(
    root: Path, tmp_path: Path
) -> None:
    (root / ".gitattributes").write_text("*.html text eol=crlf\n*.json text eol=crlf\n")
    commit(root, "attributes")
    git(tmp_path, "clone", "--quiet", str(root), "checked-out")
    other = tmp_path / "checked-out"
    kept = f"{TESTS}/ML-101.r1.html"
    assert (other / kept).read_bytes() != (root / kept).read_bytes()

    site = build(other, tmp_path / "site")

    for suffix, name in (("html", "report.html"), ("json", "result.json")):
        stored = (root / f"{TESTS}/ML-101.r1.{suffix}").read_bytes()
        assert (site / "tests/ML-101/r1" / name).read_bytes() == stored
    page = (site / "tests/ML-101/r1/index.html").read_text("utf-8")
    assert "is not here" not in page
    name = "tests/ML-101/r1/report.html"
    assert name not in verify(other, "--site", site).out
    (site / name).write_bytes((other / kept).read_bytes())
    digest = sha256((site / name).read_bytes()).hexdigest()
    rewrite(site, files=manifest(site)["files"] | {name: f"sha256:{digest}"})
    fault = Fault("ML-101", 1, name, head(other))
    caught(other, fault, "rebuild", "--site", site, alone=False)


def test_a_report_that_is_another_is_not_shown_as_kept(
    root: Path, tmp_path: Path
) -> None:
    replaced(root / f"{TESTS}/ML-101.r1.html", b"Amended", b"Another")
    git(root, "rm", "--quiet", "--cached", f"{TESTS}/ML-101.r1.html")
    options = ("--without-history",)

    site = build(root, tmp_path / "site", *options)

    assert not (site / "tests/ML-101/r1/report.html").exists()
    page = (site / "tests/ML-101/r1/index.html").read_text("utf-8")
    assert "The report as issued is missing" in page
    assert "is not here" not in (site / "tests/ML-101/r0/index.html").read_text("utf-8")


@pytest.mark.parametrize("release", [False, True])
def test_a_site_from_before_a_withdrawal_is_told_to_be_behind(
    root: Path, tmp_path: Path, release: bool
) -> None:
    edit(
        root,
        "marsh-lane/project.yaml",
        "id: marsh-lane",
        "publish: yes\nid: marsh-lane",
    )
    site = build(root, tmp_path / "site", *(["--release"] * release))
    up_to_date = verify(root, "--site", site)
    issue(root, "ML-102", "--withdraw", reason="Another sample")

    ran = verify(root, "--site", site)

    assert (up_to_date.status, ran.status) == (0, 0)
    assert json.loads(up_to_date.out)["issued_since"] == []
    assert "since the site was built" not in up_to_date.err
    assert json.loads(ran.out)["issued_since"] == ["ML-102 r1 (withdrawal)"]
    assert "Issued since the site was built: ML-102 r1 (withdrawal)." in ran.err


def test_what_clients_never_saw_is_not_missing_from_their_site(
    root: Path, tmp_path: Path
) -> None:
    site = build(root, tmp_path / "site", "--release")
    issue(root, "ML-102", "--withdraw", reason="Another sample")

    assert json.loads(verify(root, "--site", site).out)["issued_since"] == []
