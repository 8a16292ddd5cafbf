"""Comparisons as an engineer meets them: what changed at once, any two tests drawn."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.eyes import Scheme, visit

AMENDED = "tests/HF-0129/compare/index.html"
TWO = "compare/index.html"


def test_the_first_screen_of_a_phone_says_what_changed_whether_and_why(
    browser: Browser, site: Path
) -> None:
    with visit(browser, site / AMENDED, home=site, width=390) as seen:
        seen.page.set_viewport_size({"width": 390, "height": 844})
        for words in (
            "111.2 → 112.5 lb/ft³",
            "2 of 14 field verdicts change",
            "Point 4",
        ):
            box = seen.page.get_by_text(words).first.bounding_box()
            assert box is not None, words
            assert box["y"] + box["height"] <= 844, words
        assert seen.sideways() == 0


@pytest.mark.parametrize("width", [320, 1280])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_any_two_tests_are_drawn_from_the_disk(
    browser: Browser, site: Path, width: int, scheme: Scheme
) -> None:
    with visit(browser, site / TWO, home=site, width=width, scheme=scheme) as seen:
        page = seen.page
        page.get_by_label("First test").fill("HF-0101")
        page.get_by_label("Second test").fill("HF-0129")
        page.keyboard.press("Enter")
        figure = page.locator(".two-figure svg")
        figure.wait_for()

        assert page.url.endswith("?a=HF-0101&b=HF-0129")
        # HF-0101 110.5 lb/ft³ at 16.4 % and HF-0129 112.5 at 16.0 %, as issued:
        # 112.5 − 110.5 = 2.0, and 100 · 2.0/110.5 = 1.81 %; 16.0 − 16.4 = −0.4.
        cells = page.locator("td[data-label=Difference]").all_inner_texts()
        assert cells == ["+2.0 lb/ft³ (+1.8 %)", "−0.4 points"]
        assert figure.locator(".before, .after").count() == 2
        assert seen.violations() == []
        assert seen.sideways() == 0


def test_without_scripts_the_pairs_of_one_sample_are_there(
    browser: Browser, site: Path
) -> None:
    with visit(browser, site / TWO, home=site, scripts=False) as seen:
        assert "Tests of one sample compared" in seen.page.inner_text("main")
        assert seen.page.get_by_label("First test").count() == 0
