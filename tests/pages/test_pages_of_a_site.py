"""The pages between the reports: whole, linked, strict, and the same at every build."""

import re
from pathlib import Path

import pytest

from buildsite.kinds.sheet import (
    Axis,
    Cell,
    Column,
    Dot,
    Line,
    Note,
    Plot,
    Row,
    Sheet,
    Table,
)
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.page import site_of
from buildsite.pages.site_sources import Options
from tests import links
from tests.archives import ML_101_MAXIMUM, changed, sound
from tests.pages.builds import archive_of, made, page, written

CSP = (
    "default-src 'none'; style-src 'self'; img-src 'self' data:; script-src 'self'; "
    "base-uri 'none'; form-action 'none'"
)
TEST = "marsh-lane/tests/ML-101.yaml"


def html(options: Options | None = None) -> dict[str, str]:
    return {
        path: data.decode()
        for path, data in made(sound(), options).items()
        if path.endswith(".html")
    }


def test_every_page_that_is_promised_is_made() -> None:
    there = set(made(sound()))

    assert there >= {
        "index.html",
        "404.html",
        "style.css",
        "site.js",
        "icon.svg",
        "projects/marsh-lane/index.html",
        "soils/index.html",
        "samples/ML-S1/index.html",
        "samples/ML-S2/index.html",
        "tests/ML-101/index.html",
        "tests/ML-102/index.html",
        "equipment/index.html",
        "equipment/M-04/index.html",
        "equipment/M-04/volumes.svg",
        "due/index.html",
        "today/index.html",
        "flags/index.html",
        "staff/index.html",
        "checks/index.html",
        "methods/index.html",
        "methods/aashto-t-99/index.html",
        "methods/astm-d698/index.html",
    }


def test_every_link_leads_somewhere_and_every_page_is_reached(tmp_path: Path) -> None:
    site = written(sound(), tmp_path)
    pages = links.read_site(site)

    faults = [fault for name in pages for fault in links.page_faults(site, pages, name)]

    assert faults == []
    assert links.unreached(pages) == []
    assert [*links.style_faults(site), *links.drawing_faults(site)] == []


def test_a_broken_archive_has_no_broken_link(tmp_path: Path) -> None:
    files = changed(
        {
            TEST: "kind: [",
            "marsh-lane/project.yaml": None,
            "equipment/R-02.yaml": "kind: rammer\n",
            "marsh-lane/samples/ML-S2.yaml": None,
        }
    )
    site = written(files, tmp_path)
    pages = links.read_site(site)

    faults = [fault for name in pages for fault in links.page_faults(site, pages, name)]

    assert faults == []


def test_no_page_allows_foreign_or_inline_code() -> None:
    for path, text in html().items():
        if path.endswith("worksheet.html"):
            continue  # it is a file by itself: see test_worksheet
        head = text.partition("<head>")[2].lstrip()
        assert head.startswith(
            f'<meta http-equiv="Content-Security-Policy" content="{CSP}">'
        ), path
        assert not re.search(r"<style|<script(?! src=)|\sstyle=|\son[a-z]+=", text), (
            path
        )


def test_every_page_of_the_laboratorys_copy_says_so() -> None:
    for path, text in html().items():
        # Above and below; a bench sheet is one printed page, and says it once.
        times = 1 if path.endswith("worksheet.html") else 2
        assert text.count("Not for release") >= times, path
        assert text.count("Invented.") + text.count("are invented") >= times, path
        assert "are invented" in text, path


def test_robots_are_sent_away_only_where_the_laboratory_says_so() -> None:
    quiet = changed({"lab.yaml": [["staff:", "robots: none\nstaff:"]]})

    assert 'name="robots"' not in page(sound(), "index.html")
    for path, data in made(quiet).items():
        if path.endswith(".html"):
            assert b'<meta name="robots" content="none">' in data, path


def test_the_lost_page_knows_where_the_site_stands() -> None:
    far = Options(base_url="https://lab.example/reports/")

    assert 'href="style.css"' in page(sound(), "404.html")
    assert 'href="/reports/style.css"' in page(sound(), "404.html", far)
    assert 'href="style.css"' in page(sound(), "index.html", far)


def test_the_same_archive_gives_the_same_bytes() -> None:
    assert made(sound()) == made(dict(reversed(list(sound().items()))))


HERE = Path(__file__).resolve().parents[2]
"""Where this clone stands on this machine: no page may know."""


def test_no_clock_and_no_machine() -> None:
    for path, data in made(sound()).items():
        assert str(HERE).encode() not in data, path
        assert b"Generated" not in data, path


def test_an_equipment_page_names_the_tests_that_relied_on_each_calibration() -> None:
    text = page(sound(), "equipment/M-04/index.html")

    assert re.search(r"ML-101</a></th>\s*<td[^>]*>2026-03-10</td>", text)


def test_the_checks_page_has_a_place_for_every_flag_that_is_raised() -> None:
    files = changed(
        {TEST: [["container_and_dry: 147.04", "container_and_dry: 167.04"]]}
    )
    text = page(files, "checks/index.html")

    raised = re.findall(r"checks/index.html#([\w-]+)", page(files, "flags/index.html"))

    assert raised
    for flag in raised:
        assert f'id="{flag}"' in text


def test_open_errors_come_first() -> None:
    files = changed(
        {TEST: [["container_and_dry: 147.04", "container_and_dry: 167.04"]]}
    )

    weights = re.findall(r">(error|warning|note)</td>", page(files, "flags/index.html"))

    assert weights[0] == "error"
    assert weights == sorted(weights, key=["error", "warning", "note"].index)


def test_results_of_one_unit_have_it_in_the_heading() -> None:
    other = "records/marsh-lane/tests/ML-102.yaml"
    files = {name: data for name, data in sound().items() if name != other}
    where = "projects/marsh-lane/index.html"

    alone, beside = page(files, where), page(sound(), where)

    assert 'Maximum dry density <span class="unit">lb/ft³</span>' in alone
    # beside a density under AASHTO T 99 stands a unit weight under ASTM D698
    assert f"{ML_101_MAXIMUM} lb/ft³" in beside
    assert re.search(r"\d lbf/ft³", beside)


def test_a_new_kind_needs_no_template() -> None:
    sheet = Sheet(
        "A kind of test nobody made yet",
        "its subtitle",
        (
            Note("gone", "Withdrawn", ("It was withdrawn.",), role="banner"),
            Table(
                "results",
                "Results",
                (Column("Result"), Column("Reported")),
                (Row((Cell("Stiffness"), Cell("12 N"))),),
                role="results",
                headed="row",
            ),
            Plot(
                "curve",
                "A curve",
                Axis("x", "m", 0, 1, 1, 0),
                Axis("y", "s", 0, 1, 1, 0),
                (Line("curve", (0, 1), (0, 1)),),
                (Dot("point", 0, 0, 1),),
                alt="rises",
            ),
            Table(
                "points",
                "Points",
                (Column("Point"), Column("Mass", "g", number=True)),
                (
                    Row((Cell("1"), Cell("8.5")), mark="rejected", point=1),
                    Row((Cell("2"), Cell("8.52")), point=2),
                ),
                role="points",
            ),
            Note("said", "Remarks", ("Nothing.",)),
        ),
    )
    context = IndexContext(site_of(archive_of(sound()), Options()), ())

    text = context.sheet_page("strange/X-1/index.html", sheet, "Kind")[1].decode()

    for said in ("Stiffness", ">12<span", "N</span>", "rises", "Nothing."):
        assert said in text
    assert 'data-point="2"' in text
    assert '<span class="tag">rejected</span>' in text
    assert ">8.5\u2007<" in text  # a digit's width, so that the points line up


@pytest.mark.parametrize("name", ["style.css", "site.js"])
def test_own_files_fetch_nothing(name: str) -> None:
    text = made(sound())[name].decode()

    # The name of a namespace has the form of an address, and a part of the same
    # document is named by one; nobody asks for them.
    text = text.replace('"http://www.w3.org/2000/svg"', "").replace("url(#", "")
    assert not re.search(r"https?:|url\(|@import|fetch\(|innerHTML|eval\(", text)
