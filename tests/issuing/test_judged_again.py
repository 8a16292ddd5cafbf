"""
An amended curve and the field tests that rest on it: before, during and after.

By hand, from `tests.archives`: the maximum of ML-101 is 108.1 lb/ft³. With 8.62 lb for
8.64 at point 3 (wet 126.25, dry 107.56) the slopes are 0.8386 and -0.4079, the
curvature -0.3161, the peak at 17.75 %, and the maximum 107.6 lb/ft³.

The hole of the sand cone is 1613.80 cm³ and the soil has 12 % of water, so that a wet
mass in g over 1613.80 and 1.12, times 62.428, is the dry density in lb/ft³:

2950 g: 101.89, 94.26 % of 108.1 (rounds to 94), 94.69 % of 107.6 (rounds to 95)
3050 g: 105.34, 97.45 % and 97.90 %
2850 g: 98.44, 91.06 % and 91.48 %
"""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import Ran, run
from tests.clones import git
from tests.issuing.clones import TESTS, edit, issued, lab
from tests.kinds.tests.field_density.records import SAND_CONE

CURVE = "marsh-lane/tests/ML-101.yaml"
MISREAD = ("mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.62")
PROJECT = "marsh-lane/project.yaml"
REQUIREMENT = """requirements:
  - {zone: embankment, standard: {designation: AASHTO T 99, method: A},
     least_percent_compaction: "95", compare: rounded}
"""
ALONE = (
    'target: {maximum_dry_density: 1.85, optimum_water_content: 13.0, source: "a curve"'
    "}\n",
    'requirement: {least_percent_compaction: "95", compare: rounded}\n',
)
MASSES = {"ML-F001": 3050, "ML-F002": 2950, "ML-F003": 2850}
FIELD = tuple(MASSES)
REVIEWED = "reviewed: {on: 2026-06-03, by: E02}\n"


def sand_cone(id: str, wet_soil: int) -> str:
    """A field test that is judged by ML-101 and by what the project requires."""
    text = SAND_CONE
    for part in ALONE:
        assert part in text
        text = text.replace(part, "")
    text = text.replace("wet_soil: 3136", f"wet_soil: {wet_soil}")
    head = f"{id}\nproject: marsh-lane\nreference: ML-101"
    return text.replace("HF-F0231", head) + REVIEWED


def issue(root: Path, *tests: str, why: str = "first issue", on: str) -> Ran:
    by = ("--authorized-by", "E02", "--reason", why, "--on", on)
    ran = run("issue", *tests, *by, "--root", root)
    assert ran.status == 0, ran.err
    return ran


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A curve and three field tests that rest on it, all issued."""
    root = lab(tmp_path_factory.mktemp("judged") / "lab")
    path = root / "records" / PROJECT
    path.write_text(path.read_text("utf-8") + REQUIREMENT, "utf-8")
    for id, mass in MASSES.items():
        (root / TESTS / f"{id}.yaml").write_text(sand_cone(id, mass), "utf-8")
    git(root, "add", "--all")
    git(root, "commit", "--quiet", "--message=tested")
    issue(root, "ML-101", on="2026-06-04")
    issue(root, *FIELD, on="2026-06-05")
    return root


@pytest.fixture
def root(begun: Path, tmp_path: Path) -> Path:
    """A copy, to amend."""
    git(tmp_path, "clone", "--quiet", str(begun), "lab")
    for key, value in (("name", "A"), ("email", "a@lab.example")):
        git(tmp_path / "lab", "config", f"user.{key}", value)
    return tmp_path / "lab"


def amended(root: Path) -> Ran:
    edit(root, CURVE, *MISREAD)
    return issue(root, "ML-101", why="point 3 was misread", on="2026-06-10")


def page_of(root: Path, page: str, *options: str) -> str:
    out = root.parent / f"site{''.join(options)}"
    ran = run("build", *options, "--out", out, "--root", root, "--jobs", "1")
    assert ran.status == 0, ran.err
    return (out / page / "index.html").read_text("utf-8").replace("\u00a0", " ")


def rows(page: str, title: str) -> list[list[str]]:
    """The cells of a table, row by row."""
    heading = re.search(rf"<h\d[^>]*>{re.escape(title)}", page)
    assert heading
    body = page[heading.end() :].partition("</table>")[0]
    found = []
    for row in body.split("<tr")[2:]:
        cells = re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)
        plain = (re.sub(r"<[^>]+>", "", one).strip() for one in cells)
        found.append([one.removesuffix(" changed") for one in plain])
    return found


BY_BOTH = [
    ("ML-F002", "94.3 %", "94.7 %", "fail", "pass"),
    ("ML-F001", "97.5 %", "97.9 %", "pass", "pass"),
    ("ML-F003", "91.1 %", "91.5 %", "fail", "fail"),
]
"""Flips first, then by id."""


def told(listed: list[dict[str, Any]]) -> list[tuple[str, ...]]:
    """Verdicts as data, each in one line."""
    return [
        (
            one["test"],
            *(one["percent_compaction"][side] for side in ("old", "new")),
            *(one["verdict"][side] for side in ("old", "new")),
        )
        for one in listed
    ]


def test_diff_lists_them_before_the_commit(root: Path) -> None:
    edit(root, CURVE, *MISREAD, commit=False)

    (one,) = json.loads(run("diff", "--json", "--root", root).out)

    assert one["test"] == "ML-101"
    assert told(one["field_tests"]) == BY_BOTH
    text = run("diff", "--root", root).out
    listed = text.partition("Field tests that rest on this: 3 tests, 1 verdict")[2]
    assert listed.index("ML-F002") < listed.index("ML-F001") < listed.index("ML-F003")


def test_issue_lists_them_before_it_is_done(root: Path) -> None:
    said = amended(root).err

    before = said.partition("    issued on")[0]
    assert "Field tests that rest on this: 3 tests, 1 verdict changes" in before
    (flip,) = (line for line in before.splitlines() if "fail → pass" in line)
    assert flip.split()[0] == "ML-F002"
    assert "94.3 % → 94.7 %" in flip.replace("\u00a0", " ")


def test_they_keep_the_revision_they_were_judged_by_and_say_so(root: Path) -> None:
    amended(root)

    shown = json.loads(run("show", "ML-F002", "--json", "--root", root).out)
    flags = json.loads(run("check", "--format", "json", "--root", root).out)

    assert shown["acceptance"]["reference"] == "ML-101.issued.yaml#1"
    (item,) = issued(root, "ML-F002").items
    assert f"{TESTS}/ML-101.issued.yaml#0" in item.inputs
    moved = [one["flag"] for one in flags if one["file"].endswith("/ML-F002.yaml")]
    assert moved.count("moved-since-issue") == 1
    assert "reference-not-issued" not in moved
    assert run("verify", "--root", root).status == 0


def to_judge(root: Path) -> dict[str, str]:
    tasks = json.loads(run("today", "--json", "--root", root).out)["tasks"]
    return {one["id"]: one["what"] for one in tasks if one["list"] == "judge-again"}


def test_today_lists_each_until_it_is_issued_again(root: Path) -> None:
    assert to_judge(root) == {}
    amended(root)

    waiting = to_judge(root)

    assert set(waiting) == set(FIELD)
    assert waiting["ML-F002"].replace("\u00a0", " ") == (
        "ML-101 r1 in place of r0: zone embankment, lift 7: fail → pass, "
        "94.3 % → 94.7 %"
    )
    issue(root, "ML-F001", "ML-F002", why="ML-101 was amended", on="2026-06-11")
    assert set(to_judge(root)) == {"ML-F003"}
    assert run("verify", "--root", root).status == 0


def test_the_compare_page_of_the_curve_lists_them(root: Path) -> None:
    amended(root)
    issue(root, "ML-F002", why="ML-101 was amended", on="2026-06-11")

    page = page_of(root, "tests/ML-101/compare")

    place = "zone embankment, lift 7"
    assert rows(page, "Field tests that rest on this: 3 tests, 1 verdict changes") == [
        [*line, report]
        for line, report in (
            (
                ("ML-F002", place, "94.3 %", "94.7 %", "fail → pass"),
                "r0, judged again in r1",
            ),
            (
                ("ML-F001", place, "97.5 %", "97.9 %", "pass"),
                "r0, not judged again yet",
            ),
            (
                ("ML-F003", place, "91.1 %", "91.5 %", "fail"),
                "r0, not judged again yet",
            ),
        )
    ]


def test_the_page_of_the_amended_curve_tells_the_verdicts(root: Path) -> None:
    amended(root)
    issue(root, "ML-F001", "ML-F002", why="ML-101 was amended", on="2026-06-11")

    page = page_of(root, "tests/ML-101")

    assert "2 issued field tests judged again by r1." in page
    assert "Verdicts changed: ML-F002 fail → pass." in page
    assert "1 issued field test by r0 not judged again yet." in page


def test_field_control_tells_what_turned_a_verdict_beside_it(root: Path) -> None:
    amended(root)
    issue(root, "ML-F001", "ML-F002", why="ML-101 was amended", on="2026-06-11")

    page = page_of(root, "projects/marsh-lane/field")

    news = rows(page, "What changed: amended and withdrawn, changed verdicts first")
    assert [one[0] for one in news] == ["ML-F002 r1", "ML-101 r1", "ML-F001 r1"]


def test_the_pages_of_a_verdict_that_changed_tell_it(root: Path) -> None:
    amended(root)
    issue(root, "ML-F001", "ML-F002", why="ML-101 was amended", on="2026-06-11")

    page = page_of(root, "tests/ML-F002")
    compared = (root.parent / "site/tests/ML-F002/compare/index.html").read_text(
        "utf-8"
    )

    assert "Verdict: fail → pass." in page
    assert "Rests on ML-101 r1 in place of r0." in page
    assert "Verdict: pass, as before." in read(root, "ML-F001").replace("\u00a0", " ")
    assert ["Verdict", "fail", "pass", "—"] in rows(compared, "Results of ML-F002")
    others = rows(compared, "Other tests amended after the same change")
    assert others == [["ML-F001 r1", "ML-101"]]


def test_the_page_of_a_failure_names_its_issued_retest(root: Path) -> None:
    retest = sand_cone("ML-F004", 3050) + (
        "retest_of: ML-F003\nrework: {on: 2026-06-02, what: rolled again, "
        "by: contractor}\n"
    )
    (root / TESTS / "ML-F004.yaml").write_text(retest, "utf-8")
    git(root, "add", "--all")
    git(root, "commit", "--quiet", "--message=tested again")
    assert "Retest:" not in page_of(root, "tests/ML-F003")

    issue(root, "ML-F004", on="2026-06-06")

    page = page_of(root, "tests/ML-F003")
    assert re.search(r"Retest: ML-F004 r0, tested [-0-9]{10}: pass\.", page)
    assert "Retest:" not in read(root, "ML-F001")


def test_the_page_of_field_control_tells_both(root: Path) -> None:
    amended(root)
    issue(root, "ML-F002", why="ML-101 was amended", on="2026-06-11")

    page = page_of(root, "projects/marsh-lane/field")

    waiting = rows(page, "To judge again: the reference was amended")
    assert [one[0] for one in waiting] == ["ML-F001", "ML-F003"]
    assert waiting[0][4:] == ["97.5 % → 97.9 %", "pass"]
    done = rows(page, "Judged again after an amendment of the reference")
    assert done == [
        [
            "ML-F002",
            "zone embankment, lift 7",
            "r0 → r1",
            "ML-101 r1 in place of r0",
            "94.3 % → 94.7 %",
            "fail → pass",
        ]
    ]
    assert "Failures that an edit took away or moved" not in page


def test_the_page_of_each_says_that_it_is_to_be_judged_again(root: Path) -> None:
    amended(root)

    for id, turned in (("ML-F001", False), ("ML-F002", True)):
        page = page_of(root, f"tests/{id}") if id == "ML-F001" else read(root, id)
        assert "The reference was amended: ML-101 r1 in place of r0." in page
        assert "It was not judged again yet." in page
        assert ("Verdict: fail → pass by the records now." in page) == turned
    issue(root, "ML-F002", why="ML-101 was amended", on="2026-06-11")
    assert "not judged again yet" not in page_of(root, "tests/ML-F002")


def read(root: Path, id: str) -> str:
    """The page of a test, of the site as built before."""
    return (root.parent / f"site/tests/{id}/index.html").read_text("utf-8")


def test_clients_see_what_was_issued_alone(root: Path) -> None:
    path = root / "records" / PROJECT
    path.write_text(path.read_text("utf-8") + "publish: yes\n", "utf-8")
    git(root, "commit", "--quiet", "--all", "--message=published")
    amended(root)
    issue(root, "ML-F002", why="ML-101 was amended", on="2026-06-11")

    page = page_of(root, "tests/ML-101/compare", "--release")

    title = (
        "Field tests that rest on this: 3 tests, 1 verdict changes; "
        "2 not judged again yet"
    )
    listed = {one[0]: one for one in rows(page, title)}
    assert listed["ML-F002"][2:5] == ["94.3 %", "94.7 %", "fail → pass"]
    assert listed["ML-F001"][2:] == ["97.5 %", "—", "pass", "r0, not judged again yet"]
    assert "97.9 %" not in page
    test = (root.parent / "site--release/tests/ML-F001/index.html").read_text("utf-8")
    assert "The reference was amended: ML-101 r1 in place of r0." in test
    field = (
        root.parent / "site--release/projects/marsh-lane/field/index.html"
    ).read_text("utf-8")
    assert "2 issued tests are to be judged again" in field
    assert "To judge again: 2 tests<" in field  # of the lift, and no verdict that waits
    assert "97.9" not in field


def test_a_requirement_that_turns_a_verdict_is_told_before_the_commit(
    root: Path,
) -> None:
    least = ('least_percent_compaction: "95"', 'least_percent_compaction: "94"')
    edit(root, PROJECT, *least, commit=False)

    found = {
        one["test"]: one["verdict"]
        for one in json.loads(run("diff", "--json", "--root", root).out)
    }

    assert found["ML-F002"] == {"old": "fail", "new": "pass"}
    assert "Verdict\n" in run("diff", "ML-F002", "--root", root).out


def test_a_deviation_below_zero_is_found_in_its_report(begun: Path) -> None:
    assert '"-5.7 points"' in (begun / TESTS / "ML-F001.issued.yaml").read_text("utf-8")
    page = (begun / TESTS / "ML-F001.r0.html").read_text("utf-8")
    assert "−5.7 points" in re.sub(r"<[^>]+>", "", page).replace("\u00a0", " ")

    ran = run("verify", "--root", begun)

    assert ran.status == 0, ran.out + ran.err
