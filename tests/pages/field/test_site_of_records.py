"""Field control of real records: the laboratory's copy, and what clients see of it."""

import csv
import json
import re
from io import StringIO
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.issuing.clones import edit
from tests.pages.field.site_of_records import ISSUE, PROJECT, archive, site

FIELD = f"projects/{PROJECT}/field"


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The failure was issued, its retest was not."""
    return archive(tmp_path_factory.mktemp("archive"), "ML-101", "ML-F001")


@pytest.fixture(scope="module")
def own(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return site(root, tmp_path_factory.mktemp("own") / "site")


@pytest.fixture(scope="module")
def client(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return site(root, tmp_path_factory.mktemp("client") / "site", release=True)


def text(folder: Path, name: str = f"{FIELD}/index.html") -> str:
    html = (folder / name).read_text("utf-8")
    shown = re.sub(r"<[^>]+>", " ", html[html.index("<main") :])
    return re.sub(r"\s+", " ", shown)


def rows(folder: Path) -> list[dict[str, str]]:
    data = (folder / FIELD / "field.csv").read_text("utf-8-sig")
    return list(csv.DictReader(StringIO(data)))


def test_a_retest_after_rework_answers_a_failure(own: Path) -> None:
    shown = text(own)

    assert "1 of 1 made, 1 met" in shown
    assert "Met, ML-L001 not issued. ML-F001 failed, retested by ML-F002" in shown
    assert "Every failure is closed." in shown


def test_clients_see_what_was_issued(client: Path) -> None:
    shown = text(client)

    assert "1 failure is not closed: ML-F001 (embankment, lift 7)." in shown
    every = [path for path in client.rglob("*") if path.is_file()]
    assert [path for path in every if b"ML-F002" in path.read_bytes()] == []


def test_densities_are_those_worked_by_hand(own: Path) -> None:
    failed, retest = rows(own)

    # See `site_of_records`.
    assert float(failed["dry_density_kg_m3"]) == pytest.approx(1588.9, abs=0.1)
    assert float(failed["percent_compaction_percent"]) == pytest.approx(91.76, abs=0.01)
    assert float(retest["percent_compaction_percent"]) == pytest.approx(96.35, abs=0.01)
    assert (failed["verdict"], retest["verdict"]) == ("fail", "pass")
    assert (failed["closed_by"], retest["retest_of"]) == ("ML-F002", "ML-F001")
    assert failed["judged_by"] == "ML-101 r0"


def test_the_curve_of_the_reference_is_drawn(own: Path, client: Path) -> None:
    for folder in (own, client):
        figure = (folder / FIELD / "curve-ml-101-r0.svg").read_text("utf-8")
        assert "ML-101 r0" in figure
        assert "ML-F001" in figure
        assert "Moisture content" in figure  # AASHTO T 99 (17), 1.1
        assert "Water content" not in figure


def test_issues_of_tests_and_references_are_listed(own: Path) -> None:
    shown = text(own)
    news = shown[shown.rindex("2 issues, newest first") :]

    assert news.index("ML-F001 r0") < news.index("ML-101 r0")
    assert "Percent compaction 91.8 %" in news
    assert "Hole volume" not in news


def test_the_project_and_the_home_page_say_where_lifts_stand(
    own: Path, client: Path
) -> None:
    assert "1 met but not accepted" in text(own, "index.html")
    assert "1 failing" in text(client, "index.html")
    for folder in (own, client):
        assert "field/index.html" in (
            folder / f"projects/{PROJECT}/index.html"
        ).read_text("utf-8")


def test_a_position_by_station_is_on_no_map(own: Path) -> None:
    data = json.loads((own / FIELD / "field.geojson").read_text("utf-8"))

    assert [one["geometry"] for one in data["features"]] == [None, None]
    assert data["features"][0]["properties"]["position"]["station"] == "12+40"


def test_a_lift_is_accepted_once_the_acceptance_is_issued(tmp_path: Path) -> None:
    tests = ("ML-101", "ML-F001", "ML-F002", "ML-L001")
    root = archive(tmp_path / "archive", *tests)
    shown = text(site(root, tmp_path / "site", release=True))

    assert "Lifts: 1 accepted. 2 tests." in shown
    assert "Every failure among the issued" in shown
    assert "Accepted by E02 on 2026-06-05 (ML-L001, issued r0)." in shown
    assert "ML-F001 failed, retested by ML-F002" in shown


def test_an_acceptance_says_which_of_its_tests_are_to_be_judged_again(
    tmp_path: Path,
) -> None:
    tests = ("ML-101", "ML-F001", "ML-F002", "ML-L001")
    root = archive(tmp_path / "archive", *tests)
    edit(root, "marsh-lane/tests/ML-101.yaml", "wet_soil: 8.64", "wet_soil: 8.62")
    ran = run("issue", "ML-101", *ISSUE, "--root", root)
    assert ran.status == 0, ran.err
    made = site(root, tmp_path / "site", release=True)

    paper = text(made, "tests/ML-L001/index.html")
    assert "ML-F001, ML-F002 are to be judged again: the reference was amended." in (
        paper
    )
    assert "2 issued tests are to be judged again" in text(made)
