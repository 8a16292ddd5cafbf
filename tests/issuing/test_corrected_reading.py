"""A reading of an issued test is corrected with `enter`, and its report amended."""

from pathlib import Path

from tests.cli.running import Ran, run
from tests.clones import git
from tests.issuing.clones import issued, lab

ON = "--on=2026-03-20"


def enter(root: Path, by: str, *answers: str) -> Ran:
    lines = "".join(f"{answer}\n" for answer in answers)
    return run("enter", "ML-102", "--by", by, ON, "--root", root, stdin=lines.encode())


def test_what_enter_says_leads_to_the_amended_report(tmp_path: Path) -> None:
    root = lab(tmp_path)
    order = ("issue", "ML-102", "--authorized-by", "E02", ON, "--root", root)
    first = run(*order, "--reason", "first issue")
    assert first.status == 0, first.err

    done = enter(root, "T07", "p 2", "", "", "3941", "read the wrong line")
    assert git(root, "log", "-1", "--format=%B") == (
        "ML-102: point 2, mold and wet soil: 3939 to 3941 g\n\n"
        "Entered-by: T07\nReason: read the wrong line"
    )
    said = " ".join(done.err.split())
    assert "The issued report does not change: it must be amended." in said
    steps = ("buildsite enter ML-102", "buildsite review ML-102", "buildsite issue ML")
    places = [said.index(step) for step in steps]
    assert places == sorted(places)
    found = run("check", "--root", root)
    assert {"moved-since-issue", "edited-after-review"} <= set(found.out.split())

    assert "Entry checked by" in enter(root, "T04", "T04").err
    again = run("review", "ML-102", "--by", "E02", ON, "--root", root)
    assert again.status == 0, again.err
    amended = run(*order, "--reason", "point 2 was misread")
    assert amended.status == 0, amended.err
    assert "point 2, mold and wet soil: 3939 g → 3941 g" in amended.out + amended.err
    assert [str(one.revision) for one in issued(root, "ML-102").items] == ["0", "1"]


def test_a_correction_that_is_taken_back_needs_no_amendment(tmp_path: Path) -> None:
    root = lab(tmp_path)
    order = ("issue", "ML-102", "--authorized-by", "E02", ON, "--root", root)
    assert run(*order, "--reason", "first issue").status == 0
    enter(root, "T07", "p 2", "", "", "3941", "read the wrong line")
    enter(root, "T04", "T04")

    done = enter(root, "T07", "p 2", "", "", "3939", "the first one was right")
    enter_check = enter(root, "T04", "T04")
    assert "it must be amended" in done.err  # the check of the entry is still open
    assert "it must be amended" not in enter_check.err
