"""A kept report as its receiver meets it: opened from the mail, and printed."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from buildsite.archive.across import flags_across, traces_of
from buildsite.archive.amendments import Amendment, amendment
from buildsite.archive.archive import Archive
from buildsite.archive.inputs_as_issued import (
    Contents,
    computed_as_issued,
    present_in,
)
from buildsite.archive.issue_item import Order
from buildsite.archive.states import working_archive
from buildsite.history.walk import read_history
from buildsite.kinds.outcome import Outcome
from buildsite.pages.page import Site, site_of
from buildsite.pages.qr_code import QUIET
from buildsite.pages.revisions.kept_report import ReportDraft, kept_report
from buildsite.pages.site_sources import Options
from tests.browser.eyes import visit
from tests.browser.printed import MM, Printed, least_type, pages_of, read, too_small
from tests.conftest import ROOT, made_once

WHERE = "https://reports.kestrel-bend.example/soils"
CONTENT = "sha256:" + "4f2a91c077de5678" * 4
CODE = "4f2a 91c0 77de"
MOST = 2
"""Tests of one kind that are drawn here, the longest; of compaction tests all: their
sheets differ most."""

ON_A4 = 16
"""How many reports are printed on A4 too, which is longer: the longest."""

READ = 8
"""How many prints are read, the longest, beside one of each kind of test."""

PARTS = 4
"""Into which the prints of all reports are dealt, so that cores share them."""


@pytest.fixture(scope="module")
def browser(still: Browser) -> Browser:
    return still


def published(site: Site) -> Site:
    """The demo's laboratory, as if it said where its site is."""
    assert site.lab is not None
    more = site.lab.procedures.model_copy(update={"published_at": WHERE})
    return replace(site, lab=site.lab.model_copy(update={"procedures": more}))


def drafts(archive: Archive, contents: Contents) -> Iterator[ReportDraft]:
    """The last report of each test of the demo, as this program draws it."""
    for file in archive.files("test"):
        made, (issued, _) = archive.outcome(file), archive.chain(file)
        if made is None:
            continue
        items = issued.items if issued is not None else ()
        reports = [item for item in items if item.kind == "report"]
        told: Amendment | None = None
        if issued is not None and len(reports) > 1:
            then = computed_as_issued(contents, reports[-2], file, archive.shared)
            told = amendment(issued, reports[-2], then, made)
        last = reports[-1] if reports else None
        order = Order(
            "report",
            date(2026, 11, 25),
            "E02",
            last.reason if last else "first issue",
            last.issued_to if last else ("A customer",),
        )
        revision = last.revision if last else 0
        yield ReportDraft(made, order, revision, CONTENT, told)


def kind(made: Outcome) -> str:
    return made.kind.name


@pytest.fixture(scope="module")
def kept(shared: Path) -> list[Path]:
    """Reports of the demo drawn anew, amended ones among them, and one withdrawal."""
    found = made_once(shared, "kept", draw).rglob("*.html")
    return sorted(found, key=lambda path: path.name)


def draw(folder: Path) -> None:
    """Draw them, each as the file that a customer is sent."""
    archive = working_archive(ROOT)
    archive.across_flags = flags_across(
        archive, traces_of(archive, archive.files("test"))
    )
    site = published(site_of(archive, Options(release=True)))
    drawn: dict[str, dict[str, bytes]] = {}
    found = list(drafts(archive, Contents(read_history(ROOT), present_in(archive))))
    for draft in found:
        pages = drawn.setdefault(kind(draft.outcome), {})
        pages[draft.number] = kept_report(site, draft)
    amended = next(one for one in found if one.amends is not None)
    assert amended.amends is not None
    gone = replace(
        amended,
        order=replace(amended.order, sort="withdrawal"),
        revision=amended.revision + 1,
        amends=Amendment(amended.amends.item),
    )
    drawn["withdrawal"] = {gone.number: kept_report(site, gone)}
    for name, pages in drawn.items():
        (folder / name).mkdir(parents=True)
        longest = sorted(pages, key=lambda number: -len(pages[number]))
        for number in longest if name == "moisture-density" else longest[:MOST]:
            path = folder / name / f"{number.replace(' r', '.r')}.html"
            path.write_bytes(pages[number])


def published_project(path: Path) -> bool:
    """Whether a report is of the demo's project that clients may read."""
    return path.name.startswith("HF-")


def number(path: Path) -> str:
    """Write the number of the report that a file is."""
    return path.stem.replace(".r", " r")


def test_there_are_reports_of_many_tests(kept: list[Path]) -> None:
    amended = [path for path in kept if "Amended report" in path.read_text("utf-8")]

    assert len(kept) >= 30
    assert len(amended) >= 6


@dataclass(frozen=True)
class Sheet:
    """A report printed, and the sizes of its figures and of its code, as printed."""

    printed: Printed | None
    least: float
    pages: dict[str, int]
    heights: list[float]
    codes: list[tuple[str, float]]


def sheet(browser: Browser, path: Path, *papers: str, reads: bool) -> Sheet:
    """Print a report, on one visit; what may be read is the print on Letter."""
    high = "[...document.querySelectorAll('figure img')].map(i => i.height)"
    codes = """[...document.querySelectorAll('.qr')].map(i =>
        [atob(i.src.split(',')[1]), i.getBoundingClientRect().width])"""
    with visit(browser, path, home=path.parent) as seen:
        prints = {one: seen.page.pdf(format=one) for one in ("Letter", *papers)}
        seen.page.emulate_media(media="print")
        sizes = [seen.page.evaluate(words) for words in (high, codes)]
    pages = {paper: pages_of(one) for paper, one in prints.items()}
    printed = read(prints["Letter"]) if reads else None
    return Sheet(printed, least_type(prints["Letter"]), pages, *sizes)


@pytest.fixture(scope="module", params=range(PARTS))
def sheets(
    request: pytest.FixtureRequest, browser: Browser, kept: list[Path]
) -> dict[Path, Sheet]:
    """
    A part of all reports, printed; the longest of all on A4 too.

    Read are the longest, and one of each kind of test: that takes longer than to print.
    """
    longest = sorted(kept, key=lambda path: -path.stat().st_size)
    of_kind = {path.parent: path for path in reversed(longest)}.values()
    return {
        path: sheet(
            browser,
            path,
            *(["A4"] if path in longest[:ON_A4] else []),
            reads=path in longest[:READ] or path in of_kind,
        )
        for path in longest[request.param :: PARTS]
    }


def test_each_prints_on_one_page_in_type_that_can_be_read(
    sheets: dict[Path, Sheet],
) -> None:
    for path, seen in sheets.items():
        assert set(seen.pages.values()) == {1}, path
        assert not too_small(seen.least), path
        if seen.printed is None:
            continue
        words = seen.printed.pages[0]
        assert min(seen.printed.sizes) == seen.least, path
        assert words.count(number(path)) >= 3, path  # head, end, foot of the page
        assert words.count(CONTENT) == 1, path
        assert words.count(CODE) == 2, path  # at the end, and at the foot of each page
        assert "Page 1 of " in words, path


def test_the_figure_is_eighty_millimetres_high_and_the_code_can_be_read(
    sheets: dict[Path, Sheet],
) -> None:
    for path, seen in sheets.items():
        assert all(height >= 80 * MM for height in seen.heights), path
        assert len(seen.codes) == published_project(path), path
        # 0.25 mm a module and more is read by a telephone from a laser print
        # (common practice; ISO/IEC 18004 sets no least size).
        for svg, width in seen.codes:
            size = int(svg.partition('viewBox="0 0 ')[2].partition(" ")[0])
            assert size >= 21 + 2 * QUIET
            assert width / MM / size >= 0.25, path

    assert sum(len(seen.heights) for seen in sheets.values()) >= 20 / PARTS


def test_the_result_is_the_largest_type_after_the_number(
    browser: Browser, kept: list[Path]
) -> None:
    path = next(path for path in kept if path.name.startswith("AQ-0006"))
    with visit(browser, path, home=path.parent) as seen:
        printed = read(seen.page.pdf(format="A4"))

    # Number of the report 16 pt, results 17 pt; what is on every page less than 12.
    assert max(printed.sizes) >= 16.9
    (words,) = printed.pages
    assert words.index("21.86") < words.index("21.34") < words.index("Tested at")


def test_one_link_leads_to_the_page_of_the_test(
    browser: Browser, kept: list[Path]
) -> None:
    for path in (kept[0], kept[-1]):
        with visit(browser, path, home=path.parent) as seen:
            links = seen.page.evaluate("[...document.links].map(a => a.href)")
        its = f"{WHERE}/tests/{number(path).partition(' ')[0]}/"
        assert links == ([its] if published_project(path) else [])

    assert [*map(published_project, (kept[0], kept[-1]))] == [False, True]


def test_a_current_value_is_met_before_the_one_it_replaces(
    browser: Browser, kept: list[Path]
) -> None:
    path = next(path for path in kept if path.name.startswith("HF-0123"))
    with visit(browser, path, home=path.parent, width=390) as seen:
        text = seen.page.inner_text("body")
        result = seen.page.locator(".results dd").first.bounding_box()

    # HF-0123 r1: 112.6 lbf/ft3, 113.4 in r0 (its issued items).
    assert text.index("112.6") < text.index("113.4") < text.index("Why it was amended")
    assert text.index("Why it was amended") < text.index("Customer")
    assert result is not None
    assert result["y"] + result["height"] < 568  # on the first screen of a telephone


@pytest.mark.parametrize("width", [320, 1280])
def test_each_is_quiet_whole_and_without_barrier(
    browser: Browser, kept: list[Path], width: int
) -> None:
    largest = sorted(kept, key=lambda path: path.stat().st_size)
    for path in (largest[0], largest[-1]):
        with visit(browser, path, home=path.parent / "none", width=width) as seen:
            # Only the file itself is asked for.
            assert seen.foreign == [path.as_uri()]
            assert seen.broken_images() == []
            assert seen.violations() == []
            seen.turns(width=width, scheme="dark")
            assert seen.violations(colours=True) == []
            assert seen.sideways() == 0
            assert seen.complaints == []
