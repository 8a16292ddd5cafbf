"""
docs/validation.md, made by the program itself.

To write it anew: python -m tests.validation.page
"""

from pathlib import Path

from buildsite.validation.comparison import compare_examples
from buildsite.validation.report import markdown

PAGE = Path(__file__).parents[2] / "docs" / "validation.md"


def page() -> str:
    """Without version and fingerprint: it changes when a figure does."""
    return markdown(compare_examples(), None)


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
