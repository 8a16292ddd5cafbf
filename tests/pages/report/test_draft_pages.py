"""The report of one test: what it must say, and the files beside it."""

import json
import re

import pytest

from buildsite.pages.report.draft_pages import render_test as files_of_test
from buildsite.pages.site_sources import Options, SiteSources
from tests.archives import changed, sound
from tests.pages.builds import archive_of, made, page

TEST = "marsh-lane/tests/ML-101.yaml"
PAGE = "tests/ML-101/index.html"


def text_of(html: str) -> str:
    """The words of a page."""
    body = html.partition("<main")[2].partition("</main>")[0]
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", body)).replace("\xa0", " ")


def test_it_carries_what_is_asked_of_any_report() -> None:
    # ISO/IEC 17025:2017, 7.8.2.1, letter by letter.
    html = page(sound(), PAGE)
    text = text_of(html)

    for asked in (
        "Moisture-density test: report",  # a) title
        "Tested at Sedge Hollow",  # c) where
        "ML-101",  # d) identification
        "End of report ML-101",  # d) the end
        "Customer",  # e)
        "AASHTO T 99-22, Method A",  # f) method
        "Condition",  # g) condition of the item
        "Received",  # h)
        "Compacted 2026-03-10",  # i)
        "Issued not issued: preliminary",  # j)
        "Sampled",  # k)
        "apply only to the sample as received",  # l)
        "Departures from the method",  # n)
        "Reviewed 2026-03-12, E02",  # o)
    ):
        assert asked in text, asked
    assert "Sedge Hollow Soils Laboratory" in html  # b)


def test_the_reported_results_are_those_of_the_json() -> None:
    files = made(sound())
    results = json.loads(files["tests/ML-101/result.json"])["results"]

    text = text_of(files[PAGE].decode())

    assert results
    for result in results.values():
        assert result["reported"].replace("ft3", "ft³") in text


def test_cautions_name_the_dangers_and_the_local_rules() -> None:
    text = text_of(page(sound(), PAGE)).lower()

    for word in ("rammer:", "oven:", "dust:", "lifting:"):
        assert word in text
    assert "follow your local rules and licensed practice" in text


def test_the_files_beside_it() -> None:
    files = made(sound())

    assert {name for name in files if name.startswith("tests/ML-101/")} == {
        PAGE,
        "tests/ML-101/record.yaml",
        "tests/ML-101/result.json",
        "tests/ML-101/points.csv",
        "tests/ML-101/curve.svg",
        "tests/ML-101/curve.svg.js",
        "tests/ML-101/curve-data.js",
        "tests/ML-101/worksheet.html",
        "tests/ML-101/working/index.html",
    }
    assert files["tests/ML-101/record.yaml"] == sound()[f"records/{TEST}"]


@pytest.mark.parametrize(
    ("status", "says"),
    [
        ("complete", "Preliminary: complete, not issued."),
        ("in-progress", "Preliminary: in progress"),
        ("withdrawn", "Withdrawn: do not use the result."),
    ],
)
def test_the_status_is_said(status: str, says: str) -> None:
    files = changed({TEST: [["status: complete", f"status: {status}"]]})

    assert says in text_of(page(files, PAGE))


def test_an_error_blocks_a_complete_test() -> None:
    files = changed(
        {TEST: [["container_and_dry: 147.04", "container_and_dry: 167.04"]]}
    )

    text = text_of(page(files, PAGE))

    assert "Blocked: this test has an open error." in text
    assert "dry-heavier-than-wet" in text
    assert "point 1: container and dry" in text


def test_text_of_a_record_is_text_on_the_page() -> None:
    trap = "<script>alert(1)</script> & more"
    files = changed({TEST: [["oven: {in:", f"remarks: '{trap}'\noven: {{in:"]]})

    html = page(files, PAGE)

    assert "<script>alert" not in html
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; more" in html


def test_a_record_that_cannot_be_read_is_shown_with_its_faults() -> None:
    broken = "format: 1\nkind: moisture-density\nid: [ML-101 <b>\n"
    files = changed({TEST: broken})

    html = page(files, PAGE)
    there = made(files)

    assert "Unreadable" in text_of(html)
    assert "id: [ML-101 &lt;b&gt;" in html
    assert there["tests/ML-101/record.yaml"] == broken.encode()
    assert "tests/ML-101/result.json" not in there
    assert 'href="../../checks/index.html#' in html


def test_the_second_file_of_one_id_has_no_page() -> None:
    second = sound()[f"records/{TEST}"].decode()
    archive = archive_of(changed({"marsh-lane/tests/more/ML-101.yaml": second}))

    tests = [
        files_of_test(archive, file, Options(), SiteSources())
        for file in archive.files("test")
        if file.endswith("ML-101.yaml")
    ]

    assert [(test.row.page, bool(test.files)) for test in tests] == [
        (True, True),
        (False, False),
    ]


def test_a_row_says_what_lists_need() -> None:
    archive = archive_of(sound())

    row = files_of_test(archive, f"records/{TEST}", Options(), SiteSources()).row

    assert (row.id, row.project, row.sample) == ("ML-101", "marsh-lane", "ML-S1")
    assert (row.standard, row.method) == ("AASHTO T 99", "A")
    assert str(row.day) == "2026-03-10"
    assert [name for name, _ in row.results] == [
        "maximum_dry_density",
        "optimum_water_content",
    ]
    assert "M-04" in {id for id, *_ in row.relies}


def test_what_is_the_laboratorys_own_stays_there() -> None:
    files = changed({TEST: [["dried: {on: 2026-03-11, by: T04}\n", ""]]})
    archive = archive_of(files)

    own = files_of_test(archive, f"records/{TEST}", Options(), SiteSources())
    out = files_of_test(
        archive, f"records/{TEST}", Options(release=True), SiteSources()
    )

    assert b"Not for release" in dict(own.files)[PAGE]
    assert out.files == ()  # it was never issued
