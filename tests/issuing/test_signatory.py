"""A report says who authorized it, with the function of that day."""

from datetime import date
from pathlib import Path

import pytest

from buildsite.kinds.laboratory.lab import Laboratory, StaffMember, signatory
from tests.cli.running import run
from tests.issuing.clones import edit, kept, lab
from tests.issuing.test_issue import text_of

DAY = "2026-03-13"
WHY = ("--authorized-by", "E02", "--reason", "first issue", "--on", DAY)


def test_the_report_states_the_function_beside_the_code(tmp_path: Path) -> None:
    lab(tmp_path)

    assert run("issue", "ML-101", *WHY, "--root", tmp_path).status == 0

    assert "Authorized by E02, engineer Issued to" in text_of(
        kept(tmp_path, "ML-101", 0)
    )


def test_and_the_name_that_the_laboratory_prints(tmp_path: Path) -> None:
    lab(tmp_path)
    edit(
        tmp_path,
        "lab.yaml",
        "E02: {roles: [engineer],",
        "E02: {name: A. Berg, roles: [engineer, laboratory manager],",
    )

    assert run("issue", "ML-101", *WHY, "--root", tmp_path).status == 0

    said = "Authorized by A. Berg (E02), engineer, laboratory manager"
    assert said in text_of(kept(tmp_path, "ML-101", 0))


def test_a_new_function_changes_no_issued_test(tmp_path: Path) -> None:
    lab(tmp_path)
    at = ("--root", tmp_path)
    assert run("issue", "ML-101", *WHY, *at).status == 0
    edit(tmp_path, "lab.yaml", "roles: [engineer]", "roles: [director]")

    checked = run("check", "records/marsh-lane/tests/ML-101.yaml", *at)

    assert "warning: moved-since-issue" not in checked.out
    assert "error: moved-since-issue" not in checked.out


def test_the_page_keeps_the_function_of_then(tmp_path: Path) -> None:
    lab(tmp_path)
    at = ("--root", tmp_path)
    assert run("issue", "ML-101", *WHY, *at).status == 0
    edit(tmp_path, "lab.yaml", "roles: [engineer]", "roles: [director]")

    out = tmp_path / "site"
    assert run("build", "--out", out, "--jobs", "1", *at).status == 0

    page = text_of((out / "tests/ML-101/index.html").read_bytes())
    assert "Authorized by E02, engineer" in page
    assert "director" not in page


LABORATORY = Laboratory(
    kind="laboratory",
    name="Laboratory",
    place="Place",
    staff={
        "E02": StaffMember(
            roles=("engineer",),
            **{"from": date(2021, 1, 1)},
            until=date(2026, 6, 30),
        )
    },
)


@pytest.mark.parametrize(
    ("code", "on", "said"),
    [
        ("E02", date(2020, 12, 31), "E02"),
        ("E02", date(2021, 1, 1), "E02, engineer"),
        ("E02", date(2026, 6, 30), "E02, engineer"),
        ("E02", date(2026, 7, 1), "E02"),
        ("E99", date(2026, 1, 1), "E99"),
    ],
)
def test_a_function_holds_from_the_day_it_begins_to_the_day_it_ends(
    code: str, on: date, said: str
) -> None:
    assert signatory(LABORATORY, code, on) == said


def test_without_a_laboratory_the_code_stands_alone() -> None:
    assert signatory(None, "E02", date(2026, 1, 1)) == "E02"
