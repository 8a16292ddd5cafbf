"""`today`: the lists in the terminal and as JSON, and the page."""

import json
import shutil
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.clones import git
from tests.issuing.clones import lab
from tests.pages.builds import words
from tests.test_build import contents


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return lab(tmp_path / "lab")


def test_one_line_each_with_the_next_step(root: Path) -> None:
    ran = run("today", "--on", "2027-01-13", "--root", root)

    assert ran.status == 0
    assert ran.out.splitlines() == [
        "2027-01-13",
        "Waiting for issue: 2",
        "  ML-101  reviewed by E02 on 2026-03-12 → buildsite issue ML-101 "
        "--authorized-by CODE --reason TEXT",
        "  ML-102  reviewed by E02 on 2026-03-12 → buildsite issue ML-102 "
        "--authorized-by CODE --reason TEXT",
        "Equipment due: 6",
        "  B-03  balance, bench balance: overdue since 2027-01-12 → buildsite "
        "calibrate B-03",
        "  B-11  balance, floor balance: overdue since 2027-01-12 → buildsite "
        "calibrate B-11",
        "  R-02  rammer, mechanical rammer, standard effort: due 2027-01-13 → "
        "buildsite calibrate R-02",
        "  M-04  mold, 4 in: due 2027-01-14 → buildsite calibrate M-04",
        "  O-01  oven, drying oven: due 2027-01-15 → buildsite calibrate O-01",
        "  S-04  sieve, rocker sieve: due 2027-01-15 → buildsite calibrate S-04",
    ]


def test_as_json(root: Path) -> None:
    ran = run("today", "--on", "2027-01-13", "--json", "--root", root)

    told = json.loads(ran.out)
    assert (told["format"], told["on"]) == (1, "2027-01-13")
    assert told["tasks"][2] == {
        "list": "due",
        "group": "equipment",
        "id": "B-03",
        "project": "",
        "what": "balance, bench balance: overdue since 2027-01-12",
        "step": "buildsite calibrate B-03",
        "days": {"due": "2027-01-12"},
        "overdue": True,
    }


def test_the_page_lists_without_a_clock_and_stands_in_the_laboratory_s_copy_only(
    root: Path, tmp_path: Path
) -> None:
    own, sent = tmp_path / "own", tmp_path / "sent"
    run("build", "--out", own, "--root", root)
    run("build", "--release", "--out", sent, "--root", root)

    files = contents(own)
    told = words(files["today/index.html"])
    assert (
        "B-03 balance, bench balance: due 2027-01-12 buildsite calibrate B-03" in told
    )
    assert "overdue since" not in told
    assert 'href="today/index.html"' in files["index.html"].decode()
    # One line each: the option with what it takes, and never a break after its dashes.
    assert b"<span>--authorized-by CODE</span>" in files["today/index.html"]
    for page, way in (
        ("tests/ML-101/index.html", "../../today/index.html"),
        ("equipment/index.html", "../today/index.html"),
    ):
        assert f'<li><a href="{way}">Today</a></li>' in files[page].decode()
    released = contents(sent)
    assert "today/index.html" not in released
    assert b">Today<" not in b"".join(released.values())


@pytest.mark.parametrize(
    "words",
    [
        ("today", "--on", "9999-12-31"),
        ("check", "--due", "9999m", "--on", "9999-12-31"),
        ("check", "--due", "9999w", "--on", "9999-12-31"),
        ("build", "--jobs", "1"),
    ],
    ids=" ".join,
)
def test_a_day_at_the_end_of_time_is_no_bug_of_ours(
    root: Path, words: tuple[str, ...]
) -> None:
    # Days as somebody mistyped them: nothing comes after the last one.
    mold, test = "records/equipment/M-04.yaml", "records/marsh-lane/tests/ML-101.yaml"
    last = (root / mold).read_text().replace("2026-01-14", "9999-12-31")
    assert "9999-12-31" in last
    (root / mold).write_text(last)
    text = (root / test).read_text().replace("status: complete", "status: in-progress")
    in_oven = "in: 9999-12-31T15:40"
    text = text.replace("in: 2026-03-10T15:40, out: 2026-03-11T07:55", in_oven)
    assert in_oven in text
    (root / test).write_text(text.replace(", container_and_dry: 143.60", ""))

    ran = run(*words, "--root", root)

    assert ran.status in (0, 1), ran.err
    assert "Internal error" not in ran.err


CALIBRATED = "records/equipment/B-11.yaml"


def of_test(out: str, id: str) -> list[str]:
    return [line for line in out.splitlines() if line.startswith(f"  {id}  ")]


@pytest.mark.parametrize("committed", [True, False])
def test_what_changed_in_other_records_since_the_review_is_reviewed_again(
    root: Path, tmp_path: Path, committed: bool
) -> None:
    # The balance of ML-102 was found to read wrong on a day before the test.
    text = (root / CALIBRATED).read_text()
    (root / CALIBRATED).write_text(text.replace("on: 2026-01-12", "on: 2026-01-13"))
    if committed:
        git(root, "commit", "-qam", "B-11: the day of its calibration")

    (line,) = of_test(run("today", "--on", "2026-06-01", "--root", root).out, "ML-102")
    own = tmp_path / "own"
    run("build", "--out", own, "--root", root)

    words_of_it = "review again: changed since the review by E02 on 2026-03-12: B-11"
    step = "buildsite review ML-102 --by CODE"
    assert line == f"  ML-102  {words_of_it} → {step}"
    told = words(contents(own)["today/index.html"])
    assert f"{words_of_it} {step}" in told


def test_a_record_edited_since_its_review_is_reviewed_again(root: Path) -> None:
    test = root / "records/marsh-lane/tests/ML-102.yaml"
    test.write_text(test.read_text().replace("layers: 3", "layers: 5"))

    (line,) = of_test(run("today", "--on", "2026-06-01", "--root", root).out, "ML-102")

    assert "review again: edited since the review by E02 on 2026-03-12: layers" in line
    assert line.endswith("→ buildsite review ML-102 --by CODE")


def test_without_git_what_was_reviewed_waits_for_issue(
    root: Path, tmp_path: Path
) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(root, copy, ignore=shutil.ignore_patterns(".git"))

    ran = run("today", "--on", "2026-06-01", "--root", copy)

    assert of_test(ran.out, "ML-102")[0].endswith("--reason TEXT")
    assert ran.status == 0
