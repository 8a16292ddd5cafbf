"""The page of evidence says what the code does today."""

from tests.soil.curve_evidence import PAGE, page


def test_page_is_current() -> None:
    wanted = "write it again: python -m tests.soil.curve_evidence"

    assert PAGE.read_text(encoding="utf-8") == page(), wanted
