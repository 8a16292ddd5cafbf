"""Verdicts that rest on an amended test, by both states of it, on real clones."""

import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from buildsite.archive.follows import follows_of_revisions, resting_on
from buildsite.kinds import kind_named
from buildsite.kinds.follows import Follow, flips_first
from tests.archives import archive_of, sound
from tests.cli.running import Ran, run
from tests.clones import clone
from tests.issuing.clones import TESTS, edit

FIRST = ("--authorized-by", "E02", "--reason", "first issue")
CURVE, GRAVITY = "marsh-lane/tests/ML-101.yaml", "marsh-lane/tests/GS-1.yaml"
END = "out: 2026-03-11T07:55, temperature_c: 110}"

# 0.14 g more of soil and water displace 0.14 g less: 18.51 g of 18.65 g, so that
# 2.692 becomes 2.71, and the mean of it and 2.688 becomes 2.70.
MISREAD = ("pycnometer_soil_and_water: 697.81", "pycnometer_soil_and_water: 697.95")
LEAST = 2.70


def judged(old: Mapping[str, Any], new: Mapping[str, Any]) -> Follow:
    """A verdict on what a curve was given: its specific gravity is to be 2.70."""
    texts = [str(one["curve"]["specific_gravity"]) for one in (old, new)]
    verdicts = ["pass" if float(text) >= LEAST else "fail" for text in texts]
    return Follow(str(old["id"]), "", *texts, *verdicts)


def with_verdicts(name: str) -> Any:
    """The kind of that name; a compaction test as if it gave a verdict."""
    found = kind_named(name)
    if name != "moisture-density":
        return found
    assert found is not None
    return replace(found, follows=judged)


@pytest.fixture(autouse=True)
def _verdicts(monkeypatch: pytest.MonkeyPatch) -> None:
    for where in ("identity", "judged_again"):
        monkeypatch.setattr(f"buildsite.archive.{where}.kind_named", with_verdicts)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A clone whose curve names a specific gravity, both issued."""
    clone(tmp_path, sound(("specific-gravity",)))
    edit(tmp_path, CURVE, END, f"{END}\nspecific_gravity: {{test: GS-1}}")
    assert issue(tmp_path, "ML-101", "GS-1", *FIRST).status == 0
    return tmp_path


def issue(root: Path, *words: str, on: str = "2026-03-13") -> Ran:
    return run("issue", *words, "--on", on, "--root", root)


def diff(root: Path, *words: str) -> Any:
    return json.loads(run("diff", "GS-1", *words, "--json", "--root", root).out)[0]


TURNED = {
    "test": "ML-101",
    "place": None,
    "flipped": True,
    "percent_compaction": {"old": "2.69", "new": "2.7"},
    "verdict": {"old": "fail", "new": "pass"},
    "uncounted": None,
}


def test_a_verdict_is_compared_before_the_commit(root: Path) -> None:
    edit(root, GRAVITY, *MISREAD, commit=False)

    assert diff(root)["field_tests"] == [TURNED]
    words = "Field tests that rest on this: 1 test, 1 verdict changes"
    text = run("diff", "GS-1", "--root", root).out
    assert words in text
    assert "ML-101" in text.partition(words)[2]
    assert "fail → pass" in text.partition(words)[2]
    assert words in run("diff", "--format", "markdown", "--root", root).out


def test_a_reference_that_is_as_issued_turns_no_verdict(root: Path) -> None:
    told = diff(root)["field_tests"]

    assert [one["verdict"] for one in told] == [{"old": "fail", "new": "fail"}]


def test_a_verdict_is_told_before_the_issue_that_turns_it(root: Path) -> None:
    edit(root, GRAVITY, *MISREAD)

    ran = issue(root, "GS-1", *FIRST[:2], "--reason", "misread", on="2026-03-20")

    assert ran.status == 0, ran.err
    told, done = ran.err.index("1 verdict changes"), ran.err.index("    issued on")
    assert told < done
    assert "ML-101" in ran.err[told:done]


def test_a_first_issue_that_turns_nothing_says_nothing(tmp_path: Path) -> None:
    clone(tmp_path, sound(("specific-gravity",)))
    edit(tmp_path, CURVE, END, f"{END}\nspecific_gravity: {{test: GS-1}}")

    assert "Field tests" not in issue(tmp_path, "GS-1", *FIRST).err


def test_two_revisions_are_compared_by_their_reports(root: Path) -> None:
    edit(root, GRAVITY, *MISREAD)
    issue(root, "GS-1", *FIRST[:2], "--reason", "misread", on="2026-03-20")
    edit(root, GRAVITY, *MISREAD[::-1])
    names = [
        path for path in root.rglob("*") if path.is_file() and ".git" not in path.parts
    ]
    files = {path.relative_to(root).as_posix(): path.read_bytes() for path in names}

    (one,) = follows_of_revisions(archive_of(files), f"{TESTS}/GS-1.yaml", 0, 1)

    assert (one.verdicts, one.percents) == ("fail → pass", "2.69 → 2.7")
    assert diff(root, "--from", "r0", "--to", "r1")["field_tests"] == [TURNED]


def test_a_verdict_rests_on_no_other_verdict() -> None:
    archive = archive_of(sound(("specific-gravity",)))

    assert resting_on(archive, [f"{TESTS}/ML-101.yaml"]).judged == ()


def test_flips_come_first_then_ids() -> None:
    kept = Follow("A", "", "95 %", "96 %", "pass", "pass")
    turned = [Follow(id, "", "94 %", "95 %", "fail", "pass") for id in ("C", "B")]

    assert [one.id for one in flips_first([kept, *turned])] == ["B", "C", "A"]


def amended(root: Path) -> Path:
    """The reference is issued again, with the corrected reading."""
    edit(root, GRAVITY, *MISREAD)
    assert issue(root, "GS-1", *FIRST[:2], "--reason", "misread", on="2026-03-20")
    return root


def to_judge(root: Path) -> list[tuple[str, str, str]]:
    told = json.loads(run("today", "--json", "--root", root).out)["tasks"]
    return [
        (one["list"], one["what"], one["step"]) for one in told if one["id"] == "ML-101"
    ]


def test_what_was_judged_by_an_earlier_report_is_to_be_judged_again(root: Path) -> None:
    assert to_judge(root) == []

    amended(root)

    assert to_judge(root) == [
        (
            "judge-again",
            "GS-1 r1 in place of r0: fail → pass, 2.69 → 2.7",
            "buildsite issue ML-101 --authorized-by CODE --reason TEXT",
        )
    ]
    issue(root, "ML-101", *FIRST[:2], "--reason", "follows", on="2026-03-21")
    assert to_judge(root) == []


def test_the_compare_page_lists_the_verdicts_by_both_reports(root: Path) -> None:
    amended(root)

    def row() -> str:
        out = root.parent / "site"
        words = ("--out", out, "--root", root, "--jobs", "1")
        assert run("build", *words).status == 0
        page = (out / "tests/GS-1/compare/index.html").read_text("utf-8")
        assert "Field tests that rest on this: 1 test, 1 verdict changes" in page
        return page.partition("Field tests that rest on this")[2].partition("</table>")[
            0
        ]

    waiting = row()
    assert "fail → pass" in waiting
    assert "r0, not judged again yet" in waiting
    issue(root, "ML-101", *FIRST[:2], "--reason", "follows", on="2026-03-21")
    assert "r0, judged again in r1" in row()


def test_the_history_tells_the_edit_that_turned_a_failure(tmp_path: Path) -> None:
    clone(tmp_path, sound(("specific-gravity",)))
    stated = "specific_gravity: {value: 2.69, basis: measured}"
    edit(tmp_path, CURVE, END, f"{END}\n{stated}")
    edit(tmp_path, CURVE, "value: 2.69", "value: 2.72")

    first = json.loads(run("history", "ML-101", "--json", "--root", tmp_path).out)
    told = [one["verdict"] for one in first["edits"] if one["verdict"]]

    assert told[0]["verdict"] == {"old": "fail", "new": "pass"}
    text = run("history", "ML-101", "--root", tmp_path).out
    assert "→ verdict: fail → pass, 2.69 → 2.72" in text
    out = tmp_path.parent / "site"
    assert run("build", "--out", out, "--root", tmp_path, "--jobs", "1").status == 0
    page = (out / "tests/ML-101/history/index.html").read_text("utf-8")
    assert "A failure that is none after this edit: fail → pass, 2.69 → 2.72." in page
