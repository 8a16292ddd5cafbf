"""`today`: the lists in the terminal and as JSON, and the page."""

import json
from pathlib import Path

import pytest

from tests.cli.running import run
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
    assert "today/index.html" not in contents(sent)


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
