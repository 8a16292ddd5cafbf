"""The one link of a report that is sent: where its current revision is told."""

import shutil
from pathlib import Path

import pytest

from buildsite.archive.inputs_as_issued import Contents
from buildsite.archive.issued_files import unfit_report
from buildsite.record.canonical import digest
from tests.archives import archive_of
from tests.cli.running import run
from tests.clones import git, write
from tests.issuing.clones import TESTS, edit, issued, kept, lab
from tests.verify.tampering import chained, commit, issue, items, put

WHERE = "https://soils.example/reports"
LINK = '<a href="https://soils.example/reports/tests/ML-101/">'
PROJECT = "records/marsh-lane/project.yaml"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A laboratory that says where its site is, and has issued ML-101."""
    root = lab(tmp_path / "lab")
    text = (root / "records/lab.yaml").read_text("utf-8")
    project = (root / PROJECT).read_bytes() + b"publish: yes\n"
    write(root, {"records/lab.yaml": at(text, WHERE).encode(), PROJECT: project})
    git(root, "commit", "--quiet", "--all", "--message=where the site is")
    issue(root, "ML-101", reason="first issue")
    return root


def at(text: str, address: str) -> str:
    """Put the address of the site into lab.yaml."""
    assert text.count("procedures: {") == 1
    return text.replace("procedures: {", f"procedures: {{published_at: {address}, ")


def test_a_report_leads_to_its_test_and_says_its_code(root: Path) -> None:
    page = kept(root, "ML-101", 0).decode()
    content = issued(root, "ML-101").items[0].content.removeprefix("sha256:")
    code = f"{content[:4]} {content[4:8]} {content[8:12]}"

    assert page.count("<a ") == page.count(LINK) == 1
    assert "Does this report still hold?" in page
    assert f"Report code {code}" in page


def test_without_the_address_a_report_has_no_link(tmp_path: Path) -> None:
    root = lab(tmp_path / "lab")
    issue(root, "ML-101", reason="first issue")

    page = kept(root, "ML-101", 0).decode()
    assert "<a " not in page
    assert "still hold" not in page
    assert "Report code" in page


def test_no_report_leads_to_a_page_that_clients_do_not_have(root: Path) -> None:
    edit(root, "marsh-lane/project.yaml", "publish: yes", "publish: no")
    issue(root, "ML-102", reason="first issue")

    page = kept(root, "ML-102", 0).decode()
    assert "<a " not in page
    assert "still hold" not in page
    assert "Report code" in page
    assert run("verify", "--root", root).status == 0


def test_the_address_is_no_value_used(root: Path, tmp_path: Path) -> None:
    other = lab(tmp_path / "other")
    issue(other, "ML-101", reason="first issue")

    assert issued(root, "ML-101").items[0].used == issued(other, "ML-101").items[0].used


def test_what_was_sent_stays_good_when_the_site_moves(
    root: Path, tmp_path: Path
) -> None:
    edit(root, "lab.yaml", WHERE, "https://elsewhere.example/")

    assert run("verify", "--root", root).status == 0
    built = run("build", "--root", root, "--out", tmp_path / "site")
    assert built.status == 0, built.err
    assert run("check", "--root", root).status == 0


def test_a_plain_folder_is_built_when_the_site_has_moved(
    root: Path, tmp_path: Path
) -> None:
    edit(root, "lab.yaml", WHERE, "https://elsewhere.example/")
    plain = tmp_path / "plain"
    shutil.copytree(root / "records", plain / "records")
    words = ("build", "--without-history", "--root", plain, "--out", tmp_path / "site")
    built = run(*words)

    assert built.status == 0, built.err
    sent = tmp_path / "site/tests/ML-101/r0/report.html"
    assert sent.read_bytes() == kept(root, "ML-101", 0)


@pytest.mark.parametrize(
    "link",
    [
        LINK.replace("ML-101", "ML-102"),
        LINK.replace("/tests/", "/else/"),
        LINK.replace("https:", "javascript:"),
        LINK.replace('">', '" onclick="alert(1)">'),
        f"{LINK}</a>{LINK}",
    ],
)
def test_in_a_plain_folder_the_link_has_the_form_of_one_to_its_test(
    root: Path, link: str
) -> None:
    name = f"{TESTS}/ML-101.r0.html"
    sent, item = kept(root, "ML-101", 0), issued(root, "ML-101").items[0]
    shared = archive_of({}).shared

    def refused(data: bytes) -> bool:
        return bool(unfit_report(name, data, item, Contents(None), shared))

    assert not refused(sent)
    assert refused(sent.replace(LINK.encode(), link.encode()))
    # Which site it is, only the history knows: `verify` tells (below).
    assert not refused(sent.replace(b"soils.example", b"other.example"))


@pytest.mark.parametrize(
    "link",
    [
        LINK.replace("soils.example", "evil.example"),
        LINK.replace("ML-101", "ML-102"),
        LINK.replace('">', '" onclick="alert(1)">'),
    ],
)
def test_another_link_is_caught_and_not_built(
    root: Path, tmp_path: Path, link: str
) -> None:
    git(root, "reset", "--quiet", "--soft", "HEAD~1")
    name = f"{TESTS}/ML-101.r0.html"
    data = (root / name).read_bytes().replace(LINK.encode(), link.encode())
    trees = items(root)
    trees[-1]["software"] = {**trees[-1]["software"], "fingerprint": "a" * 64}
    old = trees[-1]["content"].encode()
    trees = chained(trees)
    data = data.replace(old, trees[-1]["content"].encode())
    trees[-1]["report"] = digest(data)
    write(root, {name: data})
    put(root, trees)
    commit(root, "Issue ML-101 r0")

    verified = run("verify", "--root", root)
    built = run("build", "--root", root, "--out", tmp_path / "site")

    assert verified.status == 1
    assert "the kept report holds what none may" in verified.out
    assert f"{name} holds what no kept report may" in built.err
    assert not (tmp_path / "site").exists()
