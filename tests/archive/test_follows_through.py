"""Field tests that rest on a curve through a family and the one-point on it."""

from datetime import date

import pytest

from buildsite.archive.compared_states import ComparedState
from buildsite.archive.follows import (
    follows_of_revisions,
    follows_of_states,
    resting_on,
)
from buildsite.archive.judged_again import (
    judged_again,
    judged_by_both,
    references_through,
    to_judge_again,
)
from buildsite.archive.today import tasks
from buildsite.kinds.follows import Follow
from tests.archives import Files, archive_of, issued, sound
from tests.issuing.test_judged_again import PROJECT, REQUIREMENT, sand_cone

TESTS = "records/marsh-lane/tests"
CURVE, POINT, FIELD = (f"{TESTS}/{id}.yaml" for id in ("ML-101", "ML-P0001", "ML-F001"))
HIGHER = (b"mold_and_wet_soil: 8.64", b"mold_and_wet_soil: 8.67")
"""The highest point of ML-101: its curve rises, and what the one-point leads to."""

# 3033 g in `sand_cone`: 3033/1613.80/1.12 · 62.428 = 104.76 lb/ft³, 94.63 % of the
# 110.7 lb/ft³ that the one-point leads to. That rounds to 95 until the maximum is above
# 104.76/0.945 = 110.85.
MASSES = {"ML-F001": 3033}
DAY = date(2026, 6, 1)


@pytest.fixture(scope="module")
def files() -> Files:
    """Three curves, a one-point on their family and a field test on it, all issued."""
    found = dict(sound(("family",)))
    found[f"records/{PROJECT}"] += REQUIREMENT.encode()
    found = dict(issued(found, "marsh-lane/tests/ML-P0001", {}))
    for id, mass in MASSES.items():
        text = sand_cone(id, mass).replace("reference: ML-101", "reference: ML-P0001")
        found[f"{TESTS}/{id}.yaml"] = text.encode()
        found = dict(issued(found, f"marsh-lane/tests/{id}", {}))
    return found


def higher(files: Files) -> Files:
    """The reading of the curve is corrected, and not issued."""
    return {**files, CURVE: files[CURVE].replace(*HIGHER)}


def again(files: Files, *tests: str) -> Files:
    """These tests are issued again."""
    for id in tests:
        files = issued(files, f"marsh-lane/tests/{id}", {"issued_on": "2026-06-10"})
    return files


def percent(files: Files) -> str:
    """Percent compaction of the field test, as its records give it."""
    made = archive_of(files).computed(FIELD)
    assert made is not None
    return made.results["percent_compaction"].reported


def before_the_commit(files: Files) -> tuple[Follow, ...]:
    """What `diff` lists: the record as corrected, against its last report."""
    archive = archive_of(files)
    issue, _ = archive.chain(CURVE)
    made = archive.computed(CURVE)
    assert issue is not None
    assert made is not None
    old = ComparedState("r0", item=issue.items[-1])
    return follows_of_states(archive, CURVE, old, ComparedState("now", outcome=made))


def test_it_rests_on_the_curve_through_the_one_point(files: Files) -> None:
    archive = archive_of(files)

    found = resting_on(archive, [CURVE])

    assert (found.judged, found.between) == ((FIELD,), (POINT,))
    (item,) = archive.chain(FIELD)[0].items  # type: ignore[union-attr]
    assert references_through(archive, item)[CURVE] == 0


def test_before_the_commit_it_is_as_after_every_issue(files: Files) -> None:
    edited = higher(files)
    done = again(edited, "ML-101", "ML-P0001")

    (one,) = before_the_commit(edited)

    assert one.id == "ML-F001"
    assert one.old_percent == percent(files) == percent(edited)
    assert one.new_percent == percent(done) != percent(files)
    assert one.verdicts == "pass → fail"
    (same,) = before_the_commit(files)
    assert same.percents == percent(files)


def test_two_reports_of_the_curve_are_compared_through_it(files: Files) -> None:
    done = again(higher(files), "ML-101", "ML-P0001", "ML-F001")
    archive = archive_of(done)

    (one,) = follows_of_revisions(archive, CURVE, 0, 1)
    (both,) = judged_by_both(archive, CURVE, 0, 1)
    (told,) = judged_again(archive, FIELD)

    assert (one.old_percent, one.new_percent) == (percent(files), percent(done))
    assert both.follow is not None
    assert both.follow.percents == one.percents
    assert both.after is not None
    assert told.why == "ML-101 r1 in place of r0; ML-P0001 r1 in place of r0"


def lists(files: Files, id: str) -> list[str]:
    return [one.list for one in tasks(archive_of(files), DAY) if one.id == id]


def test_it_is_judged_again_once_the_one_point_was_issued_again(files: Files) -> None:
    curve = again(higher(files), "ML-101")
    point = again(curve, "ML-P0001")

    assert lists(files, "ML-F001") == []
    assert lists(curve, "ML-P0001") == ["amendment"]
    assert lists(curve, "ML-F001") == []
    assert lists(point, "ML-P0001") == []
    assert lists(point, "ML-F001") == ["judge-again"]
    assert lists(again(point, "ML-F001"), "ML-F001") == []


def test_a_withdrawn_reference_leaves_no_verdict(files: Files) -> None:
    withdrawn = {"kind": "withdrawal", "results": {}, "issued_on": "2026-06-10"}
    gone = issued(files, "marsh-lane/tests/ML-P0001", withdrawn)

    waiting = to_judge_again(archive_of(gone), FIELD)

    assert waiting is not None
    assert waiting.why == "ML-P0001 r0 withdrawn"
    (task,) = (one for one in tasks(archive_of(gone), DAY) if one.id == "ML-F001")
    assert task.list == "judge-again"
    assert "pass → none" in task.what
