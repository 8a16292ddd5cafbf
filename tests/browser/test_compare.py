"""Comparisons as an engineer meets them: what changed at once, any two tests drawn."""

from decimal import Decimal
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.eyes import Scheme, visit
from tests.browser.printed import MM, read

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
        # Both are of AASHTO T 99, which speaks of moisture content.
        assert "Moisture content, %" in (figure.text_content() or "")
        assert "Dry density, lb/ft³" in (figure.text_content() or "")
        assert seen.violations() == []
        assert seen.sideways() == 0


def test_an_axis_has_the_words_of_both_standards(browser: Browser, site: Path) -> None:
    # HF-0101 is of AASHTO T 99, HF-0117 of ASTM D698.
    with visit(browser, site / TWO, home=site) as seen:
        ask(seen.page, "HF-0101", "HF-0117")
        figure = seen.page.locator(".two-figure svg")
        figure.wait_for()
        assert "Moisture content / Water content, %" in (figure.text_content() or "")
        assert "Dry density / Dry unit weight" in (figure.text_content() or "")


def test_without_scripts_the_pairs_of_one_sample_are_there(
    browser: Browser, site: Path
) -> None:
    with visit(browser, site / TWO, home=site, scripts=False) as seen:
        assert "Tests of one sample compared" in seen.page.inner_text("main")
        assert seen.page.get_by_label("First test").count() == 0


def test_the_points_of_both_stand_beside_the_curves(
    browser: Browser, site: Path
) -> None:
    with visit(browser, site / AMENDED, home=site) as seen:
        page = seen.page
        figure = page.locator(".in-pair figure")
        row = page.locator("table tr[data-point='4']")
        # Mold and wet soil of point 4 was entered as 3947 g, and is 3974 g: its density
        # alone moves, by what the two figures of the table differ.
        cells = [
            Decimal(text.replace("−", "-").replace("—", "0"))
            for text in row.locator("td").all_inner_texts()
        ]
        assert cells[0] == cells[1]
        assert cells[2] == 0
        assert cells[4] - cells[3] == cells[5] != 0

        beside, drawn = row.bounding_box(), figure.bounding_box()
        assert beside is not None
        assert drawn is not None
        assert beside["x"] >= drawn["x"] + drawn["width"]
        row.hover()
        assert "lit" in (row.get_attribute("class") or "")
        assert page.locator(".over .lit").count() == 1


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_on_paper_the_curves_have_the_width_of_the_page(
    browser: Browser, site: Path, paper: str
) -> None:
    with visit(browser, site / AMENDED, home=site, width=720) as seen:
        seen.page.emulate_media(media="print", color_scheme="light")
        box = seen.page.locator(".in-pair figure img").bounding_box()
        assert box is not None
        assert 140 * MM < box["width"] <= 150.5 * MM
        assert box["height"] >= 80 * MM
        printed = read(seen.page.pdf(format=paper))
    assert not printed.small


def ask(page: Page, first: str, second: str) -> None:
    """Name two tests by keyboard alone."""
    page.get_by_label("First test").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type(first)
    page.keyboard.press("Tab")
    page.keyboard.press("Control+A")
    page.keyboard.type(second)
    page.keyboard.press("Enter")


@pytest.mark.parametrize("typed", ["hf0104", "HF 0104", "hf-0104 ", "0104"])
def test_an_id_is_found_however_it_is_typed(
    browser: Browser, site: Path, typed: str
) -> None:
    with visit(browser, site / TWO, home=site) as seen:
        ask(seen.page, "HF-0101", typed)
        seen.page.locator(".two-figure svg").wait_for()

        assert seen.page.url.endswith("?a=HF-0101&b=HF-0104")
        assert seen.page.get_by_label("Second test").input_value() == "HF-0104"
        assert seen.complaints == []


def test_an_ambiguous_or_unknown_id_leads_to_what_is_near(
    browser: Browser, site: Path
) -> None:
    with visit(browser, site / TWO, home=site) as seen:
        page = seen.page
        said = page.get_by_role("status")

        ask(page, "HF-0101", "hf-01")
        said.get_by_text("may be any of").wait_for()
        assert page.evaluate("document.activeElement.name") == "b"
        assert page.locator("[name=b]").get_attribute("aria-invalid") == "true"
        assert page.locator(".two-figure").count() == 0
        assert seen.violations() == []

        ask(page, "HF-0101", "HF-1004")  # two digits exchanged
        said.get_by_text("No test “HF-1004”").wait_for()
        said.get_by_role("link", name="HF-0104").focus()
        page.keyboard.press("Enter")
        page.locator(".two-figure svg").wait_for()
        assert page.url.endswith("?a=HF-0101&b=HF-0104")

        ask(page, "HF-0101", "xyzzy")
        said.get_by_text("No test “xyzzy” with a curve is here.").wait_for()
        ask(page, "HF-0101", "hf0101")
        said.get_by_text("Both are HF-0101: name another test.").wait_for()
        assert page.locator(".two-figure").count() == 0


def test_results_stand_above_curves_that_name_their_peaks(
    browser: Browser, site: Path
) -> None:
    # As issued: HF-0107 117.7 lb/ft³ at 12.1 % (AASHTO T 99), HF-0120 127.4 at 9.4 %.
    address = f"{(site / TWO).as_uri()}?a=HF-0107&b=HF-0120"
    with visit(browser, site / TWO, home=site, width=390) as seen:
        page = seen.page
        page.goto(address)
        figure = page.locator(".two-figure svg")
        figure.wait_for()
        names = figure.locator(".name")
        assert names.all_text_contents() == [
            "HF-0120 r1: 127.4 at 9.4 %",
            "HF-0107 r0: 117.7 at 12.1 %",
        ]
        table, drawn = page.locator(".two-panel table"), figure.bounding_box()
        above = table.bounding_box()
        assert above is not None
        assert drawn is not None
        assert above["y"] + above["height"] <= drawn["y"]
        for name in names.all():  # inside the figure, and not too small for a phone
            box = name.bounding_box()
            assert box is not None
            assert drawn["x"] <= box["x"]
            assert box["x"] + box["width"] <= drawn["x"] + drawn["width"]
            assert box["height"] >= 12
        assert seen.sideways() == 0


def test_tests_by_standards_with_other_words_are_compared_line_by_line(
    browser: Browser, site: Path
) -> None:
    # AQ-0001 18.26 kN/m³ at 13.7 % by ASTM D698, AQ-0004 19.74 at 10.5 % by D1557:
    # 19.74 − 18.26 = 1.48, and 100 · 1.48/18.26 = 8.11 %; 10.5 − 13.7 = −3.2.
    with visit(browser, site / TWO, home=site) as seen:
        ask(seen.page, "aq1", "aq4")
        near = seen.page.get_by_role("status")
        near.get_by_role("link", name="AQ-0001").first.click()
        near.get_by_role("link", name="AQ-0004").click()
        seen.page.locator(".two-figure svg").wait_for()
        cells = seen.page.locator("td[data-label=Difference]").all_inner_texts()
        heads = seen.page.locator(".two-panel tbody th").all_inner_texts()
        # HF-0109, 134.8 lb/ft³ at 7.3 %, and AQ-0003, 17.74 kN/m³ at 14.7 %:
        # 134.8 lb/ft³ · 0.45359237 · 9.80665/0.3048³/1000 = 21.175 kN/m³,
        # 100 · (17.74 − 21.175)/21.175 = −16.22 %; 14.7 − 7.3 = 7.4.
        ask(seen.page, "HF-0109", "AQ-0003")
        seen.page.get_by_text("From HF-0109 r0 to AQ-0003 r1").wait_for()
        mixed = seen.page.locator("td[data-label=Difference]").all_inner_texts()
    assert cells == ["+1.48 kN/m³ (+8.1 %)", "−3.2 points"]
    assert mixed == ["−16.2 %", "+7.4 points", "—", "—"]
    assert heads[0] == (
        "Standard maximum dry unit weight / Modified maximum dry unit weight"
    )
