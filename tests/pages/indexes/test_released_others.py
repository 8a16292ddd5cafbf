"""What a report tells of a project that is not published, it does not tell clients."""

import re
from pathlib import Path
from unittest.mock import patch

import pytest

from buildsite.build import build
from buildsite.errors import EnvironmentFault
from buildsite.issuing import planning
from buildsite.pages.render import folder
from buildsite.pages.site_sources import Options
from tests.archives import Files, changed
from tests.cli.running import run
from tests.clones import clone, git
from tests.conftest import ROOT
from tests.issuing.clones import ATTRIBUTES, edit
from tests.test_build import contents

LAST = "out: 2026-03-11T07:55, temperature_c: 110}"
SAID_BY_ITSELF = "specific_gravity: {value: 2.69, basis: measured"
OWN = "marsh-lane"
SECRET = ("hidden-lane", "HL-", "Hidden Lane", "Mudflat", "hl-")

HIDDEN_PROJECT = """\
format: 1
kind: project
id: hidden-lane
name: Hidden Lane quay
customer: {name: Mudflat Works (invented)}
"""

PLANTED = {
    "by-sample": [("sample: ML-S1", "sample: HL-S1")],
    "by-gravity": [(LAST, f"{LAST}\nspecific_gravity: {{test: HL-GS-1}}")],
    "by-its-sample": [("sample: ML-S1", "sample: ML-S9")],
    "by-oversize": [
        (LAST, f"{LAST}\noversize: {{test: HL-104}}"),
        ("sample: ML-S1", "sample: ML-S8"),
    ],
    "by-remark-on-test": [(LAST, f"{LAST}\nremarks: the soil of HL-102")],
    "by-remark-on-sample": [(LAST, f"{LAST}\nremarks: 'dried beside hl-s2, twice'")],
    "by-customer": [(LAST, f"{LAST}\nremarks: asked for by Mudflat Works")],
    "by-project": [(LAST, f"{LAST}\nremarks: compare with Hidden Lane quay")],
    "by-short-name": [(LAST, f"{LAST}\nremarks: beside Hidden Lane")],
    "by-paper": [(LAST, f"{LAST}\nremarks: see HL-101-bench.pdf")],
    "sound": [(LAST, f"{LAST}\nremarks: 'a lane, hidden: quay of ML-101-b2'")],
}
"""By test: what it takes from the hidden project. The last one takes nothing."""


def planted() -> Files:
    """The sound archive with a hidden twin of it, which tests lean on."""
    files = dict(
        changed(
            {
                "marsh-lane/project.yaml": [["not exist}", "not exist}\npublish: yes"]],
                "equipment/M-04.yaml": [
                    ["kind: mold\n", "kind: mold\nremarks: lent to Mudflat Works\n"]
                ],
                "lab.yaml": [
                    [
                        "kind: laboratory\n",
                        "kind: laboratory\n# works for Hidden Lane\n",
                    ]
                ],
            },
            beside=("specific-gravity", "coarse-fraction"),
        )
    )
    for name, data in list(files.items()):
        if f"/{OWN}/" in name and not name.endswith("project.yaml"):
            text = data.decode().replace(OWN, "hidden-lane").replace("ML-", "HL-")
            text = text.replace("GS-1", "HL-GS-1").replace("GS-S1", "HL-GS-S1")
            twin = name.replace(OWN, "hidden-lane").replace("ML-", "HL-")
            twin = twin.replace("GS-", "HL-GS-")
            files[twin] = text.encode()
    files["records/hidden-lane/project.yaml"] = HIDDEN_PROJECT.encode()
    first = files[f"records/{OWN}/samples/ML-S1.yaml"].decode()
    rest = first.replace("ML-S1", "ML-S9").split(SAID_BY_ITSELF)[0]
    files[f"records/{OWN}/samples/ML-S9.yaml"] = (
        f"{rest}specific_gravity: {{test: HL-GS-1}}\n".encode()
    )
    files[f"records/{OWN}/samples/ML-S8.yaml"] = files[
        f"records/{OWN}/samples/ML-S2.yaml"
    ].replace(b"ML-S2", b"ML-S8")
    test = files[f"records/{OWN}/tests/ML-101.yaml"].decode()
    for id, changes in PLANTED.items():
        text = test.replace("ML-101", id)
        for was, now in changes:
            assert text.count(was) == 1, was
            text = text.replace(was, now)
        files[f"records/{OWN}/tests/{id}.yaml"] = text.encode()
    return {**files, ".gitattributes": ATTRIBUTES}


FIRST = ("--authorized-by", "E02", "--on", "2026-03-13", "--reason")


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Every test issued, as by a program that refused none of them."""
    root = tmp_path_factory.mktemp("archive")
    clone(root, planted())
    git(root, "config", "user.name", "A")
    git(root, "config", "user.email", "a@lab.example")
    with patch.object(planning, "of_other_projects", lambda *_: ()):
        tests = ("HL-GS-1", "HL-104", "HL-101", "ML-101", *PLANTED)
        ran = run("issue", *tests, *FIRST, "first issue", "--root", root)
        assert ran.status == 0, ran.err
        by_reason = (*FIRST, "it was interchanged with HL-102", "--root", root)
        ran = run("issue", "ML-102", *by_reason)
        assert ran.status == 0, ran.err
    git(root, "commit", "--quiet", "--allow-empty", "--message=HL-101 and Mudflat")
    return root


@pytest.fixture(scope="module")
def released(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("out") / "site"
    build(root, out, Options(release=True), 1)
    return out


def told(site: Path) -> dict[str, list[str]]:
    """Every secret word of a site, by file; a file's name counts as its text."""
    found = {}
    for path, data in contents(site).items():
        text = f"{path} {data.decode('utf-8', errors='replace')}".lower()
        words = [word for word in SECRET if word.lower() in text]
        if words:
            found[path] = words
    return found


def test_no_file_names_a_project_that_is_not_published(released: Path) -> None:
    assert told(released) == {}


def test_only_what_rests_on_its_own_project_is_released(released: Path) -> None:
    paths = set(contents(released))

    below = {p.split("/")[1] for p in paths if p.startswith("tests/")}
    assert below - {"index.html"} == {"ML-101", "sound"}
    assert {p.split("/")[1] for p in paths if p.startswith("samples/")} == {"ML-S1"}


def test_the_laboratorys_own_copy_has_every_plant(root: Path, tmp_path: Path) -> None:
    # Control: each report was issued, and says what was planted.
    build(root, tmp_path / "site", Options(), 1)

    files = contents(tmp_path / "site")
    for id in set(PLANTED) - {"sound"}:
        page = files[f"tests/{id}/r0/report.html"].decode().lower()
        assert any(word.lower() in page for word in SECRET), id
    assert set(SECRET) <= {
        word for words in told(tmp_path / "site").values() for word in words
    }


def test_the_build_says_what_is_withheld_and_why(root: Path, tmp_path: Path) -> None:
    ran = run("build", "--release", "--root", root, "--out", tmp_path / "site")

    said = {
        line.split(": ")[1]: line for line in ran.err.splitlines() if "Not pub" in line
    }
    assert said.keys() == {*PLANTED, "ML-102"} - {"sound"}
    assert "rests on records of hidden-lane" in said["by-sample"]
    assert "r0 names hl-102 of hidden-lane" in said["by-remark-on-test"]
    assert "r0 names Mudflat Works of hidden-lane" in said["by-customer"]
    assert "names hl-102" in said["ML-102"]
    assert run("verify", "--site", tmp_path / "site", "--root", root).status == 0


def test_with_the_other_project_published_nothing_is_withheld(
    root: Path, tmp_path: Path
) -> None:
    other = tmp_path / "open"
    git(tmp_path, "clone", "--quiet", str(root), str(other))
    edit(
        other,
        "hidden-lane/project.yaml",
        "customer:",
        "publish: yes\ncustomer:",
        commit=False,
    )

    ran = run("build", "--release", "--root", other, "--out", tmp_path / "site")

    assert "Not published" not in ran.err
    assert (tmp_path / "site/tests/by-sample/index.html").is_file()


def test_a_file_that_would_name_it_all_the_same_is_not_written(
    root: Path, tmp_path: Path
) -> None:
    # Where the laboratory is stands on every page, and came from no report.
    other = tmp_path / "named"
    git(tmp_path, "clone", "--quiet", str(root), str(other))
    lab = other / "records/lab.yaml"
    lab.write_text(lab.read_text("utf-8").replace("\nplace: ", "\nplace: HL-101, "))

    with pytest.raises(EnvironmentFault, match="would name hl-101 of hidden-lane"):
        build(other, tmp_path / "site", Options(release=True), 1)

    assert not (tmp_path / "site").exists()


@pytest.mark.parametrize(
    ("test", "said"),
    [
        ("by-sample", "uses sample HL-S1, of project hidden-lane"),
        ("by-gravity", "uses test HL-GS-1, of project hidden-lane"),
        ("by-its-sample", "uses test HL-GS-1 through ML-S9, of project hidden-lane"),
        ("by-oversize", "uses test HL-104, of project hidden-lane"),
    ],
)
def test_no_report_rests_on_another_project(root: Path, test: str, said: str) -> None:
    for sort in ((), ("--preliminary",)):
        ran = run("issue", test, *FIRST, "again", *sort, "--root", root)

        assert ran.status == 1
        assert said in ran.err


def test_a_name_of_one_plain_word_is_for_a_person_to_judge(
    root: Path, tmp_path: Path
) -> None:
    # A project called "cutting" must not take every cutting off the site, nor one
    # called "Clay" the lean clay; "Marsh" is in the published project's own name.
    other = tmp_path / "plain"
    git(tmp_path, "clone", "--quiet", str(root), str(other))
    for name in ("cutting", "Clay", "Marsh"):
        record = other / f"records/{name.lower()}-9/project.yaml"
        record.parent.mkdir()
        text = HIDDEN_PROJECT.replace("hidden-lane", record.parent.name)
        record.write_text(text.replace("Hidden Lane quay", name))
    for id in ("A-6", "T-99"):  # the class of the soil, and the standard
        sample = other / f"records/hidden-lane/samples/{id}.yaml"
        twin = sample.with_name("HL-S2.yaml").read_text("utf-8")
        sample.write_text(twin.replace("HL-S2", id))

    ran = run("build", "--release", "--root", other, "--out", tmp_path / "site")

    assert ran.status == 0, ran.err
    asked = [line for line in ran.err.splitlines() if "but look" in line]
    assert asked == [
        f"Published, but look: reports of ML-101, sound have the word {word}, which is "
        f"also a name or id of {project}, not published."
        for word, project in (("A-6", "hidden-lane"), ("cutting", "cutting-9"))
    ]


def test_an_id_that_begins_as_a_hidden_one_is_its_own(
    root: Path, tmp_path: Path
) -> None:
    other = tmp_path / "alike"
    git(tmp_path, "clone", "--quiet", str(root), str(other))
    sample = other / "records/hidden-lane/samples/sound.yaml"
    twin = sample.with_name("HL-S2.yaml").read_text("utf-8")
    for id in ("ML-10", "ML-101-b2", "lane.hidden"):
        sample.with_name(f"{id}.yaml").write_text(twin.replace("HL-S2", id))

    ran = run("build", "--release", "--root", other, "--out", tmp_path / "site")

    assert "Not published: sound: r0 names ml-101-b2 of hidden-lane" in ran.err
    sample.with_name("ML-101-b2.yaml").unlink()

    ran = run("build", "--release", "--root", other, "--out", tmp_path / "site")

    assert "Not published: sound" not in ran.err


def test_no_template_names_a_test() -> None:
    """Else the site of a laboratory whose unpublished test is called so is refused."""
    own = {path.stem.lower() for path in ROOT.glob("records/*/tests/*.yaml")}
    ids = own | {id.replace("-", "") for id in own}
    texts = [one for one in folder().rglob("*.*") if one.suffix != ".pyc"]
    assert len(texts) > 20
    for path in texts:
        words = set(re.findall(r"[a-z0-9-]+", path.read_text("utf-8").lower()))
        assert words & ids == set(), path
