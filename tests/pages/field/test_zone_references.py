"""A client finds the maximum of a zone first on the page of the project, and why."""

import re
from pathlib import Path

import pytest

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


def test_the_search_says_it_beside_the_zone(folder: Path) -> None:
    data = (folder / "search/things-1.js").read_text("utf-8").replace("\xa0", " ")

    assert re.search(r'"Zone","embankment","[^"]*judged by ML-101 108\.1 lb/ft³', data)


def test_every_page_leads_to_the_check_of_a_report(folder: Path) -> None:
    page = (folder / f"projects/{PROJECT}/index.html").read_text("utf-8")

    foot = page[page.index('<footer class="site">') :]
    assert 'href="../../report-in-hand/index.html"' in foot
