"""Tables on a phone: nothing is cut off at the edge without a sign of it."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator

from tests.browser.eyes import visit

NARROW = 320
"""CSS pixels that a page must fit without two ways of scrolling: WCAG 2.2, 1.4.10."""

WIDER = "s => s.scrollWidth - s.clientWidth"
LABELS = "cells => cells.map(c => getComputedStyle(c, '::before').content)"


@pytest.fixture(scope="module")
def browser(still: Browser) -> Browser:
    return still


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
        labels = set(seen.page.locator(".list td.n").evaluate_all(LABELS))

    moist = {label for label in labels if "water content" in label}
    assert moist
    assert [
        label for label in moist if not label.startswith('"') or "%" not in label
    ] == []
