"""Every kind of page, as a person meets it: narrow, dark, unscripted, printed."""

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.eyes import Scheme, visit
from tests.browser.printed import MM, least_type, pages_of, read, too_small

# kind of page: the addresses that are of it. A page of no kind fails, and so does a
# kind without a page, so that nothing is built without being looked at.
KINDS = {
    "home": r"index\.html",
    "project": r"projects/[^/]+/index\.html",
    "field control": r"projects/[^/]+/field/index\.html",
    "family": r"projects/[^/]+/families/[^/]+/index\.html",
    "soils": r"soils/index\.html",
    "soil": r"soils/[^/]+/index\.html",
    "sample": r"samples/[^/]+/index\.html",
    "tests": r"tests/index\.html",
    "search": r"search/index\.html",
    "test": r"tests/[^/]+/index\.html",
    "history": r"tests/[^/]+/history/index\.html",
    "two tests": r"compare/index\.html",
    "compare": r"tests/[^/]+/compare/(r\d+-r\d+/)?index\.html",
    "revision": r"tests/[^/]+/r\d+/index\.html",
    "kept report": r"tests/[^/]+/r\d+/report\.html",
    "uncertainty": r"tests/[^/]+/uncertainty/index\.html",
    "working": r"tests/[^/]+/working/index\.html",
    "bench sheet": r"tests/[^/]+/worksheet\.html",
    "report in hand": r"report-in-hand/index\.html",
    "changes": r"changes/index\.html",
    "equipment list": r"equipment/index\.html",
    "equipment": r"equipment/[^/]+/index\.html",
    "due dates": r"due/index\.html",
    "today": r"today/index\.html",
    "methods": r"methods/index\.html",
    "method": r"methods/[^/]+/index\.html",
    "checks": r"checks/index\.html",
    "flags": r"flags/index\.html",
    "staff": r"staff/index\.html",
    "not found": r"404\.html",
}
PARTS = 4
"""Into which the prints of all reports are dealt, so that cores share them."""

ON_A4 = 20
"""How many reports are printed on A4 too, which is longer: the fullest."""


@pytest.fixture(scope="module")
def browser(still: Browser) -> Browser:
    return still


def pages(site: Path, kind: str) -> list[Path]:
    """Every page of a kind, the fullest first."""
    found = (
        path
        for path in sorted(site.rglob("*.html"))
        if re.fullmatch(KINDS[kind], path.relative_to(site).as_posix())
    )
    return sorted(found, key=lambda path: -path.stat().st_size)


def fullest_and_barest(site: Path, kind: str) -> Iterator[Path]:
    """The two pages of a kind that differ most, or its only one."""
    found = pages(site, kind)
    assert found, f"no page of the kind {kind} was built"
    yield found[0]
    if len(found) > 1:
        yield found[-1]


def test_every_page_is_of_one_kind(site: Path) -> None:
    known = [path for kind in KINDS for path in pages(site, kind)]

    assert sorted(known) == sorted(site.rglob("*.html"))


@dataclass
class Look:
    """A page as a person meets it, on one visit with scripts and one without."""

    barriers: list[str]
    wider: dict[str, int]
    cut: list[str]
    unseen: list[str]
    restless: list[str]
    heading: str
    title: str
    lines: list[str]
    complaints: list[str]
    foreign: list[str]
    tables: list[int]
    first_link: tuple[bool, str, str]
    plain: list[str]
    broken: list[str]


OPEN = "() => document.querySelectorAll('details').forEach(d => { d.open = true; })"
# On a phone the figures of a long page are shut, and one opens them.
OPEN_FIGURES = """() => document.querySelectorAll("details.shut")
    .forEach(one => { one.open = true; })
"""
# Pixels by which each table that is stacked on a phone is wider than the room it has.
WIDER = """() => [...document.querySelectorAll(
    ".block:not(.points, .wide) > section.scroll")]
    .map(one => one.scrollWidth - one.clientWidth)
"""


def first_link(page: Page) -> tuple[bool, str, str]:
    """Where the first Tab leads: to a link one can see, its target, what it opens."""
    page.keyboard.press("Tab")
    link = page.locator("a:focus")
    if not link.count():
        return False, "", ""
    box, target = link.bounding_box(), link.get_attribute("href") or ""
    page.keyboard.press("Enter")
    landed = str(page.evaluate("document.activeElement.tagName"))
    return box is not None and box["x"] >= 0 and box["y"] >= 0, target, landed


EVERY_WAY: tuple[tuple[int, Scheme], ...] = (
    *((320, "light"), (320, "dark"), (1280, "light"), (1280, "dark")),
)
TWO_WAYS = (EVERY_WAY[0], EVERY_WAY[-1])


def look(
    browser: Browser, site: Path, path: Path, ways: tuple[tuple[int, Scheme], ...]
) -> Look:
    """
    Look once at a page: narrow, as it is met on a phone; then wide, and dark.

    A window of 1280 pixels has 640 at 200 % of zoom (WCAG 2.2, 1.4.4), and 320 at 400 %
    (1.4.10).
    """
    barriers: list[str] = []
    wider: dict[str, int] = {}
    cut: list[str] = []
    with visit(browser, path, home=site, width=320) as seen:
        first = first_link(seen.page)
        for width, scheme in ways:
            seen.turns(width=width, scheme=scheme)
            # Dark, nothing but colours differs from a page as wide that is light.
            judged = scheme == "dark" and (width, "light") in ways
            found = seen.violations(colours=judged)
            barriers += [f"{width} {scheme}: {one}" for one in found]
            if sideways := seen.sideways():
                wider[f"{width} {scheme}"] = sideways
            cut += seen.cut()
        heading, title = seen.page.inner_text("h1"), seen.page.title()
        seen.page.evaluate(OPEN_FIGURES)
        lines = seen.lines()
        unseen, restless = seen.unseen_focus(), seen.restless()
        seen.turns(width=640, scheme="light")
        if sideways := seen.sideways():
            wider["640"] = sideways
        cut += seen.cut()
        seen.turns(width=320, scheme="light")
        seen.page.evaluate(OPEN)
        tables = list(seen.page.evaluate(WIDER))
    with visit(browser, path, home=site, scripts=False) as bare:
        plain, broken = bare.lines(), bare.broken_images()
    heard = (seen.complaints, seen.foreign)
    lost = (cut, unseen, restless)
    words = (heading, title, lines)
    return Look(barriers, wider, *lost, *words, *heard, tables, first, plain, broken)


Looks = dict[Path, Look]


@pytest.fixture(scope="module", params=KINDS)
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def looks(kind: str, browser: Browser, site: Path) -> Looks:
    """The fullest and the barest page of a kind, each looked at once for all tests."""
    fullest, *barest = fullest_and_barest(site, kind)
    return {
        fullest: look(browser, site, fullest, EVERY_WAY),
        **{path: look(browser, site, path, TWO_WAYS) for path in barest},
    }


def test_no_barrier(looks: Looks) -> None:
    for path, seen in looks.items():
        assert seen.barriers == [], path
        assert seen.wider == {}, path


def test_zoom_keyboard_and_settings_lose_nothing(looks: Looks) -> None:
    for path, seen in looks.items():
        assert seen.cut == [], path
        assert seen.unseen == [], path
        assert seen.restless == [], path


def test_it_is_quiet_and_whole_from_the_disk(looks: Looks) -> None:
    for path, seen in looks.items():
        assert seen.heading, path
        assert seen.title, path
        assert (seen.complaints, seen.foreign) == ([], []), path


def test_nothing_is_missing_without_scripts(looks: Looks) -> None:
    for path, seen in looks.items():
        scripted = " ".join(seen.lines)

        assert seen.broken == [], path
        assert seen.plain, path
        # Scripts only add: sorting, filtering, reading values off a curve.
        assert [line for line in seen.plain if line not in scripted] == [], path


ALONE = ("kept report", "bench sheet")
"""Kinds of page without the navigation of the site: each is a file by itself."""

WITH_TABLES = ("home", "project", "tests", "test", "history", "equipment list", "flags")
"""Some of which every page has a table that is stacked: else nothing was measured."""


def test_the_first_tab_leads_past_the_navigation(looks: Looks, kind: str) -> None:
    for path, seen in looks.items():
        if kind in ALONE:
            continue
        visible, target, landed = seen.first_link
        assert visible, path
        assert target.startswith("#"), path
        assert landed == "MAIN", path


def test_every_table_but_that_of_points_is_stacked(looks: Looks, kind: str) -> None:
    """On a phone nothing is cut off at the edge without a sign of it."""
    for path, seen in looks.items():
        if kind != "kept report":  # it stays as it was sent
            assert not any(seen.tables), (path, seen.tables)
        if kind in WITH_TABLES:
            assert seen.tables, path


@pytest.mark.parametrize("part", range(PARTS))
def test_a_report_prints_on_one_page(browser: Browser, site: Path, part: int) -> None:
    lengths, small = {}, {}
    every = pages(site, "test")
    fullest = every[:ON_A4]
    for path in every[part::PARTS]:
        test = path.parent.name
        papers = ("Letter", "A4") if path in fullest else ("Letter",)
        with visit(browser, path, home=site) as seen:
            prints = [seen.page.pdf(format=paper) for paper in papers]
            seen.page.emulate_media(media="print")
            words = seen.page.inner_text("body")
        if {*(counts := [pages_of(one) for one in prints])} != {1}:
            lengths[test] = counts
        elif least := too_small(min(map(least_type, prints))):
            small[test] = least
        assert test in words
        # Only the report that was sent is one, and ends.
        assert "End of report" not in words, test

    assert (lengths, small) == ({}, {})


def test_a_print_says_where_the_report_is_and_not_to_use_the_one_before(
    browser: Browser, site: Path
) -> None:
    with visit(browser, site / "tests/HF-0123/index.html", home=site) as seen:
        assert not seen.page.is_visible(".sent")
        pdf = seen.page.pdf(format="A4")
        printed = read(pdf)
        words = " ".join(printed.pages[0].split())
        seen.page.emulate_media(media="print")
        high = seen.page.evaluate("document.querySelector('figure img').height")

    assert least_type(pdf) == min(printed.sizes)
    # The content digest of HF-0123 r1 begins so (its issued items).
    where = "https://kestrel-bend.example/tests/HF-0123/r1/report.html"  # lab.yaml
    unbroken = words.replace(" ", "")  # an address may go over two lines
    assert f"HF-0123r1asissued:{where}" in unbroken
    assert "Report code 4d90 dc2b cc86" in words
    assert "Do not use revision 0" in words
    assert "Reason: Mold M-02 has held 0.7 % more" in words
    assert high >= 80 * MM


def test_every_sheet_of_a_long_print_bears_its_name(
    browser: Browser, site: Path
) -> None:
    with visit(browser, site / "tests/index.html", home=site) as seen:
        sheets = read(seen.page.pdf(format="Letter")).pages

    assert len(sheets) >= 3
    for number, words in enumerate(sheets, 1):
        assert "Tests · Kestrel Bend Soils Laboratory" in words
        assert f"Page {number} of {len(sheets)}" in words


def test_a_kept_report_shows_in_its_frame(browser: Browser, site: Path) -> None:
    framing = [p for p in pages(site, "revision") if "<iframe" in p.read_text("utf-8")]
    for path in (framing[0], framing[-1]):  # the fullest and the barest
        with visit(browser, path, home=site) as seen:
            framed = seen.page.frames[1]
            number = path.parent.parent.name + " " + path.parent.name
            assert framed.inner_text("h1") == number
            figures = "[...document.images].map(i => i.naturalWidth > 0)"
            assert all(framed.evaluate(figures)), path


FORGED = "<!doctype html><title>F</title><h1>F</h1><script>{0}</script>"
RUNS = "console.log('it runs'); document.title = 'it runs'"


def test_no_script_of_a_forged_report_runs_in_its_frame(
    browser: Browser, site: Path, tmp_path: Path
) -> None:
    page = pages(site, "revision")[0]
    folder = shutil.copytree(site, tmp_path / "site") / page.relative_to(site).parent
    report = folder / "report.html"
    report.write_text(FORGED.format(RUNS), "utf-8")
    heard: list[str] = []

    context = browser.new_context()
    for path in (folder / "index.html", report):
        one = context.new_page()
        one.on("console", lambda message: heard.append(message.text))
        one.goto(path.as_uri(), wait_until="load")
        if path != report:
            assert one.frames[1].inner_text("h1") == "F"
            assert "it runs" not in heard
    context.close()

    assert "it runs" in heard  # opened by itself: the test is able to hear it
