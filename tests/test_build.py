"""From an archive to a site: whole, the same everywhere, and never over a stranger."""

import json
import os
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest

from buildsite import build as builds
from buildsite.build import build
from buildsite.errors import EnvironmentFault
from buildsite.exports.manifest import NAME
from buildsite.pages.page import UNCOMMITTED, WITHOUT_HISTORY
from buildsite.pages.site_sources import Options
from buildsite.software import software
from tests.archives import Changes, changed, sound
from tests.cli.running import run
from tests.clones import clone, git, write

TEST = "marsh-lane/tests/ML-101.yaml"
SAMPLE = "marsh-lane/samples/ML-S1.yaml"


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder, hidden ones too, by its path."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("archive")
    clone(root, sound())
    return root


@pytest.fixture(scope="module")
def site(archive: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("out") / "site"
    build(archive, out, Options(), 1)
    return out


def test_the_manifest_names_every_file_and_there_is_no_other(
    site: Path, archive: Path
) -> None:
    files = contents(site)
    found = json.loads(files.pop(NAME))

    assert found["files"] == {
        path: "sha256:" + sha256(data).hexdigest() for path, data in files.items()
    }
    assert len(files) > 20
    commit = (archive / ".git/refs/heads/main").read_text().strip()
    assert found["commit"] == commit
    assert found["records_differ_from_commit"] is False
    assert found["software"] == software()
    assert found["options"] == {
        "base_url": "",
        "release": False,
        "without_history": False,
    }


def test_the_site_has_the_addresses_that_others_rely_on(site: Path) -> None:
    assert set(contents(site)) >= {
        "index.html",
        "404.html",
        "projects/marsh-lane/index.html",
        "soils/index.html",
        "soils/CL/index.html",
        "samples/ML-S1/index.html",
        "tests/ML-101/index.html",
        "tests/ML-101/record.yaml",
        "tests/ML-101/result.json",
        "tests/ML-101/points.csv",
        "tests/ML-101/curve.svg",
        "equipment/M-04/index.html",
        "flags/index.html",
        "manifest.json",
    }


def test_beside_a_report_are_the_record_and_the_result_as_shown(
    site: Path, archive: Path
) -> None:
    folder = site / "tests/ML-101"

    assert (folder / "record.yaml").read_bytes() == sound()[f"records/{TEST}"]
    shown = run("show", "ML-101", "--json", "--root", archive)
    assert (folder / "result.json").read_text("utf-8") == shown.out


def test_nothing_is_left_beside_a_site(site: Path) -> None:
    assert [path.name for path in site.parent.iterdir()] == ["site"]


def test_a_second_build_over_the_first_is_the_same(site: Path, archive: Path) -> None:
    before = contents(site)
    times = {path: path.stat().st_mtime_ns for path in site.rglob("*.html")}

    build(archive, site, Options(), 1)

    assert contents(site) == before
    assert {path: path.stat().st_mtime_ns for path in site.rglob("*.html")} == times


ELSEWHERE = """\
import os, sys
os.umask(0o077)
from buildsite import workers
workers.CHUNK = 1
from buildsite.cli import main
main()
"""
"""Builds with a pool, which the few tests of this archive would not be worth."""


def test_another_machine_builds_the_same_bytes(site: Path, tmp_path: Path) -> None:
    root = tmp_path / "another place"
    root.mkdir()
    clone(root, sound())
    strange = {
        "PYTHONHASHSEED": "4242",
        "TZ": "Asia/Kathmandu",
        "LC_ALL": "C",
        "LANG": "tr_TR.UTF-8",
        "COLUMNS": "40",
        "PYTHONPATH": str(Path(__file__).parents[1]),
    }

    words = ["build", "--root", str(root), "--jobs", "2", "--out", "deep/site"]
    done = subprocess.run(
        [sys.executable, "-c", ELSEWHERE, *words],
        cwd=tmp_path,
        env=os.environ | strange,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stderr
    assert contents(tmp_path / "deep/site") == contents(site)


def built(
    tmp_path: Path, changes: Changes, *, committed: bool = True
) -> tuple[builds.BuildResult, dict[str, bytes]]:
    root, out = tmp_path / "archive", tmp_path / "site"
    root.mkdir()
    clone(root, changed(changes) if committed else sound())
    write(root, changed(changes))
    made = build(root, out, Options(), 1)
    return made, contents(out)


def test_the_first_page_and_those_made_of_them_say_that_records_are_not_as_committed(
    tmp_path: Path,
) -> None:
    change: Changes = {TEST: [["layers: 3", "layers: 3  # as always"]]}

    made, files = built(tmp_path, change, committed=False)

    assert made.checkout.differs
    assert json.loads(files[NAME])["records_differ_from_commit"] is True
    pages = {path for path in files if path.startswith("tests/ML-101/")}
    html = {path for path in pages if path.endswith(".html")}
    assert saying(files) == {"index.html", *html} - UNTOLD


def test_pages_of_a_record_gone_from_the_folder_say_so(tmp_path: Path) -> None:
    root, out = tmp_path / "archive", tmp_path / "site"
    root.mkdir()
    clone(root, sound())
    (root / "records/equipment/M-04.yaml").unlink()

    build(root, out, Options(), 1)

    said = saying(contents(out))
    assert {"index.html", "tests/ML-101/index.html"} <= said
    assert not any(path.startswith(("samples/", "projects/")) for path in said)


def test_the_page_of_a_changed_record_says_so(tmp_path: Path) -> None:
    change: Changes = {SAMPLE: [["format: 1", "format: 1  # as always"]]}

    _, files = built(tmp_path, change, committed=False)

    said = saying(files)
    assert {"index.html", "samples/ML-S1/index.html"} <= said
    assert "tests/ML-101/index.html" in said  # it uses the sample
    assert not any(path.startswith(("equipment/", "projects/")) for path in said)


UNTOLD = {"tests/ML-101/bench-sheet.html"}
"""Sheets to be filled in, which are no pages of the site."""


def saying(files: dict[str, bytes]) -> set[str]:
    """Return the pages that say that records are not as committed."""
    return {path for path, data in files.items() if UNCOMMITTED.encode() in data}


def test_records_as_committed_say_nothing_of_it(site: Path) -> None:
    assert not saying(contents(site))


def test_a_folder_that_is_no_clone_is_built_only_without_history(
    tmp_path: Path,
) -> None:
    root = write(tmp_path / "archive", sound())
    words: list[str | Path] = ["build", "--root", root, "--out", tmp_path / "site"]

    refused = run(*words)
    ran = run(*words, "--without-history")

    assert refused.status == 3
    assert "--without-history" in refused.err
    assert ran.status == 0
    files = contents(tmp_path / "site")
    assert json.loads(files[NAME])["commit"] is None
    assert json.loads(files[NAME])["options"]["without_history"] is True
    pages = [data for path, data in files.items() if path.endswith(".html")]
    assert pages
    assert all(WITHOUT_HISTORY.encode() in page for page in pages)
    assert not [path for path in files if "history" in path]


def test_an_unreadable_record_has_a_page_and_stops_nothing(tmp_path: Path) -> None:
    made, files = built(tmp_path, {TEST: "broken: [\n", "equipment/M-04.yaml": "a: ["})

    assert "tests/ML-101/index.html" in files
    assert b"broken: [" in files["tests/ML-101/index.html"]
    assert "tests/ML-102/index.html" in files
    assert "tests/ML-101/result.json" not in files
    assert (made.tests, made.errors) == (2, 2)


def test_a_test_in_progress_with_an_error_is_not_counted(tmp_path: Path) -> None:
    change = [["143.60", "173.60"], ["status: complete", "status: in-progress"]]

    made, _ = built(tmp_path, {TEST: change})

    assert made.errors == 0


def test_a_site_loses_the_pages_of_a_test_that_is_gone(tmp_path: Path) -> None:
    root, out = write(tmp_path / "archive", sound()), tmp_path / "site"
    options = Options(without_history=True)
    build(root, out, options, 1)
    (root / "records" / TEST).unlink()

    build(root, out, options, 1)

    assert not (out / "tests/ML-101").exists()
    assert set(json.loads((out / NAME).read_bytes())["files"]) | {NAME} == set(
        contents(out)
    )


def test_a_folder_of_something_else_is_refused_and_left_alone(
    archive: Path, tmp_path: Path
) -> None:
    write(tmp_path, {"theirs/thesis.txt": b"years of work"})

    with pytest.raises(EnvironmentFault):
        build(archive, tmp_path / "theirs", Options(), 1)
    ran = run("build", "--root", archive, "--out", tmp_path / "theirs", "--jobs", "1")

    assert (ran.status, ran.out) == (3, "")
    assert len(ran.err.splitlines()) == 2
    assert contents(tmp_path) == {"theirs/thesis.txt": b"years of work"}


@pytest.mark.parametrize("out", ["records", "records/marsh-lane/site", "."])
def test_a_site_never_stands_among_the_records(archive: Path, out: str) -> None:
    before = contents(archive)

    ran = run("build", "--root", archive, "--out", archive / out, "--jobs", "1")

    assert ran.status == 2
    assert contents(archive) == before


@pytest.mark.parametrize("out", [" ", "   "])
def test_a_folder_without_a_name_is_refused(archive: Path, out: str) -> None:
    before = contents(archive)

    ran = run("build", "--root", archive, "--out", out, "--jobs", "1")

    assert (ran.status, "name is blank" in ran.err) == (2, True)
    assert contents(archive) == before


def test_the_command_tells_the_address_and_counts_on_standard_error(
    archive: Path, tmp_path: Path
) -> None:
    words: list[str | Path] = ["--root", archive, "--out", tmp_path / "site"]
    ran = run("build", *words, "--base-url", "https://lab.example/tests/")

    assert (ran.status, ran.out) == (0, (tmp_path / "site/index.html").as_uri() + "\n")
    assert ran.err.startswith("2 tests, ")
    found = json.loads((tmp_path / "site" / NAME).read_bytes())
    assert found["options"]["base_url"] == "https://lab.example/tests/"


def test_strict_fails_where_a_complete_test_has_an_error(tmp_path: Path) -> None:
    root = write(tmp_path / "archive", changed({TEST: [["143.60", "173.60"]]}))
    words: list[str | Path] = ["--root", root, "--out", tmp_path / "site"]
    words.append("--without-history")

    lenient, strict = run("build", *words), run("build", *words, "--strict")

    assert (lenient.status, strict.status) == (0, 1)
    assert "buildsite check" in strict.err
    assert (tmp_path / "site/index.html").is_file()


@pytest.mark.parametrize(
    "hidden",
    [
        ("update-index", "--assume-unchanged", f"records/{TEST}"),
        ("update-index", "--skip-worktree", f"records/{TEST}"),
        ("config", "filter.x.clean", "sed s/8.65,/8.64,/"),
    ],
)
def test_records_that_git_is_told_to_pass_over_differ_all_the_same(
    tmp_path: Path, hidden: tuple[str, ...]
) -> None:
    root = tmp_path / "archive"
    root.mkdir()
    clone(root, sound())
    (root / ".git/info").mkdir(exist_ok=True)
    (root / ".git/info/attributes").write_text("records/** filter=x\n")
    git(root, *hidden)
    record = root / "records" / TEST
    record.write_bytes(record.read_bytes().replace(b": 8.64,", b": 8.65,"))
    assert git(root, "status", "--porcelain") == ""

    made = build(root, tmp_path / "site", Options(), 1)

    assert made.checkout.differs
