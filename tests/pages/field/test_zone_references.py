"""A client finds the maximum of a zone first on the page of the project, and why."""

import re
from pathlib import Path

import pytest

from tests.clones import git
from tests.pages.field.site_of_records import PROJECT, archive, site


@pytest.fixture(scope="module", params=[False, True], ids=["own", "client"])
def folder(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Path:
    root = archive(tmp_path_factory.mktemp("archive"), "ML-101", "ML-F001")
    release = bool(request.param)
    return site(root, tmp_path_factory.mktemp("built") / "site", release=release)


def words(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def test_the_page_of_a_project_begins_with_the_zones(folder: Path) -> None:
    page = (folder / f"projects/{PROJECT}/index.html").read_text("utf-8")
    first = page[page.index("<h2") :].split("</table>")[0]

    assert words(first).startswith("Maximum and optimum by zone")
    # The field density states reference ML-101, whose report says 108.1 lb/ft³.
    assert "embankment 108.1 lb/ft³ at " in words(first)
    assert 'href="../../tests/ML-101/index.html"' in first
    assert words(first).endswith("issued r0 no")


def test_it_says_where_the_soil_of_a_reference_is_from(folder: Path) -> None:
    page = (folder / f"projects/{PROJECT}/index.html").read_text("utf-8")
    sample = (folder / "tests/ML-101/index.html").read_text("utf-8")
    stated = re.search(r"<dt>Source</dt><dd>(.*?)</dd>", sample)

    assert stated is not None
    first = page[page.index("<h2") :].split("</table>")[0]
    assert f", {stated[1]}" in words(first)


def test_a_zone_without_field_tests_says_so(tmp_path: Path) -> None:
    root = archive(tmp_path / "archive", "ML-101", "ML-F001")
    project = root / f"records/{PROJECT}/project.yaml"
    text = project.read_text("utf-8")
    zone = """  - zone: access road
    standard: {designation: AASHTO T 99, method: A}
    least_percent_compaction: "90"
"""
    more = text.replace("requirements:\n", f"requirements:\n{zone}")
    assert more != text
    project.write_text(more, "utf-8")
    git(root, "commit", "--quiet", "--all", "--message=A zone more")
    out = site(root, tmp_path / "site", release=False)

    page = (out / f"projects/{PROJECT}/index.html").read_text("utf-8")
    first = page[page.index("<h2") :].split("</table>")[0]
    assert words(first).endswith("access road no field test yet — — — —")


def test_the_search_says_it_beside_the_zone(folder: Path) -> None:
    data = (folder / "search/things-1.js").read_text("utf-8").replace("\xa0", " ")

    assert re.search(r'"Zone","embankment","[^"]*judged by ML-101 108\.1 lb/ft³', data)


def test_every_page_leads_to_the_check_of_a_report(folder: Path) -> None:
    page = (folder / f"projects/{PROJECT}/index.html").read_text("utf-8")

    foot = page[page.index('<footer class="site">') :]
    assert 'href="../../report-in-hand/index.html"' in foot
