"""A curve whose zero air voids rest on an issued specific gravity, on real clones."""

import json
from pathlib import Path

import pytest

from buildsite.record.issued import item_digest
from tests.archives import sound
from tests.cli.running import Ran, run
from tests.clones import clone, git
from tests.issuing.clones import TESTS, edit, issued, kept

FIRST = ("--authorized-by", "E02", "--reason", "first issue")
CURVE, GRAVITY = "marsh-lane/tests/ML-101.yaml", "marsh-lane/tests/GS-1.yaml"
SAMPLE = "marsh-lane/samples/ML-S1.yaml"
STATED = "specific_gravity: {value: 2.69, basis: measured, water_temperature_c: 20}"
INPUT = f"{TESTS}/GS-1.issued.yaml"

# 0.14 g more of soil and water displace 0.14 g less: 18.51 g of 18.65 g, so that
# 2.692 becomes 2.71, and the mean of it and 2.688 becomes 2.70.
MISREAD = ("pycnometer_soil_and_water: 697.81", "pycnometer_soil_and_water: 697.95")


@pytest.fixture(params=["of the test", "of the sample"])
def root(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A clone whose curve names the specific gravity itself, or through its sample."""
    clone(tmp_path, sound(("specific-gravity",)))
    if request.param == "of the test":
        last = "out: 2026-03-11T07:55, temperature_c: 110}"
        edit(tmp_path, CURVE, last, f"{last}\nspecific_gravity: {{test: GS-1}}")
    else:
        # The trap: the test is of the very sample that names it.
        edit(tmp_path, GRAVITY, "sample: GS-S1", "sample: ML-S1")
        edit(tmp_path, SAMPLE, STATED, "specific_gravity: {test: GS-1}")
    return tmp_path


def issue(root: Path, *words: str, on: str = "2026-03-13") -> Ran:
    return run("issue", *words, "--on", on, "--root", root)


def show(root: Path, test: str = "ML-101") -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = json.loads(
        run("show", test, "--json", "--root", root).out
    )
    return found


def names(root: Path, test: str = "ML-101") -> set[str]:
    told = json.loads(run("check", "--format", "json", "--root", root).out)
    flags = told["flags"] if isinstance(told, dict) else told
    return {one["flag"] for one in flags if one["file"].endswith(f"/{test}.yaml")}


def stated(root: Path) -> str:
    return (root / "records" / SAMPLE).read_text("utf-8")


def gravity(root: Path) -> str:
    return str(show(root)["curve"]["specific_gravity"])


def test_before_its_report_the_record_is_asked_and_nothing_final_follows(
    root: Path,
) -> None:
    assert gravity(root) == "2.69"
    assert f"{TESTS}/GS-1.yaml" in show(root)["inputs"]
    assert "reference-not-issued" in names(root)
    assert "reference-cycle" not in names(root)

    refused = issue(root, "ML-101", *FIRST)

    assert refused.status == 1
    assert "uses GS-1" in refused.err
    assert "not issued" in refused.err
    assert issue(root, "ML-101", *FIRST, "--preliminary").status == 0
    assert run("verify", "--root", root).status == 0


def test_a_final_report_follows_a_preliminary_one_that_rested_on_the_record(
    root: Path,
) -> None:
    issue(root, "ML-101", *FIRST, "--preliminary")

    ran = issue(root, "ML-101", "GS-1", *FIRST, on="2026-03-14")

    assert ran.status == 0, ran.err
    first, last = issued(root, "ML-101").items
    assert f"{TESTS}/GS-1.yaml" in first.inputs
    assert f"{INPUT}#0" in last.inputs
    assert run("verify", "--root", root).status == 0
    assert "moved-since-issue" not in names(root)


def test_the_item_is_an_input_with_the_digest_of_the_whole_of_it(root: Path) -> None:
    assert issue(root, "GS-1", *FIRST).status == 0
    ran = issue(root, "ML-101", *FIRST)

    assert ran.status == 0, ran.err
    (item,) = issued(root, "ML-101").items
    whole = item_digest((root / INPUT).read_bytes(), "0")
    assert item.inputs[f"{INPUT}#0"] == whole
    assert f"{TESTS}/GS-1.yaml" not in item.inputs
    assert "reference-not-issued" not in names(root)
    assert run("verify", "--root", root).status == 0


def test_both_are_issued_by_one_command_in_their_order(root: Path) -> None:
    ran = issue(root, "ML-101", "GS-1", *FIRST)

    assert (ran.status, ran.out) == (0, "GS-1 r0\nML-101 r0\n"), ran.err
    (item,) = issued(root, "ML-101").items
    assert f"{INPUT}#0" in item.inputs
    assert run("verify", "--root", root).status == 0


def test_an_edit_of_the_record_moves_nothing_before_it_is_issued(root: Path) -> None:
    issue(root, "ML-101", "GS-1", *FIRST)

    edit(root, GRAVITY, *MISREAD)

    assert gravity(root) == "2.69"
    assert "moved-since-issue" not in names(root)
    assert "moved-since-issue" in names(root, "GS-1")
    found = json.loads(run("diff", "GS-1", "--json", "--root", root).out)
    assert "ML-101" in json.dumps(found)


def test_an_amended_specific_gravity_moves_the_curve_that_rests_on_it(
    root: Path,
) -> None:
    issue(root, "ML-101", "GS-1", *FIRST)
    edit(root, GRAVITY, *MISREAD)

    amended = issue(root, "GS-1", *FIRST[:2], "--reason", "misread", on="2026-03-20")

    assert amended.status == 0, amended.err
    assert gravity(root) == "2.7"
    assert "moved-since-issue" in names(root)
    assert run("verify", "--root", root).status == 0
    history = run("history", "ML-101", "--root", root).out
    assert "specific gravity" in history
    assert "2.69 → 2.70" in history
    again = issue(root, "ML-101", *FIRST[:2], "--reason", "follows", on="2026-03-21")
    assert again.status == 0, again.err
    item = issued(root, "ML-101").items[-1]
    assert f"{INPUT}#1" in item.inputs
    assert b"2.69 \xe2\x86\x92 2.70" in kept(root, "ML-101", 1)
    assert b"by GS-1" in kept(root, "ML-101", 1)
    assert run("verify", "--root", root).status == 0


def test_what_was_issued_is_computed_again_from_the_report_of_its_time(
    root: Path,
) -> None:
    issue(root, "ML-101", "GS-1", *FIRST)
    edit(root, GRAVITY, *MISREAD)
    issue(root, "GS-1", *FIRST[:2], "--reason", "misread", on="2026-03-20")

    found = run("diff", "ML-101", "--from", "r0", "--root", root)

    assert "2.69" in found.out
    assert "2.70" in found.out
    out = root.parent / "site"
    assert run("build", "--out", out, "--root", root, "--jobs", "1").status == 0
    page = (out / "tests/ML-101/index.html").read_text("utf-8")
    assert "2.69, measured" in page
    sample = (out / "samples/ML-S1/index.html").read_text("utf-8")
    assert ("2.70, measured, GS-1" in sample) == ("test: GS-1" in stated(root))
    first = (out / "tests/ML-101/r0/index.html").read_text("utf-8")
    assert 'href="../../../tests/GS-1/r0/index.html"' in first


def test_the_compare_page_says_which_report_was_used_and_what_it_states(
    root: Path,
) -> None:
    issue(root, "ML-101", "GS-1", *FIRST)
    edit(root, GRAVITY, *MISREAD)
    issue(root, "GS-1", *FIRST[:2], "--reason", "misread", on="2026-03-20")
    issue(root, "ML-101", *FIRST[:2], "--reason", "follows", on="2026-03-21")

    out = root.parent / "site"
    assert run("build", "--out", out, "--root", root, "--jobs", "1").status == 0

    page = (out / "tests/ML-101/compare/index.html").read_text("utf-8")
    assert "report used" in page.lower()
    assert "2.70" in page


def test_a_withdrawn_specific_gravity_gives_no_value_and_blocks(root: Path) -> None:
    issue(root, "ML-101", "GS-1", *FIRST)
    issue(root, "GS-1", "--withdraw", *FIRST[:2], "--reason", "air", on="2026-03-20")

    assert gravity(root) == "None"
    assert {"reference-withdrawn", "moved-since-issue"} <= names(root)
    refused = issue(root, "ML-101", *FIRST, on="2026-03-21")
    assert refused.status == 1
    assert "withdrawal" in refused.err


def test_a_preliminary_specific_gravity_is_used_and_blocks_a_final_report(
    root: Path,
) -> None:
    issue(root, "GS-1", *FIRST, "--preliminary")

    assert f"{INPUT}#0" in show(root)["inputs"]
    assert "reference-not-issued" in names(root)
    refused = issue(root, "ML-101", *FIRST)
    assert refused.status == 1
    assert "preliminary" in refused.err
    assert issue(root, "ML-101", *FIRST, "--preliminary").status == 0
    assert run("verify", "--root", root).status == 0


def test_an_altered_report_of_the_other_is_found_and_named(root: Path) -> None:
    issue(root, "ML-101", "GS-1", *FIRST)
    path = root / INPUT
    path.write_bytes(path.read_bytes().replace(b"first issue", b"other words"))
    git(root, "commit", "--quiet", "--all", "--message=alter")

    ran = run("verify", "--root", root)

    assert ran.status == 1
    assert "GS-1 r0" in ran.out + ran.err


@pytest.mark.parametrize("onto_work", [False, True])
def test_an_amendment_that_met_the_issue_in_a_merge_is_told(
    root: Path, onto_work: bool
) -> None:
    assert issue(root, "GS-1", *FIRST).status == 0
    git(root, "checkout", "--quiet", "-b", "work")
    assert issue(root, "ML-101", *FIRST).status == 0
    git(root, "checkout", "--quiet", "main")
    amend(root)
    first, other = ("work", "main") if onto_work else ("main", "work")
    git(root, "checkout", "--quiet", "-B", "merging", first)
    git(root, "merge", "--quiet", "--no-ff", "--no-edit", other)
    git(root, "checkout", "--quiet", "-B", "main")

    ran = run("verify", "--root", root)
    assert ran.status == 1
    assert "ML-101 r0: not issued from the records that the branch holds" in ran.out

    again = ("--authorized-by", "E02", "--reason", "GS-1 was amended")
    assert issue(root, "ML-101", *again).status == 0
    assert run("verify", "--root", root).status == 0


def test_an_amendment_after_the_issue_on_the_same_branch_is_no_matter(
    root: Path,
) -> None:
    git(root, "checkout", "--quiet", "-b", "work")
    assert issue(root, "GS-1", *FIRST).status == 0
    assert issue(root, "ML-101", *FIRST).status == 0
    amend(root)
    assert run("verify", "--root", root).status == 0
    assert run("verify", "--onto", "main", "--root", root).status == 0

    git(root, "checkout", "--quiet", "main")
    git(root, "merge", "--quiet", "--no-ff", "--no-edit", "work")
    assert run("verify", "--root", root).status == 0


def amend(root: Path) -> None:
    """Correct the specific gravity, and issue it again."""
    edit(root, GRAVITY, *MISREAD)
    ran = issue(root, "GS-1", "--authorized-by", "E02", "--reason", "misread")
    assert ran.status == 0, ran.err
