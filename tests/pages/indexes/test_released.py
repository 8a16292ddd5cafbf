"""What clients see: issued states of released projects, and not one byte more."""

import json
import re
import shutil
from pathlib import Path

import pytest

from buildsite.build import build
from buildsite.exports.manifest import NAME
from buildsite.files import find_root
from buildsite.pages.site_sources import Options
from tests.archives import ML_101_MAXIMUM, changed
from tests.cli.running import run
from tests.clones import clone, git
from tests.issuing.clones import ATTRIBUTES, TESTS, edit
from tests.links import drawing_faults, page_faults, read_site, style_faults
from tests.test_build import contents

ONLY_IN_REPORTS = ("secret-contact", "secret-recipient")
"""What the laboratory sent to its customer, in the report that it sent."""

NEVER_ANYWHERE = ("secret-key", "secret@lab.example")
"""What no copy shows, not even the laboratory's own."""

KEY = "ssh-ed25519 AAAAsecret-key"
WHO = "roles: [technician], may: [test], from: 2024-03-01}"
TEST = "marsh-lane/tests/ML-101.yaml"
REASON = ("--authorized-by", "E02", "--reason", "first issue", "--on", "2026-03-13")


def sound_with_secrets() -> dict[str, bytes]:
    """
    The sound archive with a secret in every field that clients must not see.

    HL-101 has the very readings of ML-101, so that a flag of ML-101 speaks of it.
    """
    accepted = "{flag: nobody-raised-this, by: E02, reason: secret-accepted}"
    files = dict(
        changed(
            {
                "lab.yaml": [
                    [
                        f"  T07: {{{WHO}",
                        f"  T07: {{{WHO[:-1]}, emails: [secret@lab.example], "
                        f"keys: ['{KEY}']}}",
                    ],
                    [
                        "reviewer_may_be_tester: no}",
                        "reviewer_may_be_tester: no}\nrobots: none",
                    ],
                ],
                "marsh-lane/project.yaml": [
                    [
                        "does not exist}",
                        "does not exist, contact: secret-contact}\npublish: yes"
                        "\npublish_working: yes",
                    ],
                ],
                TEST: [
                    [
                        "oven: {in",
                        f"accepted: [{accepted}]\nuncertainty: yes\noven: {{in",
                    ]
                ],
            }
        )
    )
    project = files["records/marsh-lane/project.yaml"].decode()
    hidden = project.replace("marsh-lane", "hidden-lane").replace("publish: yes", "")
    hidden = hidden.replace("Marsh Lane", "secret-project")
    files["records/hidden-lane/project.yaml"] = hidden.encode()
    for name, new in (("samples/ML-S1", "HL-S1"), ("tests/ML-101", "HL-101")):
        text = files[f"records/marsh-lane/{name}.yaml"].decode()
        text = text.replace("ML-", "HL-").replace("marsh-lane", "hidden-lane")
        folder = name.partition("/")[0]
        files[f"records/hidden-lane/{folder}/{new}.yaml"] = text.encode()
    sample = files["records/marsh-lane/samples/ML-S1.yaml"].decode()
    draft = sample.replace("ML-S1", "secret-S9").replace("lean clay", "secret-soil")
    files["records/marsh-lane/samples/secret-S9.yaml"] = draft.encode()
    files["records/marsh-lane/families/cutting-1.yaml"] = (
        b"kind: family-of-curves\nid: cutting-1\nname: secret-family\n"
        b"source: secret-pit\nremarks: secret-remark\nmembers: [ML-101, ML-102]\n"
    )
    return {**files, ".gitattributes": ATTRIBUTES}


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An archive with an issued test that moved since, a draft, a hidden project."""
    root = tmp_path_factory.mktemp("archive")
    clone(root, sound_with_secrets())
    git(root, "config", "user.name", "secret-committer")
    git(root, "config", "user.email", "secret@lab.example")
    for test in ("ML-101", "HL-101"):
        ran = run(*("issue", test, *REASON, "--to", "secret-recipient", "--root", root))
        assert ran.status == 0, ran.err
    edit(root, TEST, "oven: {in", "remarks: secret-remark\noven: {in", commit=False)
    edit(
        root,
        "marsh-lane/samples/ML-S1.yaml",
        "place: cutting 1",
        "place: secret-place",
        commit=False,
    )
    edit(root, "equipment/O-01.yaml", "drying oven", "secret-oven", commit=False)
    git(root, "commit", "--quiet", "--all", "--message=secret-message")
    return root


@pytest.fixture(scope="module")
def released(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("out") / "site"
    build(root, out, Options(release=True), 1)
    return out


@pytest.fixture(scope="module")
def own(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("own") / "site"
    build(root, out, Options(), 1)
    return out


PLANTED = ("secret", "hl-101", "hl-s1", "hidden-lane", "ml-102", "nobody-raised")


def secrets(data: bytes) -> set[str]:
    """Every planted word that a file tells, those apart that went to the customer."""
    text, found = data.decode("utf-8", errors="replace").lower(), set()
    for word in ONLY_IN_REPORTS:
        if word in text:
            found.add("to the customer")
            text = text.replace(word, "")
    return found | {word for word in PLANTED if word in text}


def test_no_file_tells_a_secret(released: Path) -> None:
    told = {path: secrets(data) for path, data in contents(released).items()}

    reports = {path for path in told if path.endswith("/report.html")}
    assert reports == {"tests/ML-101/r0/report.html"}
    assert {path: found for path, found in told.items() if found} == {
        path: {"to the customer"} for path in reports
    }
    assert [path for path in told if secrets(path.encode())] == []


def test_the_working_is_released_where_the_project_says_so(
    released: Path, own: Path, root: Path, tmp_path: Path
) -> None:
    # `test_no_file_tells_a_secret` has read this page too.
    name = "tests/ML-101/working/index.html"
    told = (released / name).read_text("utf-8")

    assert 'class="told">reported ' in told
    assert 'href="#water-content-1"' in told
    assert 'href="#L' not in told
    assert 'id="record"' not in told
    assert 'href="#L' in (own / name).read_text("utf-8")
    step = 'href="../../tests/ML-101/working/index.html#maximum_dry_density"'
    assert step in (released / "tests/ML-101/index.html").read_text("utf-8")

    silent = tmp_path / "archive"
    shutil.copytree(root, silent)
    project = "marsh-lane/project.yaml"
    edit(silent, project, "publish_working: yes", "publish_working: no", commit=False)
    git(silent, "commit", "--quiet", "--all", "--message=not published")
    out = tmp_path / "site"
    build(silent, out, Options(release=True), 1)
    report = (out / "tests/ML-101/index.html").read_text("utf-8")
    assert "working" not in report
    assert not (out / name).exists()


def test_the_laboratorys_own_copy_tells_them(own: Path) -> None:
    # Control: what the test above looks for was planted, and is seen where it may be.
    text = b"".join(contents(own).values()).decode(errors="replace").lower()

    planted = ("contact", "recipient", "remark", "place", "oven", "message", "s9")
    for word in (*planted, "family", "pit"):
        assert f"secret-{word}" in text, word
    assert "secret-project" in text
    assert "secret-accepted" in text
    for word in NEVER_ANYWHERE:
        assert word not in text, word
    assert "secret-committer" not in text


def test_there_is_no_page_of_what_is_the_laboratorys_own(released: Path) -> None:
    paths = set(contents(released))

    assert not [p for p in paths if p.endswith(".yaml")]
    assert not [p for p in paths if p.startswith(("equipment/", "flags/"))]
    below = {p.split("/")[1] for p in paths if p.startswith("tests/")}
    assert below - {"index.html"} == {"ML-101"}
    assert {p.split("/")[1] for p in paths if p.startswith("projects/")} == {
        "marsh-lane"
    }
    assert {p.split("/")[1] for p in paths if p.startswith("samples/")} == {"ML-S1"}


def test_the_uncertainty_budget_is_the_laboratorys_and_its_sum_is_reported(
    released: Path, own: Path
) -> None:
    budget = "tests/ML-101/uncertainty/index.html"
    page = (own / "tests/ML-101/index.html").read_text("utf-8")

    assert "k = 2, about 95" in page
    assert 'href="uncertainty/index.html"' in page
    assert "Compaction and splitting" in (own / budget).read_text("utf-8")
    assert budget not in contents(released)
    for path in ("tests/ML-101/index.html", "tests/ML-101/r0/report.html"):
        text = (released / path).read_text("utf-8")
        assert "k = 2, about 95" in text
        assert "uncertainty/index.html" not in text


TO_CHECK = ("unchecked", "not yet checked")


def test_what_concerns_the_laboratory_alone_is_left_to_it(
    released: Path, own: Path
) -> None:
    """Cautions of the bench, and what is still to be checked in a standard's text."""
    for path in ("methods/aashto-t-99/index.html", "checks/index.html"):
        told, ours = ((site / path).read_text("utf-8") for site in (released, own))
        assert any(word in ours for word in TO_CHECK), path
        assert not any(word in told for word in TO_CHECK), path
    page = (released / "tests/ML-101/index.html").read_text("utf-8")
    assert "Keep flammables out" not in page
    assert page.count("must guard against injury") == 1
    assert "Keep flammables out" in (own / "tests/ML-101/index.html").read_text("utf-8")


def test_its_links_lead_to_what_is_there(released: Path) -> None:
    pages = read_site(released)

    found = [fault for name in pages for fault in page_faults(released, pages, name)]
    assert [*found, *style_faults(released), *drawing_faults(released)] == []


def test_robots_are_sent_away(released: Path) -> None:
    assert (released / "robots.txt").read_bytes() == b"User-agent: *\nDisallow: /\n"
    pages = [p for p in released.rglob("*.html") if p.name != "report.html"]
    assert all('name="robots" content="none"' in p.read_text("utf-8") for p in pages)


def test_the_manifest_names_what_is_released_alone(released: Path) -> None:
    found = json.loads((released / NAME).read_bytes())

    assert found["options"]["release"] is True
    assert list(found["tests"]) == ["ML-101"]


def test_results_are_those_that_were_issued(released: Path, root: Path) -> None:
    kept = (root / TESTS / "ML-101.r0.json").read_bytes()

    for name in ("result.json", "r0/result.json"):
        assert (released / "tests/ML-101" / name).read_bytes() == kept
    report = (root / TESTS / "ML-101.r0.html").read_bytes()
    assert (released / "tests/ML-101/r0/report.html").read_bytes() == report


def test_a_copy_for_clients_without_the_past_is_made_of_what_was_kept(
    root: Path, tmp_path: Path
) -> None:
    copied = tmp_path / "downloaded"
    shutil.copytree(root / "records", copied / "records")

    build(
        find_root(copied),
        tmp_path / "site",
        Options(release=True, without_history=True),
        1,
    )

    files = contents(tmp_path / "site")
    assert not {p for p, data in files.items() if "secret" in secrets(data)}
    page = files["tests/ML-101/index.html"].decode()
    assert ML_101_MAXIMUM in page
    assert "kept" in page


@pytest.mark.parametrize("owned", [True, False])
def test_a_test_that_was_moved_takes_its_customer_along(
    root: Path, tmp_path: Path, *, owned: bool
) -> None:
    other = tmp_path / "moved"
    git(tmp_path, "clone", "--quiet", str(root), str(other))
    ours, theirs = (other / f"records/{p}/tests" for p in ("hidden-lane", "marsh-lane"))
    for path in sorted(ours.glob("HL-101.*")):
        git(other, "mv", str(path), str(theirs))
    if owned:
        record = theirs / "HL-101.yaml"
        text = record.read_text("utf-8")
        record.write_text(text.replace("project: hidden-lane", "project: marsh-lane"))
    git(other, "config", "user.name", "A")
    git(other, "config", "user.email", "a@lab.example")
    git(other, "commit", "--quiet", "--all", "--message=moved")

    build(other, tmp_path / "site", Options(release=True), 1)

    told = {path: secrets(data) for path, data in contents(tmp_path / "site").items()}
    own = "tests/ML-101/r0/report.html"
    found = {path: words for path, words in told.items() if words}
    assert found == {own: {"to the customer"}}


def test_a_test_that_is_published_no_more_is_named(
    root: Path, released: Path, tmp_path: Path
) -> None:
    other = tmp_path / "closed"
    git(tmp_path, "clone", "--quiet", str(root), str(other))
    edit(other, "marsh-lane/project.yaml", "publish: yes", "publish: no", commit=False)
    words: list[str | Path] = ["build", "--release", "--root", other]
    before = ("--previous", released / "manifest.json")

    gone = run(*words, *before, "--out", tmp_path / "site")
    same = run("build", "--release", "--root", root, *before, "--out", tmp_path / "two")

    said = "Published before, and no longer on this site: ML-101."
    assert said in gone.err
    assert "Published before" not in same.err


def test_a_family_shows_its_issued_members_alone(released: Path, own: Path) -> None:
    page = "projects/marsh-lane/families/cutting-1/index.html"
    shown, whole = ((root / page).read_text("utf-8") for root in (released, own))

    assert "ML-101" in shown
    assert "ML-102" not in shown
    assert "ML-102" in whole
    assert (released / page).with_name("family.svg").is_file()


def test_curves_of_issued_tests_alone_are_shown(released: Path, own: Path) -> None:
    def drawn(site: Path) -> set[str]:
        files = (*site.glob("*/*/curves.js"), *site.glob("projects/*/curves*.svg"))
        return {id for one in files for id in re.findall(r"ML-\d+", one.read_text())}

    assert drawn(own) >= {"ML-101", "ML-102"}
    assert drawn(released) == {"ML-101"}
