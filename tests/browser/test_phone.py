"""Tables on a phone: nothing is cut off at the edge without a sign of it."""

from pathlib import Path

from playwright.sync_api import Browser, Locator

from tests.browser.eyes import visit
from tests.browser.test_pages import KINDS, pages

NARROW = 320
"""CSS pixels that a page must fit without two ways of scrolling: WCAG 2.2, 1.4.10."""

WIDER = "s => s.scrollWidth - s.clientWidth"
OPEN = "ds => ds.forEach(d => { d.open = true; })"
LABEL = "c => getComputedStyle(c, '::before').content"


def tables(site: Path, browser: Browser, block: str) -> dict[str, list[int]]:
    """By page: pixels by which each table is wider than the room it has."""
    found = {}
    for kind in KINDS:
        if kind == "kept report":
            continue  # it stays as it was sent
        for path in pages(site, kind)[:2]:
            with visit(browser, path, home=site, width=NARROW) as seen:
                seen.page.locator("details").evaluate_all(OPEN)
                shown = seen.page.locator(f"{block} > section.scroll").all()
                wide = [int(one.evaluate(WIDER)) for one in shown]
            found[path.relative_to(site).as_posix()] = wide
    return found


def test_every_table_but_that_of_points_is_stacked(
    browser: Browser, site: Path
) -> None:
    found = tables(site, browser, ".block:not(.points, .wide)")

    assert sum(map(len, found.values())) > 20
    assert {page: wide for page, wide in found.items() if any(wide)} == {}


def test_numbers_of_points_stay_while_their_columns_pass(
    browser: Browser, site: Path
) -> None:
    page = site / "tests/HF-0107/index.html"
    with visit(browser, page, home=site, width=NARROW) as seen:
        scroll = seen.page.locator(".points > section.scroll")
        assert scroll.evaluate(WIDER) > 0
        number, last = scroll.locator("tbody th").first, scroll.locator("td").nth(7)
        before, far = left(number), left(last)
        scroll.evaluate("s => { s.scrollLeft = 10000; }")

        assert left(number) == before
        assert left(last) < NARROW < far
        assert "gradient" in scroll.evaluate("s => getComputedStyle(s).background")


def left(cell: Locator) -> float:
    """Where a cell begins."""
    box = cell.bounding_box()
    assert box is not None
    return float(box["x"])


def test_a_number_on_a_card_has_its_unit(browser: Browser, site: Path) -> None:
    page = site / "projects/heron-flats/index.html"
    with visit(browser, page, home=site, width=NARROW) as seen:
        cells = seen.page.locator(".list td.n").all()
        labels = {str(cell.evaluate(LABEL)) for cell in cells}

    moist = {label for label in labels if "water content" in label}
    assert moist
    assert [
        label for label in moist if not label.startswith('"') or "%" not in label
    ] == []
