"""The PDF of a report, and what is wrong where it can't be drawn."""

from contextlib import redirect_stdout
from datetime import date
from io import StringIO

from buildsite.errors import EnvironmentFault
from buildsite.issuing.refused import Refused

NO_LIBRARY = EnvironmentFault(
    "WeasyPrint is not installed: it draws the PDF of a report.",
    "Install the program with its extra: pip install 'buildsite[pdf]', or issue "
    "without --pdf.",
)
NO_PANGO = EnvironmentFault(
    "Pango is not installed: WeasyPrint sets the text of a PDF with it.",
    "On Debian and Ubuntu: apt-get install libpango-1.0-0 libpangoft2-1.0-0 "
    "libharfbuzz-subset0. On macOS: brew install pango. Or issue without --pdf.",
)


def drawn_here_by() -> str:
    """
    Return the versions that draw a PDF on this machine, as an item states them.

    Raises
    ------
    EnvironmentFault
        If WeasyPrint or Pango is missing.
    """
    from buildsite.pages.revisions.kept_pdf import drawn_by

    try:
        with redirect_stdout(StringIO()):  # it prints a banner where Pango is missing
            return drawn_by()
    except ImportError:
        raise NO_LIBRARY from None
    except OSError:
        raise NO_PANGO from None


def report_pdf(
    number: str, page: bytes, result: bytes | None, content: str, on: date
) -> bytes:
    """Return the PDF of a report to keep; refuse letters that can't be printed."""
    from buildsite.pages.revisions.kept_pdf import UnknownLetters, kept_pdf

    try:
        return kept_pdf(page, result, content, on)
    except UnknownLetters as lost:
        raise Refused(
            [
                f"{number}: the fonts of a PDF have no letter for {lost}. Issue it "
                "without --pdf."
            ]
        ) from None
