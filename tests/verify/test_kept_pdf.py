"""Kept PDFs are those that were issued: in the archive, and on a site."""

import json
import shutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from unittest.mock import patch

import pytest

from buildsite.pages.revisions import kept_pdf as drawing
from buildsite.record.canonical import digest
from buildsite.verifying import redrawn
from tests.cli.running import run
from tests.clones import write
from tests.issuing.clones import TESTS, lab
from tests.verify.tampering import (
    Fault,
    Item,
    caught,
    chained,
    commit,
    issue,
    items,
    put,
    sound,
    verify,
)

NAME = f"{TESTS}/ML-101.r0.pdf"
TITLE = (b"/Title (ML-101 r0", b"/Title (ML-102 r0")
"""A change that leaves a PDF in its form."""


drawn = cache(drawing.kept_pdf)
"""Draws the PDF of a report once: it is the same each time (`issuing/test_pdf.py`)."""


@pytest.fixture(scope="module", autouse=True)
def once() -> Iterator[None]:
    """Issue, `verify` and `build` draw so, in all tests of this file."""
    with patch.object(drawing, "kept_pdf", drawn):
        yield


@pytest.fixture(scope="module")
def issued(pango: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two tests issued, the first with a PDF. No test may write to it."""
    root = lab(tmp_path_factory.mktemp("pdf") / "lab")
    issue(root, "ML-101", "--pdf", reason="first issue")
    issue(root, "ML-102", reason="first issue")
    return root


@pytest.fixture
def root(issued: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(issued, tmp_path / "lab"))


@pytest.fixture(scope="module")
def built(issued: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("site") / "site"
    ran = run("build", "--root", issued, "--out", out, "--jobs", "1")
    assert ran.status == 0, ran.err
    return out


def altered(data: bytes) -> bytes:
    assert data.count(TITLE[0]) == 1
    return data.replace(*TITLE)


def test_an_untouched_one_is_drawn_again_and_is_the_same(root: Path) -> None:
    drawn.cache_clear()
    ran = verify(root)

    assert ran.status == 0, ran.out
    assert "drawn" not in json.dumps(json.loads(ran.out).get("remarks", []))


def test_it_is_not_edited_unseen(root: Path) -> None:
    write(root, {NAME: altered((root / NAME).read_bytes())})
    broke = commit(root, "edited")

    caught(root, Fault("ML-101", 0, NAME, broke), "its digest differs")


def test_it_is_not_removed_unseen(root: Path) -> None:
    (root / NAME).unlink()
    broke = commit(root, "removed")

    caught(root, Fault("ML-101", 0, NAME, broke), "the kept pdf is missing")


@pytest.mark.parametrize("name", ["ML-101.r1.pdf", "ML-102.r0.pdf", "ML-101.r00.pdf"])
def test_one_that_no_item_keeps_is_seen(root: Path, name: str) -> None:
    write(root, {f"{TESTS}/{name}": (root / NAME).read_bytes()})
    broke = commit(root, "one more")
    test, number = name.split(".")[0], int(name.split(".")[1][1:])

    fault = Fault(test, number, f"{TESTS}/{name}", broke)
    caught(root, fault, "kept")


def forged(root: Path, data: bytes, **more: str) -> str:
    """Put another PDF in the place of the first, with digests that fit."""
    (tree,) = items(root)
    item: Item = {**tree, "pdf": digest(data), **more}
    write(root, {NAME: data})
    put(root, chained([item]))
    return commit(root, "forged")


def test_one_that_its_report_does_not_give_is_caught(root: Path) -> None:
    forged(root, altered((root / NAME).read_bytes()))
    ran = verify(root)
    whats = [one["what"] for one in json.loads(ran.out)["faults"]]

    assert ran.status == 1
    assert "the kept PDF is not the one that its report gives" in whats


def test_one_that_could_do_something_is_caught(root: Path) -> None:
    data = (root / NAME).read_bytes()
    forged(root, data.replace(b"/Lang (en)", b"/AA (en)"))
    ran = verify(root)

    assert ran.status == 1
    assert "holds what none may: /AA" in ran.out
    built = run("build", "--root", root, "--out", root.parent / "out", "--jobs", "1")
    assert built.status == 3
    assert "ML-101.r0.pdf holds what no kept report may: /AA" in built.err


def test_one_with_another_result_attached_is_caught(root: Path) -> None:
    data = (root / NAME).read_bytes()
    at = data.index(b'"id"', data.index(b"/EmbeddedFile"))
    forged(root, data[:at] + b'"ID"' + data[at + 4 :])
    ran = verify(root)

    assert ran.status == 1
    assert "does not have the kept result attached" in ran.out


def test_where_other_versions_drew_it_that_is_told(root: Path) -> None:
    by = "WeasyPrint 1.0, Pango 1.0.0, HarfBuzz 1.0.0"
    forged(root, altered((root / NAME).read_bytes()), pdf_drawn_by=by)
    ran = run("verify", "--root", root)

    assert f"1 PDF drawn by {by}, which is not here" in ran.out + ran.err
    assert "is not the one that its report gives" not in ran.out + ran.err


def test_without_pango_its_digest_is_compared_all_the_same(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(redrawn, "versions_here", lambda: "")
    assert sound(root)
    ran = run("verify", "--root", root)
    assert "1 PDF drawn by WeasyPrint" in ran.out + ran.err

    write(root, {NAME: altered((root / NAME).read_bytes())})
    broke = commit(root, "edited")
    caught(root, Fault("ML-101", 0, NAME, broke), "its digest differs")


def test_a_site_has_it_byte_for_byte(root: Path, built: Path) -> None:
    page = (built / "tests/ML-101/r0/index.html").read_text("utf-8")

    assert (built / "tests/ML-101/r0/report.pdf").read_bytes() == (
        root / NAME
    ).read_bytes()
    assert '<a href="report.pdf">report.pdf</a>' in page
    assert not (built / "tests/ML-102/r0/report.pdf").exists()
    assert sound(root, "--site", built)


def test_on_a_site_it_is_not_edited_unseen(
    root: Path, built: Path, tmp_path: Path
) -> None:
    site = Path(shutil.copytree(built, tmp_path / "site"))
    served = "tests/ML-101/r0/report.pdf"
    (site / served).write_bytes(altered((site / served).read_bytes()))
    ran = verify(root, "--site", site)
    found = {one["file"]: one["what"] for one in json.loads(ran.out)["faults"]}

    assert ran.status == 1
    assert "the kept pdf is not the one issued" in found[served]


def test_a_report_in_hand_knows_it(root: Path, built: Path) -> None:
    sum = digest((root / NAME).read_bytes()).removeprefix("sha256:")
    page = (built / "report-in-hand/index.html").read_text("utf-8")
    data = (built / "report-in-hand/data.js").read_text("utf-8")

    assert sum in page
    assert f'"{sum}":"PDF ML-101 r0"' in data
