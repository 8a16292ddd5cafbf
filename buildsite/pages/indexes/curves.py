"""Curves of a project's or a sample's tests, on its page and for those of its tests."""

from collections.abc import Iterator, Sequence

from buildsite.kinds.laboratory.soil_curves import NamedCurve, soil_blocks
from buildsite.kinds.sheet import DrawnCurve, Plot, Table, Target
from buildsite.pages.figure.names import figure_name
from buildsite.pages.figure.scripts import (
    MOST_OFFERED,
    curves_file,
    figure_files,
    picture_frames,
)
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.links import address
from buildsite.pages.page import File, Site
from buildsite.pages.rows import Row
from buildsite.pages.view_models import Frames


def named_curves(rows: Sequence[Row]) -> list[NamedCurve]:
    """Return the measured curves of tests that stand, the latest first."""
    return [
        named_curve(row, row.curve)
        for row in latest_standing(rows)
        if row.curve is not None
    ]


def latest_standing(rows: Sequence[Row]) -> list[Row]:
    """Return the tests with a curve that may be used, the latest first."""
    standing = (row for row in rows if row.stands)
    return sorted(standing, key=lambda row: row.newest_first)


def named_curve(row: Row, curve: DrawnCurve) -> NamedCurve:
    """Return the curve of a test, with what is said of it."""
    number = f"{row.id} r{row.revision}" if row.revision is not None else row.id
    return NamedCurve(row.id, number, f"{row.standard} {row.method}".strip(), curve)


def curve_blocks(rows: Sequence[Row]) -> list[Plot | Table]:
    """Return the figures of these tests with their tables."""
    return list(soil_blocks(named_curves(rows)))


def curve_frames(blocks: Sequence[Plot | Table]) -> Frames:
    """Return what the script is told of these figures."""
    return picture_frames(block for block in blocks if isinstance(block, Plot))


def curve_files(
    site: Site, target: Target, blocks: Sequence[Plot | Table]
) -> Iterator[File]:
    """Return the files of these figures."""
    folder = address(target).rpartition("/")[0]
    for block in blocks:
        if isinstance(block, Plot):
            name = figure_name(block.title, " ".join(target), site.maker)
            for path, _, data in figure_files(folder, block, name):
                yield path, data


def soil_script(target: Target, rows: Sequence[Row]) -> Iterator[File]:
    """Return the curves of a sample or soil class as a script, if it has any test."""
    if any(row.drawn for row in rows):
        yield curves_file(target, named_curves(rows))


def script_of_class(context: IndexContext, name: str) -> Iterator[File]:
    """Return that script of a soil class, of whose tests only the latest are asked."""
    rows = context.tests("soil", name)
    if any(row.drawn for row in rows):
        latest = latest_standing(rows)
        shown = context.lists.among(latest[:MOST_OFFERED])
        more = len(latest) - len(shown)
        yield curves_file(("soil", name), named_curves(shown), more)
