"""Who receives a report: nobody who has an earlier one is forgotten without a word."""

from pathlib import Path

import pytest

from tests.archives import sound
from tests.cli.running import Ran, run
from tests.clones import clone, git
from tests.issuing.clones import ATTRIBUTES, edit, issued, state

WHY = ("--authorized-by", "E02", "--reason", "first issue")
MASS = ("mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60")
OTHER = "Dune Works (invented)"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """The sound archive, and another customer's project with a test of its own."""
    files = dict(sound())
    for name in ("project", "samples/ML-S1", "tests/ML-101"):
        text = files[f"records/marsh-lane/{name}.yaml"].decode()
        text = text.replace("marsh-lane", "dune-road").replace("ML-", "DR-")
        files[f"records/dune-road/{name.replace('ML-', 'DR-')}.yaml"] = text.encode()
    project = files["records/dune-road/project.yaml"].decode()
    (line,) = [one for one in project.splitlines() if one.startswith("customer:")]
    project = project.replace(line, f"customer: {{name: {OTHER}}}")
    files["records/dune-road/project.yaml"] = project.encode()
    clone(tmp_path, {**files, ".gitattributes": ATTRIBUTES})
    git(tmp_path, "config", "user.name", "A")
    git(tmp_path, "config", "user.email", "a@lab.example")
    return tmp_path


def issue(root: Path, *words: str, on: str = "2026-03-13") -> Ran:
    return run("issue", *words, *WHY, "--on", on, "--root", root)


@pytest.mark.parametrize("again", [("--to", "B, engineer"), ()])
def test_who_has_the_earlier_report_is_not_forgotten(
    root: Path, again: tuple[str, ...]
) -> None:
    first = issue(root, "ML-101", "--to", "A customer", "--to", "B, engineer")
    edit(root, "marsh-lane/tests/ML-101.yaml", *MASS)

    ran = issue(root, "ML-101", *again, on="2026-03-20")

    assert "is not named" not in first.err
    assert ran.status == 0, ran.err
    left_out = [line for line in ran.err.splitlines() if "is not named" in line]
    assert "    warning: A customer received r0 and is not named with --to: " in ran.err
    assert ("B, engineer" in "".join(left_out)) == (again == ())


@pytest.mark.parametrize("sort", ["--withdraw", "--assess"])
def test_a_withdrawal_is_told_to_all_and_an_assessment_to_nobody(
    root: Path, sort: str
) -> None:
    issue(root, "ML-101", "--to", "A customer")
    edit(root, "marsh-lane/tests/ML-101.yaml", *MASS)
    issue(root, "ML-101", "--to", "B, engineer", on="2026-03-20")

    ran = issue(root, "ML-101", sort, *(["0"] * (sort == "--assess")), on="2026-03-21")

    told = [line for line in ran.err.splitlines() if "is not named" in line]
    assert len(told) == (2 if sort == "--withdraw" else 0)


def test_all_are_named_again_and_nothing_is_said(root: Path) -> None:
    issue(root, "ML-101", "--to", "A customer")
    edit(root, "marsh-lane/tests/ML-101.yaml", *MASS)

    ran = issue(root, "ML-101", "--to", "A customer", "--to", "C", on="2026-03-20")

    assert (ran.status, ran.out) == (0, "ML-101 r1\n"), ran.err
    assert "is not named" not in ran.err


def test_a_customer_of_another_project_is_named(root: Path) -> None:
    ran = issue(root, "ML-101", "--to", f"{OTHER}, resident engineer")

    assert ran.status == 0, ran.err
    wanted = f"    warning: {OTHER} is the customer of dune-road, not of marsh-lane"
    assert wanted in ran.err.splitlines()


def test_a_report_that_names_another_project_in_a_remark_says_so(root: Path) -> None:
    last = "out: 2026-03-11T07:55, temperature_c: 110}"
    remark = f"remarks: the soil of DR-101, for {OTHER}"
    edit(root, "marsh-lane/tests/ML-101.yaml", last, f"{last}\n{remark}")

    ran = issue(root, "ML-101")

    said = [line for line in ran.err.splitlines() if "of another project" in line]
    assert len(said) == 2
    assert "names dr-101 of another project, dune-road" in said[0]
    assert "names Dune Works of another project, dune-road" in said[1]
    assert "of another project" not in issue(root, "DR-101").err


def test_one_list_of_recipients_for_two_customers_is_refused(root: Path) -> None:
    before = state(root)

    ran = issue(root, "ML-101", "DR-101", "--to", "A customer")

    assert (ran.status, ran.out) == (1, "")
    assert "ML-101 of marsh-lane" in ran.err
    assert "DR-101 of dune-road" in ran.err
    assert state(root) == before
    assert issue(root, "ML-101", "DR-101").status == 0


def test_two_projects_of_one_customer_may_share_their_recipients(root: Path) -> None:
    text = (root / "records/marsh-lane/project.yaml").read_text("utf-8")
    (line,) = [one for one in text.splitlines() if one.startswith("customer:")]
    edit(root, "dune-road/project.yaml", f"customer: {{name: {OTHER}}}", line)

    ran = issue(root, "ML-101", "DR-101", "--to", "A customer")

    assert ran.status == 0, ran.err
    assert issued(root, "ML-101").items[0].issued_to == ("A customer",)
