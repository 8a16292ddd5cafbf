"""
A laboratory confirms a cell with its own copy of the standard.

The cell confirmed here is the number of layers of AASHTO T 99, which the row has from
memory. What the tests rest on is the status, not the number: where it changes, another
unchecked cell takes its place.
"""

from pathlib import Path

import pytest

from buildsite.archive.amendments import amendment
from buildsite.archive.drift import MOVED
from buildsite.kinds.outcome import Outcome
from buildsite.record.flags import Flag, Severity
from buildsite.standards.cells import UNCHECKED, UNCHECKED_MARK
from buildsite.standards.confirmed import unchecked
from buildsite.standards.tables import find
from tests.archives import Files, archive_of, changed, issued
from tests.cli.running import run
from tests.clones import clone, git
from tests.issuing.test_issue import text_of

TEST = "marsh-lane/tests/ML-101"
FILE = f"records/{TEST}.yaml"
END = "reviewer_may_be_tester: no}"
SAID = (
    'confirmed: [{standard: T 99, cell: Layers, value: "3", edition: "22", '
    'clause: "5.2", on: 2026-03-02, by: E02}]'
)
CONFIRMED = {"lab.yaml": [[END, f"{END}\n{SAID}"]]}
LAYERS = {f"{TEST}.yaml": [["layers: 3", "layers: 4"]]}
ASKED = "accepted: [{flag: layers-unlike-method, by: E02, reason: Asked}]"
ACCEPTED = {f"{TEST}.yaml": [["layers: 3", f"layers: 4\n{ASKED}"]]}


def outcome(files: Files) -> Outcome:
    made = archive_of(files).outcome(FILE)
    assert made is not None
    return made


def layers(files: Files) -> Flag:
    (flag,) = (f for f in outcome(files).flags if f.flag == "layers-unlike-method")
    return flag


def test_the_cell_used_here_is_not_yet_checked() -> None:
    assert "layers" in unchecked("AASHTO T 99")


def test_its_source_is_the_copy_that_was_read() -> None:
    before, after = layers(changed(LAYERS)), layers(changed({**LAYERS, **CONFIRMED}))

    assert before.basis == f"AASHTO T 99 ({UNCHECKED})"
    assert after.basis == "AASHTO T 99-22, clause 5.2"
    assert (after.found, after.expected) == (before.found, before.expected)


def test_no_other_cell_is_confirmed_by_it() -> None:
    made = outcome(changed(CONFIRMED))
    base = find("AASHTO T 99", "A", "none", "22")

    assert made.case.method is not None
    assert base is not None
    moved = [
        name for name, cell in made.case.method.cells.items() if cell != base.cell(name)
    ]
    assert moved == ["layers"]


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ('value: "3"', 'value: "5"'),  # the copy has another number
        ("by: E02", "by: T07"),  # may only test
        ("on: 2026-03-02", "on: 2019-03-02"),  # before the authority began
        ("standard: T 99", "standard: T 180"),
        ("cell: Layers", "method: D, cell: Layers"),  # the test is by method A
    ],
)
def test_what_does_not_hold_confirms_nothing(was: str, now: str) -> None:
    assert SAID.count(was) == 1
    lab = {"lab.yaml": [[END, f"{END}\n{SAID.replace(was, now)}"]]}

    assert UNCHECKED in layers(changed({**LAYERS, **lab})).basis


def test_to_confirm_a_cell_moves_no_issued_test() -> None:
    before = issued(changed(LAYERS), TEST, {})
    text = before["records/lab.yaml"].replace(END.encode(), f"{END}\n{SAID}".encode())

    after = archive_of({**before, "records/lab.yaml": text})

    (flag,) = (flag for flag in after.flags(FILE) if flag.flag == MOVED.flag)
    assert flag.severity is Severity.NOTE
    assert "changes in records/lab.yaml, none in a value used" in flag.found


def test_an_amended_report_does_not_tell_it_as_a_change() -> None:
    files = issued(changed(LAYERS), TEST, {})
    chain, _ = archive_of(files).chain(FILE)
    assert chain is not None
    old, new = outcome(changed(LAYERS)), outcome(changed({**LAYERS, **CONFIRMED}))

    assert amendment(chain, chain.items[0], old, new).values == ()


WHY = ("--authorized-by", "E02", "--reason", "first issue", "--on", "2026-03-13")


def archive(root: Path, files: Files) -> Path:
    git_files = {**files, ".gitattributes": b"records/**/*.html -text\n"}
    clone(root, git_files)
    git(root, "config", "user.name", "A")
    git(root, "config", "user.email", "a@lab.example")
    return root


def report(root: Path) -> str:
    assert run("issue", "ML-101", *WHY, "--root", root).status == 0
    return text_of((root / f"records/{TEST}.r0.html").read_bytes())


def test_a_report_says_unchecked_only_of_what_nobody_confirmed(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    (tmp_path / "other").mkdir()

    without = report(archive(tmp_path / "one", changed(ACCEPTED)))
    confirmed = report(archive(tmp_path / "other", changed({**ACCEPTED, **CONFIRMED})))

    assert f"(AASHTO T 99{UNCHECKED_MARK})" in without
    assert "not yet checked against" in without
    assert "(AASHTO T 99-22, clause 5.2). Accepted by E02: Asked" in confirmed
    assert "unchecked" not in confirmed.casefold()
    assert "not yet checked" not in confirmed


def test_the_page_of_methods_says_who_confirmed_it(tmp_path: Path) -> None:
    root = archive(tmp_path / "lab", changed(CONFIRMED))
    assert run("build", "--root", root, "--out", tmp_path / "site").status == 0

    page = text_of((tmp_path / "site/methods/aashto-t-99/index.html").read_bytes())

    assert "Layers 3 AASHTO T 99-22 5.2 confirmed by E02, 2026-03-02" in page
    listed = text_of((tmp_path / "site/methods/index.html").read_bytes())
    assert "T 99 Layers 3 22 5.2 E02 2026-03-02" in listed
