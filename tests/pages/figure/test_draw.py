"""Figures: the same bytes for the same plot, text as text, and nothing of the maker."""

import json
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextPath

from buildsite.kinds import kind_named
from buildsite.kinds.sheet import Plot
from buildsite.pages.field.field_page import curve_figures, percent_figures
from buildsite.pages.figure.draw import strip_text, svg
from buildsite.pages.figure.label_layout import layout
from buildsite.pages.figure.names import figure_name
from buildsite.pages.figure.samples import SAMPLES
from buildsite.pages.figure.styles import LINES, MARKS, WINDOW
from buildsite.pages.indexes.curves import curve_blocks
from buildsite.pages.rows import row_of
from tests.archives import archive_of, folder
from tests.pages.field.fills import PROJECT, filled
from tests.pages.figure.plots import many
from tests.pages.figure.whole import drawn_samples, whole

SVG = "{http://www.w3.org/2000/svg}"
ROOT = Path(__file__).parents[3]
FRESH = """
import sys
from buildsite.pages.field.field_page import curve_figures, percent_figures
from buildsite.pages.figure.draw import svg
from tests.pages.field.fills import PROJECT, filled
from tests.pages.figure.plots import many
sys.stdout.buffer.write(svg(many(int(sys.argv[1]) + 1)[-1]))
"""


def demo_plots() -> Iterator[Plot]:
    """Every figure of the demo: of its records, of results kept, of two compared."""
    files = {f"records/{name}": data for name, data in folder(ROOT / "records").items()}
    archive = archive_of(files)
    outcomes = []
    for name in archive.names:
        outcome = archive.outcome(name)
        if outcome is not None:
            blocks = outcome.sheet().blocks
            yield from (block for block in blocks if isinstance(block, Plot))
            outcomes += [outcome] if outcome.kind.group == "test" else []
    for name in archive.files("test"):
        stem = name.removesuffix(".yaml")
        kept = [
            (file.split(".")[-2], json.loads(files[file]))
            for file in sorted(files)
            if file.startswith(f"{stem}.r") and file.endswith(".json")
        ]
        for results in (*([one] for one in kept), *map(list, pairwise(kept))):
            kind = kind_named(str(results[0][1].get("kind")))
            if kind is not None and kind.compare is not None:
                plot = kind.compare(results, None)
                yield from [plot] if plot is not None else []
    rows = [row_of(archive, made, made.sheet()) for made in outcomes]
    yield from (one for one in curve_blocks(rows) if isinstance(one, Plot))
    context = filled()
    control = context.field_control(PROJECT)
    assert control is not None
    yield from percent_figures(control)
    yield from curve_figures(context, control)


def test_the_demos_figures_have_the_bytes_of_matplotlibs_own() -> None:
    plots = list(demo_plots())

    ways = {kind for plot in plots for kind, _ in layout(plot).paths}
    assert ways == {*LINES, WINDOW}
    assert {dot.kind for plot in plots for dot in plot.dots} == set(MARKS)
    for plot in plots:
        assert svg(plot) == whole(plot), plot.alt


def test_the_samples_are_what_matplotlib_draws() -> None:
    assert drawn_samples() == SAMPLES


def test_figures_of_every_shape_have_the_bytes_of_matplotlibs_own() -> None:
    for plot in many(100):
        assert svg(plot) == whole(plot), plot.alt


@pytest.mark.parametrize("text", ["a < b & c > d", "“fine” 'or' \"not\"", "±³½"])
def test_any_label_has_the_bytes_of_matplotlibs_own(text: str) -> None:
    plot = many(1)[0]
    dots = tuple(replace(dot, label=text) if dot.label else dot for dot in plot.dots)

    assert svg(replace(plot, dots=dots)) == whole(replace(plot, dots=dots))


def drawing(plot: Plot) -> ElementTree.Element:
    return ElementTree.fromstring(svg(plot))  # noqa: S314 (our own drawing)


def test_order_does_not_move_a_byte() -> None:
    plots = many(12)

    first = [svg(plot) for plot in plots]
    again = [svg(plot) for plot in reversed(plots)][::-1]

    assert first == again
    assert len(set(first)) == len(plots)


def test_a_fresh_process_draws_the_same_bytes() -> None:
    here = [svg(plot) for plot in many(12)]

    for seed in (0, 7):
        done = subprocess.run(
            [sys.executable, "-c", FRESH, str(seed)],
            cwd=ROOT,
            capture_output=True,
            check=True,
        )
        assert done.stdout == here[seed]


def test_nothing_tells_when_or_by_what_it_was_drawn() -> None:
    text = svg(many(1)[0]).decode().lower()

    assert text.startswith("<svg")
    for word in ("<metadata", "<!doctype", "<?xml", "matplotlib", "dejavu", "<script"):
        assert word not in text


def test_it_says_what_it_shows() -> None:
    plot = many(1)[0]

    root = drawing(plot)

    assert root.get("role") == "img"
    assert [part.tag for part in root[:2]] == [f"{SVG}title", f"{SVG}desc"]
    assert root.get("aria-labelledby") == f"{root[0].get('id')} {root[1].get('id')}"
    assert (root[0].text, root[1].text) == (plot.title, plot.alt)


def test_taken_out_of_its_page_it_says_whose_it_is() -> None:
    plot = many(1)[0]
    name = figure_name(plot.title, "HF-0117 r1", "ASTM D698, Method A", "A & Sons")

    root = ElementTree.fromstring(svg(plot, name))  # noqa: S314 (our own drawing)
    strip = list(root.iter(f"{SVG}text"))[-1]

    whose = "HF-0117 r1 · ASTM D698, Method A · A & Sons"
    assert root[0].text == f"Compaction curve: {whose}"
    assert root[1].text == plot.alt
    assert strip.text == whose
    # The line stands below the figure, which stays where it was.
    assert root.get("viewBox") == "0 0 400 336"
    assert 320 < float(strip.get("y", 0)) < 336
    assert svg(plot, name).startswith(svg(plot)[:90])


@pytest.mark.parametrize("length", [10, 60, 90, 150])
def test_the_line_below_fits_the_width(length: int) -> None:
    # DejaVu Sans, which matplotlib brings, is among the widest faces in use.
    text = ("Nether Wallop Soils Laboratory " * 10)[:length]
    (size,) = re.findall('font-size="([0-9.]+)"', strip_text(text))
    face = FontProperties(family="DejaVu Sans", size=float(size))

    assert TextPath((0, 0), text, prop=face).get_extents().width <= 400 - 2 * 6
    assert float(size) <= 8.5


def test_words_are_text() -> None:
    plot = many(1)[0]
    peak = plot.dots[-1].label

    words = [element.text for element in drawing(plot).iter(f"{SVG}text")]

    assert peak in words
    assert "Water content, %" in words
    assert f"Dry density, {plot.y.unit}" in words
    assert all(
        str(number) in words for number in range(int(plot.x.low), int(plot.x.high), 2)
    )


def test_ids_are_unique_and_found() -> None:
    for plot in many(20):
        root = drawing(plot)
        ids = [e.get("id") for e in root.iter() if e.get("id")]
        asked = [
            value
            for element in root.iter()
            for key, value in element.attrib.items()
            if key.endswith("href")
        ]

        assert len(ids) == len(set(ids))
        assert {value.removeprefix("#") for value in asked} <= set(ids)


def test_a_rejected_point_is_hollow() -> None:
    plot = next(p for p in many(50) if any(d.kind == "rejected" for d in p.dots))

    text = svg(plot).decode()

    assert "rejected" in text
    assert "fill: #ffffff; stroke: #1c2326" in text


def test_the_ground_is_white() -> None:
    text = svg(many(1)[0]).decode()

    assert '<rect width="400" height="320" fill="#fff"/>' in text
