"""Failures that an edit took away stand on the page of field control."""

import re
from pathlib import Path

import pytest

from tests.archives import sound
from tests.cli.running import run
from tests.kinds.tests.field_density.records import SAND_CONE
from tests.pasts import begun, edit

TESTS = "records/marsh-lane/tests"
PROJECT = "records/marsh-lane/project.yaml"
LAB = "records/lab.yaml"
REQUIREMENT = """requirements:
  - {zone: subgrade, standard: {designation: AASHTO T 99, method: A},
     least_percent_compaction: "95", compare: rounded}
"""
BY = "\n\nEntered-by: T07\nReason: {}"
WITHDRAWN = "withdrawn: {on: 2026-06-03, by: T07, reason: done on the wrong day}\n"


def sand_cone(number: int, *pairs: tuple[str, str]) -> str:
    """A failing sand cone: 93.785 % of what it is held against, by hand there."""
    text = SAND_CONE.replace("HF-F0231", f"ML-F00{number}\nproject: marsh-lane")
    for old, new in pairs:
        assert text.count(old) == 1
        text = text.replace(old, new)
    return text


OF_SUBGRADE = ("zone: embankment", "zone: subgrade")


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Eight failing field tests, and what people did to seven of them."""
    where = begun(tmp_path_factory.mktemp("turned") / "lab")
    files = {**sound()}
    project = files[PROJECT].decode() + REQUIREMENT
    of_zone = {4: (OF_SUBGRADE,)}
    texts = {n: sand_cone(n, *of_zone.get(n, ())) for n in range(1, 9)}
    names = {n: f"{TESTS}/ML-F00{n}.yaml" for n in texts}
    tested = {names[n]: text for n, text in texts.items()}
    edit(where, "tested", {**files, PROJECT: project, **tested})

    def again(n: int, message: str, *pairs: tuple[str, str], more: str = "") -> None:
        text = (where / names[n]).read_text("utf-8")
        for old, new in pairs:
            assert text.count(old) == 1
            text = text.replace(old, new)
        edit(where, message, {names[n]: text + more})

    heavier = ("wet_soil: 3136", "wet_soil: 3186")
    again(1, "ML-F001: weighed again" + BY.format("the pan was misread"), heavier)
    again(2, "for information", ('lift: "7"', 'lift: "7"\npurpose: information'))
    again(3, "another lift", ('lift: "7"', 'lift: "8"'))
    less = project.replace('compaction: "95"', 'compaction: "93"')
    edit(where, "the specification was misread", {PROJECT: less})
    withdrawn = ("status: complete", "status: withdrawn")
    again(5, "not wanted", withdrawn, more=WITHDRAWN)
    again(6, "a remark", more="remarks: hot\n")
    edit(where, "tidy up", {names[7]: None})
    edit(where, "tested", {names[7]: sand_cone(7, heavier)})
    again(8, "a slip of the pen", ("kind: field", "kind : {: field"))
    edit(where, "mended", {names[8]: sand_cone(8, heavier)})
    return where


@pytest.fixture(scope="module")
def site(root: Path) -> Path:
    """The laboratory's own copy of the site."""
    out = root.parent / "site"
    ran = run("build", "--out", out, "--root", root, "--jobs", "1")
    assert ran.status == 0, ran.err
    return out


def read(path: Path) -> str:
    """A page, with plain blanks."""
    return path.read_text("utf-8").replace("\u00a0", " ")


def rows(page: str, title: str) -> dict[str, list[str]]:
    """The cells of a table, by the test of each row."""
    body = page.partition(f"{title}</h2>")[2].partition("</table>")[0]
    found = {}
    for row in body.split("<tr")[1:]:
        cells = [re.sub(r"<[^>]+>", "", one) for one in re.findall(r"<td.*?</td>", row)]
        if not cells:
            continue
        head = re.search(r"ML-F00[0-9]", row)
        assert head is not None
        found[head[0]] = [one.strip() for one in cells]
    return found


def test_each_failure_that_an_edit_took_away_stands_there(site: Path) -> None:
    page = read(site / "projects/marsh-lane/field/index.html")

    told = rows(page, "Failures that an edit took away or moved")

    assert set(told) == {f"ML-F00{n}" for n in (1, 2, 3, 4, 5, 7, 8)}
    text = {id: " | ".join(cells) for id, cells in told.items()}
    assert "fail → pass, 93.8 % → 95.3 %" in text["ML-F001"]
    assert "wet soil: 3136 → 3186 g" in text["ML-F001"]
    assert "T07 | the pan was misread" in text["ML-F001"]
    assert "purpose: acceptance → information" in text["ML-F002"]
    assert "lift: 7 → 8" in text["ML-F003"]
    assert "fail → pass" in text["ML-F004"]
    assert "95 → 93" in text["ML-F004"]
    assert "the specification was misread" in text["ML-F004"]
    assert "withdrawn" in text["ML-F005"]
    for id, why in (("ML-F007", "tidy up"), ("ML-F008", "a slip of the pen")):
        assert "fail → none, 93.8 % → none; the record is removed" in text[id]
        assert text[id].endswith(why)


def test_a_failing_test_that_was_withdrawn_is_shown(site: Path) -> None:
    page = read(site / "projects/marsh-lane/field/index.html")

    told = rows(page, "Failing tests that were withdrawn")

    assert set(told) == {"ML-F005"}
    assert "done on the wrong day" in told["ML-F005"]
    assert "93.8 %" in told["ML-F005"]


def test_its_history_tells_the_edit_first(root: Path, site: Path) -> None:
    page = read(site / "tests/ML-F001/history/index.html")
    words = "zone embankment, lift 7: fail → pass, 93.8 % → 95.3 %"

    assert f"A failure that is none after this edit: {words}." in page
    assert f"→ verdict: {words}" in run("history", "ML-F001", "--root", root).out
    out = read(site / "tests/ML-F002/history/index.html")
    assert "A failure that no longer counts where it was made" in out


def test_a_failure_moved_to_another_project_is_told_in_both(tmp_path: Path) -> None:
    where = begun(tmp_path / "lab")
    files = {**sound()}
    project = files[PROJECT].decode() + REQUIREMENT
    other = PROJECT.replace("marsh-lane", "quiet-cove")
    texts = {f"{TESTS}/ML-F00{n}.yaml": sand_cone(n) for n in (1, 2)}
    both = {
        PROJECT: project,
        other: project.replace("id: marsh-lane", "id: quiet-cove"),
    }
    edit(where, "tested", {**files, **both, **texts})
    name = f"{TESTS}/ML-F001.yaml"
    there = name.replace("marsh-lane", "quiet-cove")
    text = texts[name].replace("project: marsh-lane", "project: quiet-cove")
    edit(where, "tidy up", {name: None, there: text})

    out = tmp_path / "site"
    ran = run("build", "--out", out, "--root", where, "--jobs", "1")

    assert ran.status == 0, ran.err
    for id in ("marsh-lane", "quiet-cove"):
        page = (out / f"projects/{id}/field/index.html").read_text("utf-8")
        told = page.partition("Failures that an edit took away or moved")[2]
        assert "project: marsh-lane → quiet-cove" in told, id
