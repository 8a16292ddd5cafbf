"""`show`: a record's result, from the archive, a revision, a path or standard input."""

import json
from pathlib import Path

import pytest

from tests.archives import changed, sound
from tests.cli.running import run
from tests.clones import clone, git, write
from tests.entering.session import REUSED, begun

TEST = "records/marsh-lane/tests/ML-101.yaml"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write(tmp_path / "archive", sound())


def test_a_test_is_shown_in_words(root: Path) -> None:
    ran = run("show", "ML-101", "--root", root)

    assert ran.status == 0
    assert ran.err == ""
    assert "Results\n" in ran.out
    assert "Maximum dry density" in ran.out


def test_a_test_without_readings_says_where_it_stands_and_what_is_next(
    root: Path,
) -> None:
    lines = "".join(
        "  - {mold_and_wet_soil: , container_mass: , container: }\n" for _ in range(5)
    )
    text = begun(0, REUSED).replace("points: []\n", f"points:\n{lines}")
    write(root, {REUSED: text.encode()})

    ran = run("show", "ML-101", "--root", root)

    assert ran.status == 0
    assert "In progress\n  Nothing read yet; next: Point 1," in ran.out
    assert "  Next step: buildsite enter ML-101\n" in ran.out
    assert "Points\n  No readings yet.\n" in ran.out
    # Five points lack two readings each: told once.
    assert ran.out.count("note: missing-reading") == 1
    assert "and 9 more of missing-reading" in ran.out


def test_json_is_the_envelope_alone(root: Path) -> None:
    ran = run("show", "ML-101", "--json", "--root", root)

    found = json.loads(ran.out)
    assert (ran.status, ran.err) == (0, "")
    assert found["id"] == "ML-101"
    assert found["software"]["name"] == "buildsite"
    assert len(found["software"]["fingerprint"]) == 64
    assert TEST in found["inputs"]
    assert run("show", "ML-101", "--json", "--root", root).out == ran.out


@pytest.mark.parametrize("id", ["lab", "marsh-lane", "ML-S1", "M-04", "O-01"])
def test_every_sort_of_record_may_be_shown(root: Path, id: str) -> None:
    assert run("show", id, "--root", root).status == 0
    assert json.loads(run("show", id, "--json", "--root", root).out)["format"] == 1


def test_a_complete_test_with_an_error_fails_and_is_shown(root: Path) -> None:
    write(root, changed({TEST.removeprefix("records/"): [["143.60", "173.60"]]}))

    ran = run("show", "ML-101", "--json", "--root", root)

    assert ran.status == 1
    assert json.loads(ran.out)["flags"]


def test_a_test_in_progress_with_an_error_does_not_fail(root: Path) -> None:
    change = [["143.60", "173.60"], ["status: complete", "status: in-progress"]]
    write(root, changed({TEST.removeprefix("records/"): change}))

    assert run("show", "ML-101", "--root", root).status == 0


def test_an_unknown_id_offers_the_nearest(root: Path) -> None:
    ran = run("show", "ML-1O1", "--root", root)

    assert ran.status == 2
    assert "Did you mean ML-101?" in ran.err
    assert ran.out == ""


def test_an_id_like_none_points_to_check(root: Path) -> None:
    assert "buildsite check" in run("show", "zzzzzz", "--root", root).err


@pytest.mark.parametrize("id", ["a" * 5000, f"HEAD:{'a' * 300}", "a/" * 3000])
def test_a_name_too_long_for_a_file_is_no_bug_of_ours(root: Path, id: str) -> None:
    ran = run("show", id, "--root", root)

    assert ran.status in (2, 3)
    assert "Internal error" not in ran.err


def test_an_unreadable_record_says_why_on_standard_error(root: Path) -> None:
    write(root, {TEST: b"a: [1\n"})

    ran = run("show", "ML-101", "--json", "--root", root)

    assert (ran.status, ran.out) == (1, "")
    assert "yaml-syntax" in ran.err


LONE = b"""\
kind: moisture-density
id: X-1
project: p
sample: s
standard: {designation: ASTM D698, method: A}
compacted: {on: 2026-03-10, by: T07}
status: complete
units: {density: kg/m3}
points:
  - {water_content: 10, dry_density: 1760}
  - {water_content: 12, dry_density: 1800}
  - {water_content: 14, dry_density: 1760}
"""
"""1800 - 10 (w - 12)²: its peak is 1800 kg/m³ at 12 %."""


def test_standard_input_is_computed_by_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)  # no archive here, and none is needed

    found = json.loads(run("show", "-", "--json", stdin=LONE).out)

    assert found["results"]["maximum_dry_density"]["value"] == pytest.approx(1800)
    assert "computed-alone" in {flag["flag"] for flag in found["flags"]}
    assert list(found["inputs"]) == ["standard input"]


def test_a_path_outside_is_computed_by_itself(tmp_path: Path, root: Path) -> None:
    lone = tmp_path / "X-1.yaml"
    lone.write_bytes(LONE)

    found = json.loads(run("show", lone, "--json").out)
    also = json.loads(run("show", lone, "--json", "--root", root).out)

    assert found["results"] == also["results"]
    assert "computed-alone" in {flag["flag"] for flag in also["flags"]}


def test_a_path_inside_is_computed_with_its_archive(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(root)

    by_path = run("show", TEST, "--json")

    assert by_path.status == 0
    assert by_path.out == run("show", "ML-101", "--json").out


@pytest.mark.parametrize(
    "name", ["lab.yaml", "marsh-lane/project.yaml", "equipment/M-04.yaml"]
)
def test_a_path_inside_may_be_of_any_record(root: Path, name: str) -> None:
    assert run("show", root / "records" / name).status == 0


def test_a_file_among_the_records_that_is_none_is_wrong_usage(root: Path) -> None:
    (root / "records/notes.txt").write_text("")

    assert run("show", root / "records/notes.txt").status == 2


def test_nothing_on_standard_input_is_a_fault_and_no_bug(tmp_path: Path) -> None:
    ran = run("show", "-", stdin=b"")

    assert ran.status == 1
    assert ran.err


def test_a_revision_before_the_id_shows_the_record_as_it_was(tmp_path: Path) -> None:
    first = clone(tmp_path, sound())
    before = json.loads(run("show", "ML-101", "--json", "--root", tmp_path).out)
    rejected = "143.60, rejected: {by: E02, reason: torn}"
    write(tmp_path, changed({TEST.removeprefix("records/"): [["143.60", rejected]]}))
    git(tmp_path, "commit", "--quiet", "--all", "--message=second")
    (tmp_path / TEST).write_bytes(b"broken: [")

    for revision in (first, "HEAD~1", "main~1"):
        ran = run("show", f"{revision}:ML-101", "--json", "--root", tmp_path)
        assert json.loads(ran.out) == before
    now = json.loads(run("show", "HEAD:ML-101", "--json", "--root", tmp_path).out)
    assert now["used"] != before["used"]


def test_an_unknown_revision_is_of_the_environment(tmp_path: Path) -> None:
    clone(tmp_path, sound())

    ran = run("show", "nonsense:ML-101", "--root", tmp_path)

    assert ran.status == 3
    assert len(ran.err.splitlines()) == 2
    assert run("show", "HEAD:ML-999", "--root", tmp_path).status == 2


def test_a_revision_of_what_is_no_clone_is_of_the_environment(root: Path) -> None:
    assert run("show", "HEAD:ML-101", "--root", root).status == 3


@pytest.mark.parametrize("json", [(), ("--json",)], ids=["text", "json"])
@pytest.mark.parametrize("folder", [False, True], ids=["a file", "a folder"])
def test_no_link_is_followed_out_of_the_archive(
    tmp_path: Path, json: tuple[str, ...], *, folder: bool
) -> None:
    root = write(tmp_path / "archive", sound())
    secret = write(tmp_path / "elsewhere", {"S.yaml": b"secret: word\n"})
    place = root / "records" / "marsh-lane" / "link"
    place.symlink_to(secret if folder else secret / "S.yaml")
    path = place / "S.yaml" if folder else place

    ran = run("show", path, *json)

    assert ran.status == 2
    assert "symbolic link" in ran.err
    assert "secret: " not in ran.out + ran.err
    assert "'secret'" not in ran.out + ran.err


def test_git_is_shown_nothing_behind_a_link(tmp_path: Path) -> None:
    root = write(tmp_path / "archive", sound())
    (tmp_path / "S.yaml").write_bytes(b"secret: word\n")
    (root / "records" / "link.yaml").symlink_to(tmp_path / "S.yaml")

    ran = run("show", "--textconv", root / "records" / "link.yaml", "--root", root)

    assert ran.out == "# not read: a symbolic link\n"


def test_an_archive_reached_through_a_link_is_shown(tmp_path: Path) -> None:
    write(tmp_path / "archive", sound())
    (tmp_path / "way").symlink_to(tmp_path / "archive")

    ran = run("show", tmp_path / "way" / "records/marsh-lane/tests/ML-101.yaml")

    assert ran.status == 0
    assert "AASHTO T 99" in ran.out
