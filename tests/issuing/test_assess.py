"""Newer software that computes a report differently: assessed, and not unmade."""

from pathlib import Path

import pytest

from buildsite.kinds import reporting
from buildsite.record.issued import breaks
from tests.archives import ML_101_MAXIMUM
from tests.cli.running import Ran, run
from tests.clones import git
from tests.issuing.clones import TESTS, edit, in_commit, issued, lab

FIRST = ("--authorized-by", "E02", "--reason", "first issue", "--on", "2026-03-13")
WHY = ("--authorized-by", "E02", "--reason", "the difference is in the last place")
CHAIN = "marsh-lane/tests/ML-101.issued.yaml"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    lab(tmp_path)
    assert run("issue", "ML-101", *FIRST, "--root", tmp_path).status == 0
    return tmp_path


def assess(root: Path, *words: str) -> Ran:
    day = ("--on", "2026-05-01")
    return run("issue", "ML-101", "--assess", "0", *WHY, *day, *words, "--root", root)


@pytest.fixture
def coarser(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A program of another rounding, once the report was issued: whole units."""
    assert root
    monkeypatch.setattr(reporting, "rounded", lambda value, rule: f"{value:.0f}")


@pytest.mark.usefixtures("coarser")
def test_an_assessment_records_what_is_computed_now_and_why_the_report_stands(
    root: Path,
) -> None:
    ran = assess(root)

    assert (ran.status, ran.out) == (0, "ML-101 r1\n"), ran.err
    assert in_commit(root) == [f"M\t{TESTS}/ML-101.issued.yaml"]
    report, item = issued(root, "ML-101").items
    assert (item.kind, item.assesses, item.results) == ("assessment", 0, {})
    assert report.results["maximum_dry_density"] == f"{ML_101_MAXIMUM} lb/ft3"
    assert item.computed == {
        "maximum_dry_density": "108 lb/ft3",
        "optimum_water_content": "18 %",
    }
    assert (item.used, item.inputs) == (report.used, report.inputs)
    assert item.reason == "the difference is in the last place"
    assert [*breaks(issued(root, "ML-101").trees)] == []


@pytest.mark.usefixtures("coarser")
def test_the_inputs_are_those_of_the_revision_whatever_stands_now(root: Path) -> None:
    edit(root, "marsh-lane/tests/ML-101.yaml", "8.64", "8.60")
    edit(root, "equipment/M-04.yaml", "4052", "4060", commit=False)

    assert assess(root).status == 0

    report, item = issued(root, "ML-101").items
    assert item.inputs == report.inputs
    assert git(root, "status", "--porcelain") == "M records/equipment/M-04.yaml"


def test_a_report_that_computes_the_same_needs_no_assessment(root: Path) -> None:
    ran = assess(root)

    assert ran.status == 1
    assert "ML-101 r0: the results are as issued" in ran.err


def test_an_assessment_names_the_commit_that_broke_the_chain(root: Path) -> None:
    edit(root, CHAIN, '"first issue"', '"other words"')
    broke = git(root, "rev-parse", "HEAD")
    edit(root, CHAIN, '"other words"', '"first issue"')

    ran = assess(root, "--breaks", broke[:9])

    assert ran.status == 0, ran.err
    assert issued(root, "ML-101").items[1].breaks == broke


@pytest.mark.usefixtures("coarser")
def test_an_issued_file_that_is_not_committed_is_not_added_to(root: Path) -> None:
    path = root / "records" / CHAIN
    path.write_text(path.read_text("utf-8") + "# more\n", "utf-8")

    ran = assess(root)

    assert ran.status == 1
    assert "ML-101.issued.yaml differs from the last commit" in ran.err


@pytest.mark.usefixtures("coarser")
def test_an_assessment_is_no_report_to_amend(root: Path) -> None:
    assess(root)
    edit(root, "marsh-lane/tests/ML-101.yaml", "8.64", "8.60")

    again = ("--on", "2026-05-02", "--root", root)
    ran = run("issue", "ML-101", *WHY, *again)

    assert ran.status == 0, ran.err
    page = (root / TESTS / "ML-101.r2.html").read_text("utf-8")
    assert "amends report ML-101 r0 of 2026-03-13" in page


@pytest.mark.usefixtures("coarser")
def test_a_result_that_the_program_alone_moved_may_be_amended(root: Path) -> None:
    ran = run("issue", "ML-101", *WHY, "--on", "2026-05-02", "--root", root)

    assert ran.status == 0, ran.err
    page = (root / TESTS / "ML-101.r1.html").read_text("utf-8")
    assert (
        "earlier readings, computed by the current program: "
        "maximum dry density 108 lb/ft³, optimum moisture content 18 %"
    ) in page
