"""The figure of a test: what it says of itself, and what its page's script is told."""

from buildsite.kinds.sheet import Plot, Sheet
from buildsite.pages.figure.names import FigureName, figure_name
from buildsite.pages.figure.read_off import figure_data
from buildsite.pages.figure.scripts import curves_address, picture_name
from buildsite.pages.page import Site
from buildsite.pages.report.parts import folder, plot_of
from buildsite.pages.rows import Row
from buildsite.pages.view_models import Frames


def name_of_test(site: Site, row: Row, sheet: Sheet) -> FigureName:
    """Return what the figure of a test says of itself."""
    plot = plot_of(sheet)
    issued = row.revision is not None
    number = f"{row.id} r{row.revision}" if issued else f"{row.id}, not issued"
    shown = plot.title if plot is not None else ""
    return figure_name(shown, number, sheet.subtitle, site.maker)


def frame_of_test(site: Site, row: Row, plot: Plot | None) -> Frames:
    """
    Return what the script is told of a test's figure.

    Besides the figure itself: where the curves of the same soil are, to lay over it, if
    there is another; and the picture as a script, to be saved as PNG.
    """
    if plot is None:
        return {}
    links = site.links(f"{folder(row.file)}/")
    places = [
        links.page(curves_address((what, id)))
        for what, id in (("sample", row.sample), ("soil", row.soil_class))
        if site.archive.is_overlaid(row.file) and id and links.has_page((what, id))
    ]
    offered = row.curve is not None and places
    others = (("others", " ".join(places)), ("test", row.id)) if offered else ()
    return {plot.name: (*figure_data(plot), *others, ("picture", picture_name(plot)))}
