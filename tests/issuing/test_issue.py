"""`issue` on real clones: what is kept, in one commit, and what is refused."""

import json
import re
from hashlib import sha256
from pathlib import Path

import pytest

from buildsite.archive.dependents import in_order
from buildsite.archive.states import working_archive
from buildsite.issuing import planning
from buildsite.record.issued import breaks
from tests.cli.running import Ran, run
from tests.clones import git
from tests.issuing.clones import TESTS, edit, in_commit, issued, kept, lab, state

DAY = "2026-03-13"
FIRST = ("--authorized-by", "E02", "--reason", "first issue")
MASS = ("mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return lab(tmp_path)


def issue(root: Path, *words: str, on: str = DAY) -> Ran:
    return run("issue", *words, "--on", on, "--root", root)


def amend(root: Path, *, on: str = "2026-03-20") -> Ran:
    """Mend a misread mass, and issue again."""
    edit(root, "marsh-lane/tests/ML-101.yaml", *MASS)
    why = ("--authorized-by", "E02", "--reason", "Mass of point 3 was misread")
    return issue(root, "ML-101", *why, on=on)


def text_of(page: bytes) -> str:
    """Words of a page without its marks."""
    body = page.decode().partition("<body")[2].partition(">")[2]
    return " ".join(re.sub(r"<[^>]+>", " ", body).split())


def digest(data: bytes) -> str:
    return "sha256:" + sha256(data).hexdigest()


def test_an_issue_is_one_commit_of_item_report_and_result(root: Path) -> None:
    ran = issue(root, "ML-101", *FIRST, "--to", "A customer", "--to", "B, engineer")

    assert (ran.status, ran.out) == (0, "ML-101 r0\n"), ran.err
    assert in_commit(root) == [
        f"A\t{TESTS}/ML-101.issued.yaml",
        f"A\t{TESTS}/ML-101.r0.html",
        f"A\t{TESTS}/ML-101.r0.json",
    ]
    assert git(root, "log", "-1", "--format=%B").split("\n\n") == [
        "Issue ML-101 r0",
        "Issued: ML-101 r0\nAuthorized-by: E02\nReason: first issue",
    ]
    assert git(root, "status", "--porcelain") == ""


def test_an_item_names_contents_that_its_commit_holds(root: Path) -> None:
    issue(root, "ML-101", *FIRST, "--to", "A customer")

    (item,) = issued(root, "ML-101").items
    assert (item.kind, item.revision, str(item.issued_on)) == ("report", 0, DAY)
    assert item.issued_to == ("A customer",)
    for name, wanted in item.inputs.items():
        assert digest((root / name).read_bytes()) == wanted, name
    assert f"{TESTS}/ML-101.yaml" in item.inputs
    assert digest(kept(root, "ML-101", 0)) == item.report
    assert digest(kept(root, "ML-101", 0, "json")) == item.result
    assert item.content in text_of(kept(root, "ML-101", 0))
    shown = json.loads(run("show", "ML-101", "--json", "--root", root).out)
    assert item.used == shown["used"]
    assert item.results == {k: v["reported"] for k, v in shown["results"].items()}


def test_the_kept_result_is_the_public_one_with_its_revision(root: Path) -> None:
    issue(root, "ML-101", *FIRST)

    result = json.loads(kept(root, "ML-101", 0, "json"))
    shown = json.loads(run("show", "ML-101", "--json", "--root", root).out)
    assert (result.pop("revision"), result.pop("issued_as")) == (0, "report")
    assert result.pop("issued") == "2026-03-13"
    assert result | {"flags": []} == shown | {"flags": []}
    assert len(result["curve"]["line"]) >= 60
    first, last = result["curve"]["line"][0], result["curve"]["line"][-1]
    waters = [point["water_content"] for point in result["points"]]
    assert (first[0], last[0]) == (min(waters), max(waters))


def test_only_flags_that_the_report_prints_are_kept(root: Path) -> None:
    edit(root, "marsh-lane/tests/ML-101.yaml", "T04}\nentered", "X99}\nentered")
    edit(
        root,
        "marsh-lane/tests/ML-101.yaml",
        "oven: {in",
        "accepted: [{flag: nobody-raised-this, by: E02, reason: gone}]\noven: {in",
    )
    issue(root, "ML-101", *FIRST)

    flags = json.loads(kept(root, "ML-101", 0, "json"))["flags"]
    assert [flag["flag"] for flag in flags] == ["unknown-code"]
    page = text_of(kept(root, "ML-101", 0))
    assert "unknown-code" in page
    assert "nothing-to-accept" not in page  # a note, for the laboratory alone


def test_a_report_is_one_file_that_asks_for_nothing(root: Path) -> None:
    issue(root, "ML-101", *FIRST)

    page = kept(root, "ML-101", 0).decode()
    assert re.findall(r'\b(?:src|href)="(?!data:)[^"]*"', page) == []
    assert "<script" not in page
    assert " style=" not in page
    assert (
        'content: "ML-101 r0 · report code ' in page
    )  # at the foot of each printed page
    text = text_of(page.encode())
    assert "End of report ML-101 r0" in text
    assert "are invented" in text
    for kept_back in ("own copy", "Not for release", "Notes for the laboratory"):
        assert kept_back not in text


def test_the_same_state_is_issued_as_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
        assert issue(lab(tmp_path / name), "ML-101", *FIRST).status == 0

    for suffix in ("html", "json"):
        one, other = (
            kept(tmp_path / name, "ML-101", 0, suffix) for name in ("one", "other")
        )
        assert one == other


def test_an_amendment_says_what_it_amends_what_changed_why_and_whom_to_tell(
    root: Path,
) -> None:
    issue(root, "ML-101", *FIRST, "--to", "A customer")
    before, earlier = issued(root, "ML-101"), kept(root, "ML-101", 0)

    ran = amend(root)

    assert (ran.status, ran.out) == (0, "ML-101 r1\n"), ran.err
    after = issued(root, "ML-101")
    assert after.source.data.startswith(before.source.data)
    assert [*breaks(after.trees)] == []
    assert kept(root, "ML-101", 0) == earlier
    text = text_of(kept(root, "ML-101", 1))
    old, new = (one.results for one in after.items)
    assert old != new
    for said in (
        "Amended report: amends report ML-101 r0.",
        f"This report amends report ML-101 r0 of {DAY}",
        "Reason: Mass of point 3 was misread.",
        "point 3, mold and wet soil: 8.64 lb → 8.60 lb",
        "The earlier report was sent to: A customer.",
        f"Changed: {old['optimum_water_content']} in r0",
    ):
        assert said in text, said
    assert "8.64 lb → 8.60 lb" in ran.err


def test_a_changed_point_is_marked_and_no_other(root: Path) -> None:
    issue(root, "ML-101", *FIRST)
    amend(root)

    page = kept(root, "ML-101", 1).decode()
    assert re.findall(r'<tr class="is-changed"[^>]*data-point="(\d)"', page) == ["3"]


def test_an_amendment_tells_what_another_record_moved(root: Path) -> None:
    issue(root, "ML-101", *FIRST)
    edit(root, "marsh-lane/samples/ML-S1.yaml", "2.69", "2.71")

    issue(root, "ML-101", "--authorized-by", "E02", "--reason", "measured again")

    text = text_of(kept(root, "ML-101", 1))
    assert "sample ML-S1: specific gravity 2.69 → 2.71" in text


def test_a_new_colleague_is_no_amendment(root: Path) -> None:
    issue(root, "ML-101", *FIRST)
    edit(
        root, "lab.yaml", "  E02:", "  T99: {roles: [technician], may: [test]}\n  E02:"
    )

    ran = issue(root, "ML-101", *FIRST)

    assert ran.status == 1
    assert "nothing changed since ML-101 r0" in ran.err


def test_a_preliminary_waives_review_and_completion_and_a_final_follows_it(
    root: Path,
) -> None:
    record = "marsh-lane/tests/ML-101.yaml"
    edit(root, record, "reviewed: {on: 2026-03-12, by: E02}\nstatus: complete",
         "status: in-progress")  # fmt: skip

    refused = issue(root, "ML-101", *FIRST)
    early = issue(root, "ML-101", *FIRST, "--preliminary")
    edit(root, record, "in-progress", "complete")
    reviewed = run("review", "ML-101", "--by", "E02", "--on", DAY, "--root", root)
    final = issue(root, "ML-101", *FIRST)

    assert refused.status == 1
    assert "in progress" in refused.err
    assert "not reviewed: run `buildsite review ML-101 --by CODE` when it is" in (
        refused.err
    )
    assert (early.status, reviewed.status, final.status) == (0, 0, 0), final.err
    assert [item.kind for item in issued(root, "ML-101").items] == [
        "preliminary",
        "report",
    ]
    assert "Preliminary" in text_of(kept(root, "ML-101", 0))
    text = text_of(kept(root, "ML-101", 1))
    assert "Final report." in text
    assert "follows the preliminary report ML-101 r0" in text
    assert "amends" not in text.lower()


def test_a_withdrawal_sets_the_status_and_keeps_a_notice(root: Path) -> None:
    issue(root, "ML-101", *FIRST, "--to", "A customer")
    why = ("--authorized-by", "E02", "--reason", 'Soil of "another" pit')

    ran = issue(root, "ML-101", "--withdraw", *why, on="2026-03-15")

    assert (ran.status, ran.out) == (0, "ML-101 r1\n"), ran.err
    assert in_commit(root) == [
        f"M\t{TESTS}/ML-101.issued.yaml",
        f"A\t{TESTS}/ML-101.r1.html",
        f"M\t{TESTS}/ML-101.yaml",
    ]
    item = issued(root, "ML-101").items[1]
    assert (item.kind, item.results, item.result) == ("withdrawal", {}, None)
    name = f"{TESTS}/ML-101.yaml"
    assert item.inputs[name] == digest((root / name).read_bytes())
    text = text_of(kept(root, "ML-101", 1))
    assert f"Report ML-101 r0 of {DAY} is withdrawn" in text
    assert "sent to: A customer" in text
    checked = run("check", "--format", "json", "--root", root)
    assert json.loads(checked.out) == []


def test_a_withdrawal_needs_no_sound_record_and_leaves_other_work_alone(
    root: Path,
) -> None:
    issue(root, "ML-101", *FIRST)
    edit(root, "marsh-lane/tests/ML-101.yaml", "mold: M-04", "mold: M-99")
    edit(root, "equipment/B-11.yaml", "floor balance", "a balance", commit=False)

    ran = issue(root, "ML-101", "--withdraw", *FIRST)

    assert ran.status == 0, ran.err
    assert git(root, "status", "--porcelain") == "M records/equipment/B-11.yaml"


def test_after_a_withdrawal_a_new_report_names_both(root: Path) -> None:
    issue(root, "ML-101", *FIRST)
    issue(root, "ML-101", "--withdraw", *FIRST)
    record = root / TESTS / "ML-101.yaml"
    text = record.read_text("utf-8").replace("status: withdrawn", "status: complete")
    lines = [line for line in text.splitlines() if not line.startswith("withdrawn:")]
    record.write_text("\n".join(lines) + "\n", "utf-8")
    git(root, "commit", "--quiet", "--all", "--message=stands after all")

    ran = issue(root, "ML-101", *FIRST)

    assert ran.status == 0, ran.err
    said = text_of(kept(root, "ML-101", 2))
    assert "amends report ML-101 r0" in said
    assert "withdrawn by ML-101 r1" in said


def test_several_tests_are_one_commit(root: Path) -> None:
    ran = issue(root, "ML-102", "ML-101", *FIRST)

    assert ran.out.split("\n") == ["ML-101 r0", "ML-102 r0", ""]
    assert len(in_commit(root)) == 6
    assert "Issued: ML-101 r0, ML-102 r0" in git(root, "log", "-1", "--format=%B")


def test_one_that_may_not_be_issued_holds_back_all(root: Path) -> None:
    edit(
        root, "marsh-lane/tests/ML-102.yaml", "status: complete", "status: in-progress"
    )
    before = state(root)

    ran = issue(root, "ML-101", "ML-102", *FIRST)

    assert (ran.status, ran.out) == (1, "")
    # Every reading of it stands; only its status is to be set.
    assert (
        "ML-102 is still in progress. `buildsite enter ML-102` asks for what is blank, "
        "then whether the test is complete." in ran.err
    )
    assert state(root) == before


def test_an_issue_says_what_was_issued_where_it_is_kept_and_what_is_next(
    root: Path,
) -> None:
    ran = issue(root, "ML-101", *FIRST)

    # The result as reported is that of the kept result.
    kept = json.loads((root / TESTS / "ML-101.r0.json").read_text("utf-8"))
    reported = kept["results"]["optimum_water_content"]["reported"]
    assert f"ptimum moisture content: {reported}\n" in ran.err
    assert "    issued on 2026-03-13 by E02\n" in ran.err
    assert f"    kept: {TESTS}/ML-101.r0.html\n" in ran.err
    assert "Next: `git push`" in ran.err


def test_what_is_only_written_is_left_to_be_committed(root: Path) -> None:
    ran = issue(root, "ML-101", *FIRST, "--no-commit")

    assert "Next: commit these files, and nothing else with them." in ran.err


REFUSALS = {
    "no authority": (["--authorized-by", "T07"], "(authority: test from 2024-03-01)"),
    "nobody": (["--authorized-by", "X1"], "X1 is not a staff code"),
    "before their time": (
        ["--on", "2020-01-01"],
        "no authority to authorize on 2020-01-01",
    ),
    "before the review": (["--on", "2026-03-11"], "was reviewed on 2026-03-12"),
    "nothing to withdraw": (["--withdraw"], "no report was issued"),
    "nothing to assess": (["--assess", "0"], "r0 is not a report"),
}


@pytest.mark.parametrize("case", REFUSALS)
def test_what_may_not_be_is_refused_and_nothing_is_left(root: Path, case: str) -> None:
    words, said = REFUSALS[case]
    before = state(root)

    ran = run("issue", "ML-101", *FIRST, "--on", DAY, "--root", root, *words)

    assert (ran.status, ran.out) == (1, "")
    assert said in ran.err
    assert state(root) == before


@pytest.mark.parametrize(
    ("name", "was", "now"),
    [
        ("marsh-lane/tests/ML-101.yaml", "8.64", "8.60"),
        ("equipment/M-04.yaml", "4052", "4053"),
        ("lab.yaml", "oversize_least_percent: 5", "oversize_least_percent: 6"),
    ],
)
def test_an_input_that_is_not_committed_is_refused(
    root: Path, name: str, was: str, now: str
) -> None:
    path = root / "records" / name
    path.write_text(path.read_text("utf-8").replace(was, now, 1), "utf-8")
    assert git(root, "status", "--porcelain")

    ran = issue(root, "ML-101", *FIRST)

    assert ran.status == 1
    assert f"records/{name} differs from the last commit" in ran.err


def test_a_staged_input_is_refused_though_the_file_stands_as_committed(
    root: Path,
) -> None:
    record = root / TESTS / "ML-101.yaml"
    stood = record.read_bytes()
    record.write_bytes(stood.replace(b"8.64", b"8.60"))
    git(root, "add", "--all")
    record.write_bytes(stood)

    ran = issue(root, "ML-101", *FIRST)

    assert ran.status == 1
    assert "ML-101.yaml differs from the last commit" in ran.err


def test_an_error_is_named(root: Path) -> None:
    edit(root, "marsh-lane/tests/ML-101.yaml", "mold: M-04", "mold: M-99")

    ran = issue(root, "ML-101", *FIRST)

    assert ran.status == 1
    assert "error reference-to-nothing at" in ran.err


def test_an_issue_before_the_last_one_is_refused(root: Path) -> None:
    issue(root, "ML-101", *FIRST)

    ran = amend(root, on="2026-03-12")

    assert ran.status == 1
    assert f"ML-101 r0 was issued on {DAY}, after 2026-03-12" in ran.err


def test_nothing_follows_an_altered_item(root: Path) -> None:
    issue(root, "ML-101", *FIRST)
    edit(root, "marsh-lane/tests/ML-101.issued.yaml", '"first issue"', '"other words"')

    ran = amend(root)

    assert ran.status == 1
    assert "ML-101 r0: altered" in ran.err


def test_a_kept_file_that_no_item_names_is_not_overwritten(root: Path) -> None:
    (root / TESTS / "ML-101.r0.html").write_text("mine")
    before = state(root)

    ran = issue(root, "ML-101", *FIRST)

    assert ran.status == 1
    assert "ML-101.r0.html exists, but no item" in ran.err
    assert state(root) == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["ML-1O1", *FIRST], "Did you mean ML-101?"),
        (["ML-101", *FIRST, "--preliminary", "--withdraw"], "Give only one of"),
        (["ML-101", *FIRST, "--breaks", "HEAD"], "needs --assess"),
        (["ML-101", *FIRST, "--assess", "0", "--breaks", "nowhere"], "No commit"),
        (["ML-101", *FIRST, "--on", "13.3.2026"], "is not a date"),
        (["ML-101", *FIRST, "--on", "2999-01-01"], "is in the future"),
        (["ML-101", "--authorized-by", "E02", "--reason", " "], "is blank"),
        (["ML-101", "--reason", "first"], "Missing option '--authorized-by'"),
    ],
)
def test_wrong_usage(root: Path, words: list[str], said: str) -> None:
    ran = run("issue", *words, "--root", root)

    assert ran.status == 2
    assert said in ran.err


def test_without_commit_the_files_are_written_and_git_is_left_alone(root: Path) -> None:
    tip = git(root, "rev-parse", "HEAD")

    assert issue(root, "ML-101", *FIRST, "--no-commit").status == 0

    assert git(root, "rev-parse", "HEAD") == tip
    assert git(root, "status", "--porcelain").splitlines() == [
        f"?? {TESTS}/ML-101.issued.yaml",
        f"?? {TESTS}/ML-101.r0.html",
        f"?? {TESTS}/ML-101.r0.json",
    ]


@pytest.mark.parametrize(("answer", "status"), [(b"n\n", 1), (b"y\n", 0)])
def test_a_person_at_a_terminal_is_asked(
    root: Path, monkeypatch: pytest.MonkeyPatch, answer: bytes, status: int
) -> None:
    monkeypatch.setattr("buildsite.cli.issue.at_terminal", lambda: True)

    ran = run("issue", "ML-101", *FIRST, "--on", DAY, "--root", root, stdin=answer)

    assert ran.status == status
    assert "Issue this? [y/N]" in ran.err
    assert (root / TESTS / "ML-101.r0.html").exists() == (status == 0)


def rest_on(root: Path, test: str, other: str) -> None:
    """Let a test take its specific gravity from another."""
    line = f"specific_gravity: {{test: {other}}}\n"
    edit(root, f"marsh-lane/tests/{test}.yaml", "points:\n", f"{line}points:\n")


def test_a_test_that_rests_on_one_not_issued_waits_for_it(root: Path) -> None:
    rest_on(root, "ML-101", "ML-102")

    ran = issue(root, "ML-101", *FIRST)

    assert ran.status == 1
    assert "ML-101 uses ML-102, which is not issued" in ran.err


def test_a_test_that_rests_on_a_withdrawn_one_waits_too(root: Path) -> None:
    issue(root, "ML-102", *FIRST)
    issue(root, "ML-102", "--withdraw", *FIRST)
    rest_on(root, "ML-101", "ML-102")

    ran = issue(root, "ML-101", *FIRST)

    assert "ML-101 uses ML-102, which is issued as withdrawal" in ran.err


def test_tests_are_issued_after_those_they_rest_on(root: Path) -> None:
    rest_on(root, "ML-101", "ML-102")
    names = [f"{TESTS}/ML-101.yaml", f"{TESTS}/ML-102.yaml"]

    assert in_order(working_archive(root), names) == names[::-1]


def test_what_cannot_be_found_again_is_said(root: Path) -> None:
    issue(root, "ML-101", *FIRST)
    git(root, "checkout", "--quiet", "--orphan", "new")
    edit(root, "marsh-lane/tests/ML-101.yaml", *MASS, commit=False)
    git(root, "commit", "--quiet", "--all", "--message=history begins anew")

    ran = issue(root, "ML-101", *FIRST, on="2026-03-20")

    assert ran.status == 0, ran.err
    assert "compare the two reports" in text_of(kept(root, "ML-101", 1))


@pytest.mark.parametrize("no_commit", [(), ("--no-commit",)])
def test_a_report_that_could_run_something_is_not_kept(
    root: Path, monkeypatch: pytest.MonkeyPatch, no_commit: tuple[str, ...]
) -> None:
    page = b'<!doctype html><html lang="en"><script>alert(1)</script></html>'
    monkeypatch.setattr(planning, "report_page", lambda *about: page)
    before = state(root)

    ran = issue(root, "ML-101", *FIRST, *no_commit)

    assert ran.status == 1
    assert f"{TESTS}/ML-101.r0.html would hold what no kept report may" in ran.err
    assert "an element <script>" in ran.err
    assert state(root) == before
