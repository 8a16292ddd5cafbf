"""`enter` for samples, equipment, projects and the laboratory, as a person uses it."""

from collections.abc import Sequence
from pathlib import Path

from buildsite.record.source import read_source
from tests.cli.running import Ran, run
from tests.clones import git
from tests.entering.session import SEPARATE

DAY = "--on=2026-03-10"


def entered(lab: Path, what: Sequence[str], answers: Sequence[str], by: str) -> Ran:
    text = "".join(f"{answer}\n" for answer in answers)
    return run("enter", *what, "--by", by, DAY, "--root", lab, stdin=text.encode())


def test_a_sample_is_entered_and_committed_with_who(lab: Path) -> None:
    done = entered(lab, ["ML-S1", "keep"], ["2027-03-31"], "T07")

    assert done.status == 0
    assert git(lab, "log", "-1", "--format=%B") == (
        "ML-S1: enter retained until\n\nEntered-by: T07\nReason: particulars entered"
    )
    assert git(lab, "status", "--porcelain") == ""


def test_a_change_has_its_reason_in_the_trailers(lab: Path) -> None:
    path = lab / "records/equipment/M-04.yaml"
    before = read_source("x", path.read_bytes()).tree
    done = entered(lab, ["M-04"], ["4 in.", "read from its stamp"], "T07")

    assert done.status == 0, done.err
    assert git(lab, "log", "-1", "--format=%B").endswith(
        "Entered-by: T07\nReason: read from its stamp"
    )
    assert read_source("x", path.read_bytes()).tree == before | {"nominal": "4 in."}


def test_the_head_of_the_laboratory_alone_changes_the_staff_list(lab: Path) -> None:
    answers = ["technician", "1", "2026-03-01"]
    refused = entered(lab, ["lab", "T12"], answers, "T07")
    assert refused.status == 1
    assert "T07 has no authority to authorize" in refused.err
    assert git(lab, "log", "--format=%s") == "first"

    done = entered(lab, ["lab", "T12"], answers, "E02")
    assert done.status == 0, done.err
    tree = read_source("x", (lab / "records/lab.yaml").read_bytes()).tree
    assert tree["staff"]["T12"]["may"] == ["test"]


def test_who_is_not_on_the_staff_that_day_enters_no_sample(lab: Path) -> None:
    done = entered(lab, ["ML-S1"], ["x"], "X99")
    assert (done.status, "X99 is not a staff code" in done.err) == (1, True)


def test_particulars_of_a_test_are_asked_for_by_that_word(lab: Path) -> None:
    done = entered(lab, ["ML-102", "particulars"], ["", "", "99"], "T07")
    assert "Sample, now" in done.err
    assert done.status == 0

    one = entered(lab, ["ML-102", "remarks"], ["dark"], "T07")
    assert one.err.count("Remarks (") == 1
    assert b"remarks: dark" in (lab / SEPARATE).read_bytes()


def test_an_unknown_record_or_part_is_refused_with_what_there_is(lab: Path) -> None:
    nothing = entered(lab, ["ML-S9"], [], "T07")
    assert (nothing.status, "Did you mean ML-S" in nothing.err) == (2, True)

    part = entered(lab, ["ML-S1", "colour"], [], "T07")
    assert part.status == 1
    assert "There are: received, sampled, soil" in part.err
