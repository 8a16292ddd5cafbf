"""`issue --pdf`: the sheet of the kept report as a PDF, tagged, the same everywhere."""

import json
import os
import re
import subprocess
import sys
from base64 import b64decode
from collections.abc import Iterator
from datetime import date
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest
from pypdf import PdfReader

from buildsite.errors import ENVIRONMENT, USAGE
from buildsite.issuing import report_pdf
from buildsite.pages.revisions import kept_pdf as drawing
from buildsite.record.canonical import digest
from buildsite.record.issued import report_code
from buildsite.record.kept_pdf import why_refused
from tests.cli.running import Ran, run
from tests.clones import git
from tests.issuing.clones import TESTS, edit, in_commit, issued, kept, lab, state

FIRST = ("--authorized-by", "E02", "--reason", "first issue", "--on", "2026-03-13")
NAME = f"{TESTS}/ML-101.r0.pdf"


DRAWS = drawing.kept_pdf
drawn = cache(DRAWS)
"""Draws the PDF of a report once: the first report of all tests here is the same."""


@pytest.fixture(scope="module", autouse=True)
def once() -> Iterator[None]:
    """Issue draws so; a test of what is drawn again forgets it first, or asks DRAWS."""
    with patch.object(drawing, "kept_pdf", drawn):
        yield


def issue(root: Path, *words: str) -> Ran:
    return run("issue", "ML-101", *FIRST, *words, "--root", root)


@pytest.fixture(scope="module")
def root(pango: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An archive with a report that is kept as a PDF. No test may write to it."""
    root = lab(tmp_path_factory.mktemp("pdf") / "lab")
    ran = issue(root, "--pdf")
    assert ran.status == 0, ran.err
    assert f"kept: {NAME}" in ran.err
    return root


@pytest.fixture(scope="module")
def reader(root: Path) -> PdfReader:
    return PdfReader(root / NAME)


def drawn_again(root: Path) -> bytes:
    item = issued(root, "ML-101").items[0]
    html, result = kept(root, "ML-101", 0), kept(root, "ML-101", 0, "json")
    return DRAWS(html, result, item.content, item.issued_on)


def objects(reader: PdfReader) -> Iterator[Any]:
    for number in range(1, len(reader.xref[0]) + 1):
        yield reader.get_object(number)


def test_it_is_kept_in_the_commit_of_the_report(root: Path, pango: str) -> None:
    (item,) = issued(root, "ML-101").items

    assert in_commit(root) == [
        f"A\t{TESTS}/ML-101.issued.yaml",
        f"A\t{TESTS}/ML-101.r0.html",
        f"A\t{TESTS}/ML-101.r0.json",
        f"A\t{NAME}",
    ]
    assert item.pdf == digest((root / NAME).read_bytes())
    assert item.pdf_drawn_by == pango
    assert git(root, "status", "--porcelain") == ""


def test_an_item_says_the_same_with_and_without_it(root: Path, tmp_path: Path) -> None:
    plain = lab(tmp_path)
    assert issue(plain).status == 0
    (with_it,), (without,) = (issued(one, "ML-101").trees for one in (root, plain))

    assert {key: with_it[key] for key in with_it if "pdf" not in key} == without
    assert kept(plain, "ML-101", 0) == kept(root, "ML-101", 0)
    assert not (plain / NAME).exists()


def test_the_same_bytes_twice(root: Path) -> None:
    assert drawn_again(root) == (root / NAME).read_bytes()


def test_the_same_bytes_in_another_process_with_other_fonts(
    root: Path, tmp_path: Path
) -> None:
    # Another order of sets, another day, another time zone, no font in the system.
    nothing = tmp_path / "fonts.conf"
    nothing.write_text("<fontconfig></fontconfig>")
    item = issued(root, "ML-101").items[0]
    program = (
        "import sys; from pathlib import Path; from datetime import date\n"
        "from buildsite.pages.revisions.kept_pdf import kept_pdf\n"
        "page, result = (Path(one).read_bytes() for one in sys.argv[1:3])\n"
        "drawn = kept_pdf(page, result, sys.argv[3], date(2026, 3, 13))\n"
        "sys.stdout.buffer.write(drawn)\n"
    )
    stem = root / TESTS / "ML-101.r0"
    files = (f"{stem}.html", f"{stem}.json")
    more = {
        "PYTHONHASHSEED": "7",
        "TZ": "Asia/Kathmandu",
        "LC_ALL": "C",
        "FONTCONFIG_FILE": str(nothing),
        "SOURCE_DATE_EPOCH": "1",
    }
    assert item.issued_on == date(2026, 3, 13)
    done = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", program, *files, item.content],
        env={**os.environ, **more},
        capture_output=True,
        check=True,
        cwd=Path(__file__).parents[2],
    )

    assert done.stdout == (root / NAME).read_bytes()


def test_it_states_no_day_but_that_of_issue(root: Path, reader: PdfReader) -> None:
    data = (root / NAME).read_bytes()

    assert set(re.findall(rb"D:[0-9Z]+", data)) == {b"D:20260313000000Z"}
    assert reader.metadata is not None
    assert reader.metadata.creation_date is None


def test_it_is_tagged(reader: PdfReader) -> None:
    # ISO 14289-1:2014 (PDF/UA-1): 7.1 (marked, a structure tree, the title shown), 7.2
    # (natural language), 7.3 (alternative text of figures), 5 (it says so in XMP).
    catalog: Any = reader.trailer["/Root"]
    tags = [one for one in objects(reader) if has(one, "/Type", "/StructElem")]
    sorts = {one["/S"] for one in tags}
    figures = [one for one in tags if one["/S"] == "/Figure"]

    assert catalog["/MarkInfo"]["/Marked"]
    assert catalog["/StructTreeRoot"]
    assert catalog["/Lang"] == "en"
    assert catalog["/ViewerPreferences"]["/DisplayDocTitle"]
    assert b'pdfuaid:part="1"' in catalog["/Metadata"].get_data()
    assert {"/H1", "/H2", "/P", "/Table", "/TR", "/TH", "/TD", "/Figure"} <= sorts
    assert any("lb/ft³" in str(one.get("/Alt")) for one in figures)
    assert reader.metadata is not None
    assert str(reader.metadata.title).startswith("ML-101 r0 · ")


def has(one: Any, key: str, value: str) -> bool:
    return isinstance(one, dict) and one.get(key) == value


def test_its_result_is_attached_and_nothing_else(root: Path, reader: PdfReader) -> None:
    result = kept(root, "ML-101", 0, "json")

    assert {name: list(data) for name, data in reader.attachments.items()} == {
        "result.json": [result]
    }
    assert json.loads(result)["id"] == "ML-101"
    record = (root / TESTS / "ML-101.yaml").read_bytes()
    assert record not in (root / NAME).read_bytes()


def test_its_figure_is_drawn_as_lines(root: Path, reader: PdfReader) -> None:
    pictures = [one for one in objects(reader) if has(one, "/Subtype", "/Image")]
    page = kept(root, "ML-101", 0).decode()
    (figure, *_) = re.findall(r"data:image/svg\+xml;base64,([A-Za-z0-9+/=]+)", page)
    words = re.findall(r">([A-Z][^<>]{5,})</text>", b64decode(figure).decode())

    assert pictures == []
    assert words != []
    text = text_of(reader)
    for label in words:
        assert label in text  # text that can be found and read aloud


def text_of(reader: PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def test_it_prints_what_the_kept_report_prints(root: Path, reader: PdfReader) -> None:
    item = issued(root, "ML-101").items[0]
    text = text_of(reader)

    assert len(reader.pages) == 1
    assert item.content in text.replace(" ", "")
    assert report_code(item.content).replace(" ", "") in text.replace(" ", "")
    for reported in item.results.values():
        assert reported.partition(" ")[0] in text
    assert "End of report ML-101 r0" in text


def test_its_fonts_come_with_it(reader: PdfReader) -> None:
    fonts = [one for one in objects(reader) if has(one, "/Type", "/FontDescriptor")]

    assert fonts != []
    assert all("DejaVu" in one["/FontName"] for one in fonts)
    assert all("/FontFile2" in one for one in fonts)


def test_it_may_be_kept(root: Path) -> None:
    assert why_refused((root / NAME).read_bytes()) == ()


def test_an_amendment_and_a_withdrawal_have_one(pango: str, tmp_path: Path) -> None:
    root = lab(tmp_path)
    assert issue(root, "--pdf").status == 0
    edit(root, "marsh-lane/tests/ML-101.yaml", "soil: 8.64", "soil: 8.60")
    assert issue(root, "--pdf").status == 0
    assert issue(root, "--withdraw", "--pdf").status == 0
    data = [kept(root, "ML-101", number, "pdf") for number in range(3)]
    texts = [text_of(PdfReader(BytesIO(one))) for one in data]

    assert "amends report ML-101 r0" in texts[1]
    assert "is withdrawn" in texts[2]
    assert PdfReader(BytesIO(data[2])).attachments == {}
    assert [why_refused(one) for one in data] == [(), (), ()]
    drawn.cache_clear()
    assert run("verify", "--root", root).status == 0


def test_its_one_link_leads_to_the_current_revision(pango: str, tmp_path: Path) -> None:
    root = lab(tmp_path)
    edit(root, "lab.yaml", "procedures: {", f"procedures: {{published_at: {WHERE}, ")
    edit(
        root, "marsh-lane/project.yaml", "kind: project", "kind: project\npublish: yes"
    )
    assert issue(root, "--pdf").status == 0
    reader = PdfReader(root / NAME)
    links = [one for one in objects(reader) if has(one, "/S", "/URI")]
    there = [one for page in reader.pages for one in page.get("/Annots", ())]

    assert {one["/A"]["/URI"] for one in map(resolved, there)} == {ADDRESS}
    assert all(one["/URI"] == ADDRESS for one in links)
    assert [one for one in objects(reader) if has(one, "/Subtype", "/Image")] == []
    drawn.cache_clear()
    assert run("verify", "--root", root).status == 0


def resolved(one: Any) -> Any:
    return one.get_object()


WHERE = "https://soils.example/reports"
ADDRESS = f"{WHERE}/tests/ML-101/"


def test_an_assessment_has_none(tmp_path: Path) -> None:
    ran = issue(lab(tmp_path), "--assess", "0", "--pdf")

    assert ran.status == USAGE
    assert "An assessment sends no report" in ran.err


@pytest.mark.parametrize(
    ("missing", "cause", "remedy"),
    [
        (ImportError("weasyprint"), "WeasyPrint is not installed", "buildsite[pdf]"),
        (OSError("libpango"), "Pango is not installed", "apt-get install libpango"),
    ],
)
def test_what_is_missing_is_told_and_nothing_is_issued(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    missing: Exception,
    cause: str,
    remedy: str,
) -> None:
    def absent() -> str:
        raise missing

    root = lab(tmp_path)
    before = state(root)
    monkeypatch.setattr(drawing, "drawn_by", absent)
    ran = issue(root, "--pdf")

    assert ran.status == ENVIRONMENT
    assert cause in ran.err
    assert remedy in ran.err
    assert state(root) == before
    assert issue(root).status == 0  # without it nothing is missing


def test_letters_that_the_fonts_lack_are_told(pango: str, tmp_path: Path) -> None:
    root = lab(tmp_path)
    before = state(root)
    ran = issue(root, "--pdf", "--to", "土質試験所")

    assert ran.status == 1
    assert "no letter for 土 所 試 質 験" in ran.err
    assert state(root) == before


def test_an_interrupted_issue_is_told(pango: str, tmp_path: Path) -> None:
    root = lab(tmp_path)
    (root / NAME).write_bytes(b"%PDF-1.7")
    ran = issue(root, "--pdf")

    assert ran.status == 1
    assert "an issue was interrupted" in ran.err


def test_without_a_commit_it_lies_beside_the_report(pango: str, tmp_path: Path) -> None:
    root = lab(tmp_path)
    assert issue(root, "--pdf", "--no-commit").status == 0

    assert (root / NAME).is_file()
    assert NAME in git(root, "status", "--porcelain", "--untracked-files=all")


def test_a_pdf_that_could_do_something_is_not_kept(
    pango: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = lab(tmp_path)
    before = state(root)
    draw = drawing.kept_pdf

    def with_more(*args: Any) -> bytes:
        return draw(*args).replace(b"/Lang (en)", b"/AA (en)")

    monkeypatch.setattr(drawing, "kept_pdf", with_more)
    ran = issue(root, "--pdf")

    assert ran.status == 1
    assert "would hold what no kept report may" in ran.err
    assert state(root) == before


def test_the_versions_are_those_of_the_machine(pango: str) -> None:
    assert re.fullmatch(r"WeasyPrint \S+, Pango [\d.]+, HarfBuzz [\d.]+", pango)
    assert report_pdf.drawn_here_by() == pango
