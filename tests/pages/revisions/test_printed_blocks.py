"""What was printed stands on the page of a test whose result is computed otherwise."""

import re
from pathlib import Path
from types import SimpleNamespace
from typing import cast

from buildsite.archive.issued_files import IssuedFiles, IssuedState
from buildsite.kinds.sheet import Note, Table
from buildsite.pages.revisions.kept_sheet import results_by_use, sheet_from_item
from buildsite.pages.revisions.printed_blocks import printed_blocks, printed_subtitle
from tests.archives import ROOT
from tests.pages.builds import words

KEPT = ROOT / "records/heron-flats/tests/HF-0104.r1.html"
"""Its result is computed otherwise since: docs/demo.md, CHANGELOG.md."""


def texts(block: Table | Note) -> list[list[str]]:
    assert isinstance(block, Table)
    return [[cell.text for cell in row.cells] for row in block.rows]


def test_tables_and_notes_are_read_as_printed() -> None:
    found = {block.name: block for block in printed_blocks(KEPT.read_bytes())}

    assert list(found) == [
        *("points", "sample", "method", "acts", "equipment"),
        *("departures", "statements"),
    ]
    points = found["points"]
    assert isinstance(points, Table)
    assert [(one.label, one.unit) for one in points.columns][:3] == [
        ("Point", ""),
        ("Water added", "ml"),
        ("Mold and wet soil", "g"),
    ]
    # The third was printed with a mark that it changed since r0.
    row = ["3", "50", "4036", "12", "11.0", "134.7", "121.3", "77", "6.4"]
    assert texts(points)[2] == row
    assert ["Standard", "AASHTO T 180-22, Method A"] in texts(found["method"])
    assert ["Sample", "HF-S01"] in texts(found["sample"])
    assert printed_subtitle(KEPT.read_bytes()) == "AASHTO T 180-22, Method A"


def test_a_report_in_another_markup_shows_nothing() -> None:
    for data in (None, b"", b"\xff", b"<main><p>open</main>", b"<main></main>"):
        assert list(printed_blocks(data)) == []
        assert printed_subtitle(data) == ""


def test_every_kept_report_of_the_demo_can_be_read() -> None:
    kept = sorted((ROOT / "records").rglob("*.r[0-9].html"))
    assert len(kept) > 20

    for path in kept:
        if "Notice of withdrawal" in words(path.read_bytes()):
            continue
        names = {block.name for block in printed_blocks(path.read_bytes())}
        assert names >= {"sample", "method", "equipment"} or "withdrawn" in words(
            path.read_bytes()
        ), path.name


def test_the_page_shows_what_was_issued_and_that_it_was_assessed(site: Path) -> None:
    page = (site / "tests/HF-0104/index.html").read_bytes()
    said, printed = words(page), words(KEPT.read_bytes())

    for text in (
        "1 20 3816 10 7.7 120.2 111.5 41 19.9",
        "Standard AASHTO T 180-22, Method A",
        "Soil lean clay",
        "Project Heron Flats embankment",
    ):
        assert text in said
    assert "Assessed on 2026-11-30 by E02 (r2): A later version of the program" in said
    shown = page[page.index(b'id="results"') : page.index(b'id="revisions"')]
    why = shown[shown.index(b'<div class="why">') : shown.index(b'id="curve"')]
    shown = shown.replace(why, b"")  # why it was assessed is no part of the report
    numbers = set(re.findall(r"\d+\.\d+", words(shown)))
    assert numbers
    assert numbers <= set(re.findall(r"\d+\.\d+", printed))


def test_of_two_pairs_the_one_for_field_control_comes_first() -> None:
    results = {
        "corrected_maximum_dry_density": "137.7 lb/ft3",
        "corrected_optimum_water_content": "6.6 %",
        "maximum_dry_density": "134.8 lb/ft3",
        "optimum_water_content": "7.3 %",
    }
    for governing, tables in (
        (list(results)[:2], [list(results)[:2], list(results)[2:]]),
        (None, [list(results)]),  # kept before it was said
    ):
        state = SimpleNamespace(
            item=SimpleNamespace(results=results, revision=0),
            result={"governing": governing},
            method=None,
        )
        found = list(results_by_use(cast(IssuedState, state)))

        assert [[row.mark for row in one.rows] for one in found] == tables
        assert [one.role for one in found] == ["results", "lesser"][: len(tables)]


def test_a_target_that_was_printed_stands_beside_the_results() -> None:
    path = ROOT / "records/alder-quay/tests/AQ-0017.r0.html"
    state = SimpleNamespace(
        file="records/alder-quay/tests/AQ-0017.yaml",
        item=SimpleNamespace(
            kind="report",
            revision=0,
            assesses=None,
            results={"maximum_dry_density": "18.20 kN/m3"},
        ),
        outcome=None,
        now=None,
        result={},
        method=None,
    )
    files = SimpleNamespace(sent=lambda *_: path.read_bytes())
    sheet = sheet_from_item(cast(IssuedState, state), cast(IssuedFiles, files))

    results, target = sheet.blocks[:2]
    assert isinstance(results, Table)
    assert isinstance(target, Note)
    assert (results.role, target.role) == ("results", "target")
    assert "dry unit weight at least 17.84 kN/m³" in " ".join(target.paragraphs)
