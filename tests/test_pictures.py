"""The pictures in README.md are those of the demo as it is now, and light."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tests.pictures import FOLDER, PICTURES, ROOT

SVG = "{http://www.w3.org/2000/svg}"
README = (ROOT / "README.md").read_text("utf-8")


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_is_of_the_demo_as_it_is(site: Path, name: str) -> None:
    """Else write it anew: python -m tests.pictures SITE"""
    assert (FOLDER / name).read_text("utf-8") == PICTURES[name](site)


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_is_light_says_what_it_shows_and_loads_nothing(name: str) -> None:
    data = (FOLDER / name).read_bytes()
    drawn = ElementTree.fromstring(data)  # noqa: S314 - our own file

    assert len(data) < 200_000
    assert drawn.find(f"{SVG}title") is not None
    assert drawn.findtext(f"{SVG}desc")
    links = re.findall(rb"(?:href|src)=\"([^\"]*)\"|url\(([^)]*)\)", data)
    assert all((one or other).startswith(b"#") for one, other in links)


def test_the_readme_shows_them_with_words_for_who_cannot_see_them() -> None:
    shown = dict(re.findall(r"!\[([^\]]+)\]\(docs/pictures/([^)]+)\)", README))

    assert set(shown.values()) == set(PICTURES)
    assert {path.name for path in FOLDER.iterdir()} == set(PICTURES)
    assert README.index("docs/pictures/") < README.index("## Try it")
