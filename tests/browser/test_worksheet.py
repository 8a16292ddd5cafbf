"""The bench sheet as it comes out of the printer, and as everyone can read it."""

import re
from io import BytesIO
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from pypdf import PdfReader

from tests.archives import changed
from tests.browser.eyes import visit
from tests.cli.running import run
from tests.clones import write
from tests.conftest import ROOT

KINDS = ("moisture-density", "water-content", "coarse-fraction", "specific-gravity")
TESTS = (
    *("HF-0107", "HF-0109", "HF-0113", "AQ-0001", "AQ-0005", "AQ-0008"),
    *("AQ-0016", "AQ-0019"),
)
"""Of the demo: pounds and two pans, gravel, a rejected point, two containers, a paper
report, one in progress; a coarse fraction, a specific gravity."""

TEST = "marsh-lane/tests/ML-102.yaml"


@pytest.fixture(scope="module")
def browser(still: Browser) -> Browser:
    return still


def full() -> str:
    """A record of six points, two containers each, all that may be said of them."""
    points = "".join(
        f"  - {{water_added_ml: {85 + 45 * i}, specimen_mass: {2410 + i}, "
        f"wetted_at: 2026-03-09T14:1{i}, compacted_at: 2026-03-10T08:3{i}, "
        f"mold_and_wet_soil: {3854 + 20 * i}, bleeding: yes, containers: "
        f'[{{container: "3{i}", container_mass: 52.13, container_and_wet: 198.41, '
        f"container_and_dry: [187.30, 187.1{i}]}}, "
        f'{{container: "4{i}", container_mass: 51.13, container_and_wet: 191.41, '
        f"container_and_dry: 180.1{i}}}]}}\n"
        for i in range(6)
    )
    sound = write_text()
    return sound[: sound.index("points:\n")] + "points:\n" + points


def write_text() -> str:
    return (ROOT / "tests/faults/base/records" / TEST).read_text("utf-8")


@pytest.fixture(scope="module")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Blank ones of each kind, filled ones of the demo, and the fullest there is."""
    folder = tmp_path_factory.mktemp("sheets")
    for what in (*KINDS, *TESTS):
        out = folder / f"{what}.html"
        assert run("worksheet", what, "--out", out, "--root", ROOT).status == 0
    for status in ("complete", "in-progress"):
        text = re.sub("^status: complete", f"status: {status}", full(), flags=re.M)
        root = write(folder / status, changed({TEST: text}))
        out = folder / f"full-{status}.html"
        assert run("worksheet", "ML-102", "--out", out, "--root", root).status == 0
    return sorted(folder.glob("*.html"))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_all_to_write_on_and_the_cautions_are_on_the_first_page(
    browser: Browser, sheets: list[Path], paper: str
) -> None:
    """Only the steps of the method may be on the back, in larger type."""
    for path in sheets:
        with visit(browser, path, home=path.parent) as seen:
            printed = PdfReader(BytesIO(seen.page.pdf(format=paper)))
        first, *rest = [one.extract_text() for one in printed.pages]
        assert "Follow your local rules and licensed practice" in first, path
        assert len(rest) <= 1, path
        assert not rest or rest[0].lstrip().startswith("Steps"), path


def test_cautions_are_as_large_as_the_labels(
    browser: Browser, sheets: list[Path]
) -> None:
    """8.5 pt and more: they were 6.8, all in one paragraph."""
    for path in sheets:
        with visit(browser, path, home=path.parent, width=760) as seen:
            seen.page.emulate_media(media="print")
            sizes = seen.page.evaluate(
                "[...document.querySelectorAll('.cautions li')].map(one => "
                "parseFloat(getComputedStyle(one).fontSize) / 96 * 72)"
            )
        assert len(sizes) > 2
        assert min(sizes) > 8.4, path


def test_a_pencil_finds_room(browser: Browser, sheets: list[Path]) -> None:
    """common practice: writing by hand wants 7 mm of height and 18 mm of width."""
    path = next(one for one in sheets if one.stem == "moisture-density")
    with visit(browser, path, home=path.parent, width=760) as seen:
        seen.page.emulate_media(media="print")
        sizes = seen.page.evaluate(
            "[...document.querySelectorAll('tbody tr:not(.tick) td')].map(one => "
            "[one.offsetWidth / 96 * 25.4, one.offsetHeight / 96 * 25.4])"
        )

    assert sizes
    assert min(wide for wide, _ in sizes) > 18
    assert min(high for _, high in sizes) > 7


def test_each_is_whole_and_without_barrier(
    browser: Browser, sheets: list[Path]
) -> None:
    chosen = [one for one in sheets if one.stem in (*KINDS, "HF-0107", "AQ-0008")]
    for path in chosen:
        with visit(browser, path, home=path.parent / "none", width=320) as seen:
            for width in (320, 1280):
                seen.turns(width=width, scheme="light")
                assert seen.sideways() == 0, (path, width)
                assert seen.violations() == [], (path, width)
            assert seen.foreign == [path.as_uri()]
            assert seen.complaints == []
