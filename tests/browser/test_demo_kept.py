"""Every report that the demo laboratory issued, printed as its receiver would."""

from io import BytesIO

import pytest
from playwright.sync_api import Browser
from pypdf import PdfReader

from tests.browser.eyes import visit
from tests.conftest import ROOT

REPORTS = sorted((ROOT / "records").glob("*/tests/*.html"))

LONG = {"HF-0117.r2.html", "HF-0120.r1.html", "HF-0123.r1.html"}
"""Issued when an amendment gave every value of a mold a line of its own. What was sent
stays as it was sent; `test_kept.py` holds today's reports to one page."""


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_each_prints_on_one_page(browser: Browser, paper: str) -> None:
    pages = {}
    for path in REPORTS:
        with visit(browser, path, home=path.parent) as seen:
            printed = PdfReader(BytesIO(seen.page.pdf(format=paper)))
        pages[path.name] = len(printed.pages)

    assert len(pages) >= 15
    assert {name for name, count in pages.items() if count != 1} <= LONG
    assert max(pages.values()) <= 2
