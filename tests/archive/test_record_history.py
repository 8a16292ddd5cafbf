"""Which edit moved what: a record, a calibration, a specific gravity, a procedure."""

from collections.abc import Mapping
from decimal import Decimal
from functools import partial
from pathlib import Path

import pytest

from buildsite.archive.edits import Edit
from buildsite.archive.record_history import RecordHistory, timeline
from buildsite.archive.states import archive_at
from buildsite.history.walk import read_history
from buildsite.kinds.reporting import difference_of, result_text
from buildsite.kinds.sheet import Note
from buildsite.pages.revisions.history_page import history_sheet
from buildsite.record.issued import read_issued
from tests.archives import archive_of, issued, sound
from tests.clones import git
from tests.pasts import begun, edit, put

LAB = "records/lab.yaml"
MOLD = "records/equipment/M-04.yaml"
SAMPLE = "records/marsh-lane/samples/ML-S1.yaml"
TEST = "records/marsh-lane/tests/ML-101.yaml"


def with_text(file: str, was: str, now: str) -> str:
    """Text of a record with one change."""
    text = sound()[file].decode()
    assert text.count(was) == 1
    return text.replace(was, now)


def started(root: Path) -> Path:
    """Give a repository that holds the sound archive."""
    begun(root)
    lab = with_text(LAB, "  T07: {", "  T07: {emails: [t07@lab.example], ")
    edit(root, "ML-101: as read", {**sound(), LAB: lab})
    return root


def edits(root: Path, file: str = TEST) -> tuple[Edit, ...]:
    past = read_history(root)
    return timeline(past, file, lambda c, paths: archive_at(past, c, paths)).edits


def results(files: Mapping[str, bytes]) -> dict[str, str]:
    made = archive_of(files).outcome(TEST)
    assert made is not None
    return {name: result_text(result) for name, result in made.results.items()}


MISREAD = ("container_and_dry: 146.46", "container_and_dry: 146.06")


def test_a_reading_that_was_changed_and_what_it_did(tmp_path: Path) -> None:
    root = started(tmp_path)
    text = with_text(TEST, *MISREAD)
    message = "ML-101: read point 3 again\n\nEntered-by: T07\nReason: misread"
    edit(root, message, {TEST: text})

    last, first = edits(root)

    assert [(f.field, f.old, f.new, f.unit) for f in last.fields] == [
        ("points[2].container_and_dry", "146.46", "146.06", "g")
    ]
    old, new = results(sound()), results({**sound(), TEST: text.encode()})
    moved = {name for name in old if old[name] != new[name]}
    assert moved
    assert {(r.name, r.old, r.new) for r in last.results} == {
        (name, old[name], new[name]) for name in moved
    }
    for row in last.results:
        gap = Decimal(new[row.name].split()[0]) - Decimal(old[row.name].split()[0])
        assert Decimal(row.difference.split()[0].replace("−", "-")) == gap
    assert (last.who, last.reason, last.moved) == ("T07", "misread", True)
    assert first.placed == f"created: {TEST}"
    assert {(r.name, r.old, r.new) for r in first.results} == {
        (name, "", text) for name, text in old.items()
    }


@pytest.mark.parametrize(
    ("file", "was", "now", "field"),
    [
        (MOLD, "4052.5", "4062.5", "calibrations[0].water.full_with_plates"),
        (SAMPLE, "value: 2.69", "value: 2.75", "specific_gravity.value"),
        (LAB, "density: lb/ft3", "density: kg/m3", "procedures.report_density"),
        (LAB, "curve: auto", "curve: parabola", "procedures.curve"),
    ],
)
def test_a_value_of_another_record_moves_the_test(
    tmp_path: Path, file: str, was: str, now: str, field: str
) -> None:
    root = started(tmp_path)
    text = (root / file).read_text()
    assert text.count(was) == 1
    edit(root, "moved", {file: text.replace(was, now)})

    last = edits(root)[0]

    assert last.moved
    assert last.files == (file,)
    assert [(f.file, f.field) for f in last.fields] == [(file, field)]


def test_edits_that_move_no_value_are_folded_away(tmp_path: Path) -> None:
    root = started(tmp_path)
    lab = (root / LAB).read_text()
    colleague = "  T09: {roles: [technician], may: [test]}\nprocedures"
    edit(root, "a colleague", {LAB: lab.replace("procedures", colleague)})
    later = "  - {on: 2027-01-12, by: T04, state: as left, volume: 950, mass: 2001}\n"
    edit(root, "a later calibration", {MOLD: sound()[MOLD].decode() + later})
    edit(root, "a comment", {TEST: sound()[TEST].decode() + "# read\n"})
    edit(root, "of another test", {TEST.replace("101", "109"): b"kind: nothing\n"})

    found = edits(root)

    subjects = ["a comment", "a later calibration", "a colleague"]
    assert [edit.commit.subject for edit in found[:-1]] == subjects
    assert not any(edit.moved or edit.has_effect for edit in found[:-1])


def test_a_flag_that_came_and_went(tmp_path: Path) -> None:
    root = started(tmp_path)
    edit(root, "heavier dry", {TEST: with_text(TEST, "146.46", "176.46")})
    edit(root, "mended", {TEST: sound()[TEST]})

    mended, broken, _ = edits(root)

    assert "dry-heavier-than-wet" in {flag.flag for flag in broken.came}
    assert "dry-heavier-than-wet" in {flag.flag for flag in mended.went}
    assert not mended.came


def test_a_record_that_could_not_be_read_is_shown_as_text(tmp_path: Path) -> None:
    root = started(tmp_path)
    edit(root, "broken", {TEST: b"kind: [moisture-density\n"})
    edit(root, "mended", {TEST: sound()[TEST]})

    mended, broken, _ = edits(root)

    assert broken.text == "kind: [moisture-density\n"
    assert broken.unread.startswith("line ")
    assert all(row.new == "" and row.old for row in broken.results)
    assert (mended.unread, mended.text) == ("", "")
    assert mended.moved


def test_a_move_to_another_folder_keeps_the_past(tmp_path: Path) -> None:
    root = started(tmp_path)
    there = "records/marsh-lane/tests/2026/ML-101.yaml"
    edit(root, "moved", {TEST: None, there: sound()[TEST]})
    edit(root, "corrected", {there: with_text(TEST, *MISREAD)})

    corrected, moved, first = edits(root, there)

    assert moved.placed == f"moved from {TEST} to {there}"
    assert (moved.moved, moved.fields, moved.results) == (False, (), ())
    assert corrected.moved
    assert first.commit.subject == "ML-101: as read"
    assert [edit.commit.id for edit in edits(root, TEST)] == [
        edit.commit.id for edit in (corrected, moved, first)
    ]


def test_taken_away_and_brought_back(tmp_path: Path) -> None:
    root = started(tmp_path)
    edit(root, "gone", {TEST: None})
    edit(root, "of its mold", {MOLD: sound()[MOLD] + b"# x\n"})
    edit(root, "back", {TEST: sound()[TEST]})

    found = edits(root)

    assert [edit.commit.subject for edit in found] == [
        "back",
        "gone",
        "ML-101: as read",
    ]
    assert found[1].placed == f"removed: {TEST}"
    assert found[1].moved


def test_two_lines_that_come_together_to_what_neither_had(tmp_path: Path) -> None:
    root = started(tmp_path)
    git(root, "checkout", "--quiet", "-b", "molds")
    edit(root, "calibration", {MOLD: with_text(MOLD, "4052.5", "4062.5")})
    git(root, "checkout", "--quiet", "main")
    edit(root, "reading", {TEST: with_text(TEST, *MISREAD)})
    git(root, "merge", "--quiet", "--no-edit", "-m", "together", "molds")

    joined, *others = edits(root)

    assert joined.joins
    assert joined.moved
    assert (joined.files, joined.fields) == ((), ())
    assert sorted(edit.commit.subject for edit in others) == [
        "ML-101: as read",
        "calibration",
        "reading",
    ]


def test_a_merge_that_brings_one_line_is_no_edit_of_its_own(tmp_path: Path) -> None:
    root = started(tmp_path)
    git(root, "checkout", "--quiet", "-b", "work")
    edit(root, "reading", {TEST: with_text(TEST, *MISREAD)})
    git(root, "checkout", "--quiet", "main")
    git(root, "merge", "--quiet", "--no-ff", "-m", "merged", "work")

    assert [edit.commit.subject for edit in edits(root)] == [
        "reading",
        "ML-101: as read",
    ]


def test_a_change_inside_a_merge_is_an_edit(tmp_path: Path) -> None:
    root = started(tmp_path)
    git(root, "checkout", "--quiet", "-b", "work")
    edit(root, "reading", {TEST: with_text(TEST, *MISREAD)})
    git(root, "checkout", "--quiet", "main")
    git(root, "merge", "--quiet", "--no-ff", "--no-commit", "work")
    put(root, {TEST: with_text(TEST, "146.46", "146.26")})
    edit(root, "merged by hand", {})

    merged, *_ = edits(root)

    assert [(f.field, f.old, f.new) for f in merged.fields] == [
        ("points[2].container_and_dry", "146.46", "146.26")
    ]


def test_nobody_is_named_and_no_address_shown(tmp_path: Path) -> None:
    root = started(tmp_path)
    message = "see x@y.example\n\nwhy \x1b[2J\nSigned-off-by: Ann Other <ann@z.example>"
    edit(root, message, {TEST: with_text(TEST, *MISREAD)}, email="ann@z.example")
    lab = (root / LAB).read_text()
    more = lab.replace("t07@lab.example", "ann@z.example").replace("auto", "parabola")
    edit(root, "addresses", {LAB: more}, email="T07@lab.example")

    addresses, last, _ = edits(root)

    assert last.who == "T07"  # the newest lab.yaml knows the address
    assert last.reason == "see (address)\n\nwhy \ufffd[2J"
    assert addresses.who == "not on the staff list"
    everything = "".join(repr((e.fields, e.reason, e.who)) for e in edits(root))
    assert "z.example" not in everything
    assert "lab.example" not in everything


def test_a_trailer_names_who_entered_it(tmp_path: Path) -> None:
    root = started(tmp_path)
    one = with_text(TEST, *MISREAD)
    edit(root, "a\n\nEntered-by: T04", {TEST: one}, email="t07@lab.example")
    edit(root, "b\n\nEntered-by: X99", {TEST: sound()[TEST]})
    edit(root, "c\n\nEntered-by: T04", {TEST: one})

    assert [edit.who for edit in edits(root)[:3]] == [
        "T04",
        "not on the staff list",
        "T04, committed by T07",
    ]


def test_edits_of_other_records(tmp_path: Path) -> None:
    root = started(tmp_path)
    edit(root, "calibration", {MOLD: with_text(MOLD, "4052.5", "4062.5")})
    edit(root, "reading", {TEST: with_text(TEST, *MISREAD)})
    past = read_history(root)

    found = [*RecordHistory(past, partial(archive_at, past)).edits(MOLD)]

    assert [edit.commit.subject for edit in found] == ["calibration", "ML-101: as read"]
    assert [(f.old, f.new, f.unit) for f in found[0].fields] == [
        ("4052.5", "4062.5", "g")
    ]


def test_one_lookback_serves_all_tests_alike(tmp_path: Path) -> None:
    root = started(tmp_path)
    edit(root, "reading", {TEST: with_text(TEST, *MISREAD)})
    past = read_history(root)
    other = TEST.replace("101", "102")
    look = RecordHistory(past, lambda commit, paths: archive_at(past, commit, paths))

    together = [look.timeline(file).edits for file in (TEST, other, TEST)]

    assert together == [edits(root, file) for file in (TEST, other, TEST)]


def test_the_page_tells_revisions_and_edits_newest_first(tmp_path: Path) -> None:
    root = started(tmp_path)
    files = issued(sound(), "marsh-lane/tests/ML-101", {"issued_to": ["the customer"]})
    new = {name: data for name, data in files.items() if name not in sound()}
    edit(root, "Issue ML-101 r0", new)
    text = with_text(TEST, *MISREAD)
    edit(root, "ML-101: read point 3 again", {TEST: text})
    edit(root, "a comment", {TEST: text + "# x\n"})
    past = read_history(root)
    name = TEST.replace(".yaml", ".issued.yaml")
    chain, flags = read_issued(name, files[name])
    assert not flags

    line = timeline(past, TEST, lambda commit, paths: archive_at(past, commit, paths))
    sheet = history_sheet(line, chain)

    assert [block.title for block in sheet.blocks] == [
        "2026-03-13: ML-101: read point 3 again",
        "2026-03-13: report ML-101 r0 issued",
        "2026-03-13: ML-101: as read",
        "1 other edit, without effect on the results",
    ]
    note = sheet.blocks[0]
    assert isinstance(note, Note)
    # 100 · (146.06 − 146.46)/146.46 = −0.27 %; the maximum before: ML_101_MAXIMUM.
    assert note.paragraphs[0].startswith("Maximum dry density: 108.1 → ")
    assert "Point 3, container and dry: 146.46 → 146.06 g (−0.3 %)." in note.paragraphs
    assert note.paragraphs[-1].startswith("Edited by ")


def test_a_difference_keeps_its_sign_and_unit() -> None:
    assert difference_of("121.9 lb/ft3", "121.4 lb/ft3") == "−0.5 lb/ft³"
    assert difference_of("12 %", "13.5 %") == "+1.5 %"
    assert difference_of("moist", "dry") == ""
