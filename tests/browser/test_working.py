"""The working as a reader meets it: from a number of the report, and on paper."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.eyes import visit
from tests.browser.printed import LEAST_TYPE, ROUNDING, read

REPORT, WORKING = "tests/HF-0117/index.html", "tests/HF-0117/working/index.html"


def test_a_number_of_the_report_leads_to_its_line(browser: Browser, site: Path) -> None:
    with visit(browser, site / REPORT, home=site) as seen:
        seen.page.click(".results dd a >> nth=0")
        seen.page.wait_for_url("**/working/index.html#maximum_dry_density")
        line = seen.page.inner_text("li:target")
        seen.page.click(".results dd a >> nth=1")
        seen.page.wait_for_url("**#optimum_water_content")

    assert "reported 108.0 lbf/ft³" in line.replace("\u00a0", " ")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_as_an_appendix_of_the_report(
    browser: Browser, site: Path, paper: str
) -> None:
    with visit(browser, site / WORKING, home=site) as seen:
        printed = read(seen.page.pdf(format=paper))

    assert len(printed.pages) > 1
    for number, words in enumerate(printed.pages, 1):
        assert "Working of HF-0117 r2 · Kestrel Bend Soils Laboratory" in words
        assert f"Page {number} of {len(printed.pages)}" in words
    first = " ".join(printed.pages[0].split())
    assert "Appendix of the report" in first
    assert "Standard maximum dry unit weight" in first
    assert "108.0 lbf/ft³" in first.replace("\u00a0", " ")
    assert "mold_and_wet_soil: 3875" in "".join(printed.pages)  # the record ends it
    # Only the indices and powers of formulas are smaller than the text of a report.
    small = sum(
        count for size, count in printed.sizes.items() if size < LEAST_TYPE - ROUNDING
    )
    assert small < 0.02 * printed.sizes.total()
