"""
Figures and curves as scripts, which a page may load also from the disk.

There it may not fetch a file, and may not read back a picture that it shows. Both are
loaded when they are asked for: to save a figure as PNG, to lay another curve over it.
"""

from collections.abc import Iterable, Iterator, Sequence

from buildsite.kinds.laboratory.soil_curves import NamedCurve
from buildsite.kinds.sheet import Plot, Target
from buildsite.pages.figure.names import NAMELESS, FigureName
from buildsite.pages.figure.read_off import Pairs, compact, figure_data, rounded
from buildsite.pages.figure.small import thinned
from buildsite.pages.links import address

MOST_OFFERED = 200
"""Curves of a soil class that are offered to be laid over another, the latest."""


def picture_name(plot: Plot) -> str:
    """Return the name of the script of a figure."""
    return f"{plot.name}.svg.js"


def picture_frames(plots: Iterable[Plot]) -> dict[str, Pairs]:
    """Return what the script is told of figures that are saved as PNG too."""
    return {
        plot.name: (*figure_data(plot), ("picture", picture_name(plot)))
        for plot in plots
    }


def figure_files(
    folder: str, plot: Plot, name: FigureName = NAMELESS
) -> Iterator[tuple[str, str, bytes]]:
    """Return a figure, and the script that holds it: path, label ("": none), bytes."""
    from buildsite.pages.figure.draw import svg

    drawn = svg(plot, name)
    yield f"{folder}/{plot.name}.svg", "figure", drawn
    told = {
        "name": plot.name,
        "title": name.title or plot.title,
        "shows": plot.alt,
        "svg": drawn.decode(),
    }
    script = f"figurePicture({compact(told)});\n".encode()
    yield f"{folder}/{picture_name(plot)}", "", script


def curves_address(target: Target) -> str:
    """
    Return the address of the script with the curves of a sample or a soil class.

    >>> curves_address(("soil", "sp-sm"))
    'soils/SP-SM/curves.js'
    """
    return f"{address(target).rpartition('/')[0]}/curves.js"


def curves_file(
    target: Target, curves: Sequence[NamedCurve], more: int = 0
) -> tuple[str, bytes]:
    """Return that script; `curves` are the latest first, of which there are `more`."""
    what, id = target
    told = {
        "of": f"{'sample' if what == 'sample' else 'soil class'} {id}",
        "left": max(0, len(curves) + more - MOST_OFFERED),
        "tests": [curve_told(one) for one in curves[:MOST_OFFERED]],
    }
    return curves_address(target), f"figureCurves({compact(told)});\n".encode()


def curve_told(one: NamedCurve) -> dict[str, object]:
    """Return one curve, in SI."""
    told: dict[str, object] = {
        "id": one.id,
        "name": one.name,
        "made": one.made,
        "pair": one.pair,
        "line": [[rounded(w), rounded(dry)] for w, dry in thinned(one.curve.way)],
    }
    if one.curve.peak is not None:
        told["peak"] = list(map(rounded, one.curve.peak))
    if one.curve.corrected and one.curve.governing is not None:
        told["whole"] = list(map(rounded, one.curve.governing))
    return told
