"""Every link of the built site leads somewhere, offline, from any folder."""

from pathlib import Path

import pytest

from tests import links


@pytest.fixture(scope="module")
def pages(site: Path) -> dict[str, links.Page]:
    """Every page of the demo, read once."""
    return links.read_site(site)


def test_every_link_and_id_of_the_demo_holds(
    site: Path, pages: dict[str, links.Page]
) -> None:
    faults = [fault for name in pages for fault in links.page_faults(site, pages, name)]

    assert faults == []
    assert sum(len(page.followed) for page in pages.values()) > len(pages)


def test_styles_and_drawings_of_the_demo_hold(site: Path) -> None:
    assert [*links.style_faults(site)] == []
    assert [*links.drawing_faults(site)] == []
    assert [*site.rglob("*.css")] != []
    assert [*site.rglob("*.svg")] != []


def test_every_page_of_the_demo_is_reached_from_the_first(
    pages: dict[str, links.Page],
) -> None:
    assert links.unreached(pages) == []


def test_the_site_holds_plain_files_alone(site: Path) -> None:
    # A host of static pages leaves out names with a leading dot, and links.
    odd = [p for p in site.rglob("*") if p.name.startswith(".") or p.is_symlink()]

    assert odd == []


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A sound site of two pages, a style and a drawing."""
    (tmp_path / "tests").mkdir()
    for name, text in {
        "index.html": '<a href="tests/HF-1.html#points">x</a><link href="s.css">',
        "tests/HF-1.html": '<a href="../index.html">x</a><p id="points">y</p>',
        "s.css": "body { background: url(tests/c.svg) }",
        "tests/c.svg": '<svg xmlns="http://www.w3.org/2000/svg"/>',
    }.items():
        (tmp_path / name).write_text(text, "utf-8")
    return tmp_path


def faults(site: Path) -> list[str]:
    pages = links.read_site(site)
    return [fault for name in pages for fault in links.page_faults(site, pages, name)]


def test_a_sound_site_has_no_fault(small: Path) -> None:
    assert faults(small) == []
    assert links.unreached(links.read_site(small)) == []
    assert [*links.style_faults(small), *links.drawing_faults(small)] == []


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        ('<a href="lost.html">', "no such file"),
        ('<a href="tests/lost/index.html">', "no such file"),
        ('<a href="tests/hf-1.html">', "no such file"),
        ('<a href="tests/HF-1.html#lost">', "no such place on that page"),
        ('<a href="#lost">', "no such place on that page"),
        ('<a href="tests/">', "a folder"),
        ('<a href="/index.html">', "not relative"),
        ('<a href="../index.html">', "leads out of the site"),
        ('<img src="lost.svg" alt="">', "no such file"),
        ('<script src="https://host.example/x.js"></script>', "another host"),
        ('<link rel="stylesheet" href="//host.example/x.css">', "another host"),
        ('<img srcset="x.svg 2x" alt="">', "does not know"),
        ('<p id="a"></p><p id="a"></p>', "stands twice"),
        ('<label for="lost">x</label>', "points to the id lost"),
    ],
)
def test_a_fault_is_named(small: Path, more: str, fault: str) -> None:
    page = small / "index.html"
    page.write_text(page.read_text("utf-8") + more, "utf-8")

    (found,) = faults(small)

    assert fault in found


def test_a_page_without_a_way_to_it_is_named(small: Path) -> None:
    (small / "orphan.html").write_text('<a href="index.html">x</a>', "utf-8")

    assert links.unreached(links.read_site(small)) == ["orphan.html"]


def test_a_style_and_a_drawing_that_name_no_file_are_named(small: Path) -> None:
    (small / "s.css").write_text("@import url('lost.css');", "utf-8")
    (small / "tests" / "c.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg"><use href="x.svg#a"/></svg>', "utf-8"
    )

    assert [*links.style_faults(small)] == ["s.css: lost.css: no such file"]
    assert [*links.drawing_faults(small)] == [
        "tests/c.svg: x.svg#a: fetched by a drawing"
    ]
