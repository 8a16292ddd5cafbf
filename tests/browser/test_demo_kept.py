"""Every report that the demo laboratory issued, printed as its receiver would."""

import pytest
from playwright.sync_api import Browser

from tests.browser.eyes import visit
from tests.browser.printed import pages_of
from tests.conftest import ROOT

REPORTS = sorted((ROOT / "records").glob("*/tests/*.html"))

ON_A4 = 10
"""How many are printed on A4 too, which is longer: the longest."""

LONG = {"HF-0117.r2.html", "HF-0120.r1.html", "HF-0123.r1.html"}
"""Issued when an amendment gave every value of a mold a line of its own. What was sent
stays as it was sent; `test_kept.py` holds today's reports to one page."""


@pytest.fixture(scope="module")
def browser(still: Browser) -> Browser:
    return still


def test_each_prints_on_one_page(browser: Browser) -> None:
    pages = {}
    longest = sorted(REPORTS, key=lambda path: -path.stat().st_size)
    for path in REPORTS:
        papers = ("Letter", "A4") if path in longest[:ON_A4] else ("Letter",)
        with visit(browser, path, home=path.parent) as seen:
            pages[path.name] = {pages_of(seen.page.pdf(format=one)) for one in papers}

    assert len(pages) >= 15
    assert {name for name, counts in pages.items() if counts != {1}} <= LONG
    assert max(set.union(*pages.values())) <= 2
