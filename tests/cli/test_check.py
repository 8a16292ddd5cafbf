"""`check`: flags on standard output, a count on standard error, a status for CI."""

import json
from itertools import pairwise
from pathlib import Path

import pytest

from tests.archives import Files, changed, issued, sound
from tests.cli.running import run
from tests.clones import write

TEST = "marsh-lane/tests/ML-101.yaml"
DRY = {TEST: [["143.60", "173.60"]]}
"""Dry soil heavier than wet: an error."""

HOT = {TEST: [["temperature_c: 110", "temperature_c: 160"]]}
"""An oven too hot: a warning."""


def archive(root: Path, files: Files) -> Path:
    return write(root, files)


def test_a_sound_archive_says_nothing_and_counts(tmp_path: Path) -> None:
    ran = run("check", "--root", archive(tmp_path, sound()))

    assert (ran.status, ran.out) == (0, "")
    assert ran.err == "12 records: 0 errors, 0 warnings, 0 notes\n"


def test_an_error_of_a_complete_test_fails(tmp_path: Path) -> None:
    ran = run("check", "--root", archive(tmp_path, changed(DRY)))

    assert ran.status == 1
    lines = ran.out.splitlines()
    (i,) = (
        i for i, line in enumerate(lines) if line.endswith(": dry-heavier-than-wet")
    )
    assert lines[i].startswith(f"records/{TEST}:")
    assert " error: " in lines[i]
    assert lines[i + 1].startswith("    point 5, container_and_dry: found 173.60")
    assert lines[i + 2].startswith("    corrective action: ")
    assert "1 error," in ran.err


@pytest.mark.parametrize("status", ["in-progress", "withdrawn"])
def test_an_error_of_a_test_that_claims_nothing_does_not(
    tmp_path: Path, status: str
) -> None:
    change = [*DRY[TEST], ["status: complete", f"status: {status}"]]
    ran = run("check", "--root", archive(tmp_path, changed({TEST: change})))

    assert ran.status == 0
    assert "dry-heavier-than-wet" in ran.out


def test_a_warning_fails_only_where_it_is_asked_for(tmp_path: Path) -> None:
    root = archive(tmp_path, changed(HOT))

    assert run("check", "--root", root).status == 0
    ran = run("check", "--root", root, "--strict")
    assert ran.status == 1
    name = ran.out.splitlines()[0].rpartition(" ")[2]

    accepted = f"layers: 3\naccepted: [{{flag: {name}, by: E02, reason: known}}]"
    archive(tmp_path, changed({TEST: [*HOT[TEST], ["layers: 3", accepted]]}))
    ran = run("check", "--root", root, "--strict")
    assert ran.status == 0
    assert "accepted by E02: known" in ran.out
    assert "1 warning, 0 notes (1 accepted)" in ran.err


def test_an_unreadable_file_fails(tmp_path: Path) -> None:
    ran = run("check", "--root", archive(tmp_path, changed({TEST: "a: [1\n"})))

    assert ran.status == 1
    assert "yaml-syntax" in ran.out


def test_a_file_that_is_no_record_fails(tmp_path: Path) -> None:
    archive(tmp_path, sound())
    (tmp_path / "records/marsh-lane/tests/LINK.yaml").symlink_to("ML-101.yaml")

    ran = run("check", "--root", tmp_path)

    assert ran.status == 1
    assert "symbolic-link" in ran.out


def test_json_holds_json_alone(tmp_path: Path) -> None:
    ran = run("check", "--root", archive(tmp_path, changed(DRY)), "--format", "json")

    found = json.loads(ran.out)
    (flag,) = (one for one in found if one["severity"] == "error")
    assert flag["flag"] == "dry-heavier-than-wet"
    assert set(flag) >= {"message", "basis", "field", "file", "line"}
    assert ran.err.startswith("12 records")
    sound_one = run("check", "--root", archive(tmp_path, sound()), "--format", "json")
    assert json.loads(sound_one.out) == []


def test_github_gets_one_annotation_a_flag_on_one_line(tmp_path: Path) -> None:
    root = archive(tmp_path, changed(DRY))
    found = json.loads(run("check", "--root", root, "--format", "json").out)
    (place,) = (one for one in found if one["severity"] == "error")

    lines = run("check", "--root", root, "--format", "github").out.splitlines()

    assert len(lines) == len(found)
    (line,) = (each for each in lines if each.startswith("::error "))
    assert line.startswith(
        f"::error file=records/{TEST},line={place['line']},"
        f"col={place['column']},title=dry-heavier-than-wet::"
    )
    assert line.endswith(place["message"].replace("%", "%25"))


def test_what_would_end_an_annotation_is_escaped() -> None:
    # GitHub's workflow commands: % CR LF in data; , and : too in properties.
    from buildsite.cli.check import escaped

    assert escaped("5 %\r\nnext: a, b") == "5 %25%0D%0Anext: a, b"
    assert escaped("a:b,c%", ",:") == "a%3Ab%2Cc%25"


def test_only_what_was_named_is_checked(tmp_path: Path) -> None:
    root = archive(tmp_path, changed(DRY))
    other = root / "records/marsh-lane/tests/ML-102.yaml"

    ran = run("check", other)
    assert ran.status == 0
    assert ran.err.startswith("1 record:")
    assert run("check", root / "records/marsh-lane").status == 1
    assert run("check", root / "records/equipment").status == 0


def test_the_archive_is_found_from_where_one_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = archive(tmp_path, sound())
    for folder in (root, root / "records", root / "records/marsh-lane/tests"):
        monkeypatch.chdir(folder)
        assert run("check").status == 0
        assert run("check", ".").status == 0, folder


def test_wrong_usage_and_a_wrong_world_have_their_statuses(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = archive(tmp_path / "a", sound())
    empty = tmp_path / "b"
    empty.mkdir()
    monkeypatch.chdir(empty)

    assert run("check", "--format", "xml").status == 2
    assert run("check", root / "records/nothing.yaml").status == 2
    (root / "notes.txt").write_text("")
    assert run("check", root / "notes.txt").status == 2
    ran = run("check")
    assert ran.status == 3
    cause, remedy = ran.err.splitlines()
    assert "No archive here" in cause
    assert "--root" in remedy
    assert ran.out == ""


READ_AGAIN = {TEST: [["mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.66"]]}
ISSUED = ({"test": "marsh-lane/tests/ML-101"},)


@pytest.mark.parametrize("strict", [(), ("--strict",)])
def test_having_moved_since_an_issue_never_fails(
    tmp_path: Path, strict: tuple[str, ...]
) -> None:
    files = changed(READ_AGAIN, ISSUED)

    ran = run("check", *strict, "--root", archive(tmp_path, files))

    assert ran.status == 0
    assert ran.out.splitlines()[0].endswith("ML-101.yaml:1:1: error: moved-since-issue")


def test_what_a_newer_program_computes_otherwise_never_fails(tmp_path: Path) -> None:
    older = {"maximum_dry_density": "111.0 lb/ft3"}
    files = issued(sound(), "marsh-lane/tests/ML-101", {"results": older})

    ran = run("check", "--strict", "--root", archive(tmp_path, files))

    assert ran.status == 0
    assert "warning: moved-since-issue" in ran.out
    assert "buildsite issue ML-101 --assess 0" in ran.out


@pytest.mark.parametrize("status", ["complete", "in-progress"])
@pytest.mark.parametrize("name", ["ML-101.r0.html", "ML-101.r0.json"])
def test_a_kept_file_that_was_altered_fails(
    tmp_path: Path, name: str, status: str
) -> None:
    files = changed({TEST: [["status: complete", f"status: {status}"]]}, ISSUED)
    root = archive(tmp_path, files)
    (root / "records/marsh-lane/tests" / name).write_bytes(b"another")

    assert run("check", "--root", root).status == 1
    assert run("check", root / "records" / TEST, "--root", root).status == 1


def test_what_was_issued_of_no_test_fails(tmp_path: Path) -> None:
    root = archive(tmp_path, changed({}, ISSUED))
    (root / "records" / TEST).unlink()

    ran = run("check", "--root", root)

    assert ran.status == 1
    assert "error: issued-without-test" in ran.out


def due(root: Path, span: str, on: str, *more: str) -> list[str]:
    """Equipment that falls due, as `severity id`, in the order told."""
    ran = run("check", "--root", root, "--due", span, "--on", on, *more)
    assert ran.status == 0
    found = []
    for head, about in pairwise(ran.out.splitlines()):
        if head.endswith(": calibration-due"):
            found.append(f"{head.split(': ')[1]} {about.split('found ')[1].split()[0]}")
    return found


def test_what_falls_due_is_told_in_order(tmp_path: Path) -> None:
    root = archive(tmp_path, sound())

    # B-03 and B-11 on 12, R-02 on 13, M-04 on 14, O-01 and S-04 on 15 January 2027
    assert due(root, "30d", "2026-12-01") == []
    assert due(root, "6w", "2026-12-01") == ["note B-03", "note B-11"]
    assert due(root, "1m", "2026-12-14") == [
        "note B-03",
        "note B-11",
        "note R-02",
        "note M-04",
    ]
    assert due(root, "0d", "2027-01-13") == [
        "warning B-03",
        "warning B-11",
        "note R-02",
    ]
    records = str(root / "records/equipment/R-02.yaml")
    assert due(root, "30d", "2027-01-13", records) == ["note R-02"]


def test_what_was_never_calibrated_is_due_whatever_the_span(tmp_path: Path) -> None:
    sieve = "kind: sieve\nid: S-10\nopening: No. 10\n"
    root = archive(tmp_path, changed({"equipment/S-10.yaml": sieve}))

    assert due(root, "1d", "2026-01-01") == ["warning S-10"]


def test_what_falls_due_without_a_description_is_called_by_its_kind(
    tmp_path: Path,
) -> None:
    oven = "kind: oven\nid: O-07\n"
    root = archive(tmp_path, changed({"equipment/O-07.yaml": oven}))
    ran = run("check", "--root", root, "--due", "1d", "--on", "2026-01-01")

    assert "found O-07 (oven), " in ran.out
    assert "(—)" not in ran.out


def test_what_is_past_its_day_is_a_warning_to_strict_eyes(tmp_path: Path) -> None:
    root = archive(tmp_path, sound())
    words = ("check", "--root", root, "--strict", "--due", "30d", "--on")

    assert run(*words, "2027-01-12").status == 0
    assert run(*words, "2027-01-13").status == 1


def test_due_dates_are_written_for_programs_too(tmp_path: Path) -> None:
    root = archive(tmp_path, sound())

    words = ("--format", "json", "--due", "30d", "--on", "2026-12-15")
    flags = json.loads(run("check", "--root", root, *words).out)

    assert [one["file"] for one in flags] == [
        "records/equipment/B-03.yaml",
        "records/equipment/B-11.yaml",
        "records/equipment/R-02.yaml",
        "records/equipment/M-04.yaml",
    ]
    assert {one["severity"] for one in flags} == {"note"}


@pytest.mark.parametrize("words", [["--due", "a month"], ["--on", "2026-01-01"]])
def test_a_span_that_cannot_be_read_is_refused(
    tmp_path: Path, words: list[str]
) -> None:
    ran = run("check", "--root", archive(tmp_path, sound()), *words)

    assert ran.status == 2
    assert ran.out == ""
