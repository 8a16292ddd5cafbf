"""
The PDF of a kept report: the sheet that its HTML prints, tagged, with its result.

The same bytes on any machine with the same libraries: the fonts are matplotlib's own,
which the lock names, and no font of the system is looked at; nothing is compressed,
since Pythons differ in their zlib; the only date is that of the issue. So it is as
large as the text that it is made of, and git and a server compress it.

Only this module uses WeasyPrint. It needs Pango from the system, so the item says which
versions drew it, and only these can draw it again.
"""

import logging
import os
import re
from base64 import b64decode
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, date, datetime, time
from html import escape, unescape
from pathlib import Path
from tempfile import TemporaryDirectory
from xml.sax.saxutils import escape as escaped

from buildsite.pages.render import template_file

FONTS = """\
<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">
<fontconfig>
<dir>{fonts}</dir>
<cachedir>{cache}</cachedir>
<selectfont>
<rejectfont><glob>*</glob></rejectfont>
<acceptfont><glob>{fonts}/DejaVu*</glob></acceptfont>
</selectfont>
<alias><family>sans-serif</family><prefer><family>DejaVu Sans</family></prefer></alias>
<alias><family>system-ui</family><prefer><family>DejaVu Sans</family></prefer></alias>
<alias><family>serif</family><prefer><family>DejaVu Serif</family></prefer></alias>
<alias>
<family>monospace</family><prefer><family>DejaVu Sans Mono</family></prefer>
</alias>
</fontconfig>
"""
"""Settings of fontconfig: the program's fonts alone."""

SUPPLIED = "DejaVuSans.ttf"
"""The face that has every letter of the others."""

VARIANT = "pdf/ua-1"
"""ISO 14289-1: tagged, with a title and a language."""


class UnknownLetters(Exception):
    """A report has letters that the program's fonts don't have."""


def fonts_folder() -> Path:
    """Return the folder of the fonts that come with the program."""
    from matplotlib import get_data_path  # late: a build needs no matplotlib

    return Path(get_data_path()) / "fonts" / "ttf"


@contextmanager
def own_fonts() -> Iterator[None]:
    """Let fontconfig see the program's fonts alone."""
    before = os.environ.get("FONTCONFIG_FILE")
    with TemporaryDirectory(prefix="buildsite-fonts-") as folder:
        settings = Path(folder) / "fonts.conf"
        settings.write_text(
            FONTS.format(
                fonts=escaped(fonts_folder().as_posix()),
                cache=escaped((Path(folder) / "cache").as_posix()),
            ),
            "utf-8",
        )
        os.environ["FONTCONFIG_FILE"] = str(settings)
        try:
            yield
        finally:
            del os.environ["FONTCONFIG_FILE"]
            if before is not None:
                os.environ["FONTCONFIG_FILE"] = before


def drawn_by() -> str:
    """
    Return the versions that a PDF depends on, as an item states them.

    Raises
    ------
    ImportError
        If WeasyPrint is not installed.
    OSError
        If Pango is not there.
    """
    with own_fonts():  # it looks for fonts when it is imported
        import weasyprint
        from weasyprint.text.ffi import harfbuzz_subset, pango

    if harfbuzz_subset is None:
        raise OSError("no libharfbuzz-subset")
    return (
        f"WeasyPrint {weasyprint.__version__}, Pango {dotted(pango.pango_version())}, "
        f"HarfBuzz {harfbuzz_version()}"
    )


HARFBUZZ = ("libharfbuzz.so.0", "libharfbuzz.0.dylib", "libharfbuzz-0.dll")
"""Names of the library on Linux, macOS and Windows."""


def harfbuzz_version() -> str:
    """Return the version of HarfBuzz: it shapes words, and cuts fonts to size."""
    from ctypes import CDLL, c_char_p

    for name in HARFBUZZ:
        with suppress(OSError):
            told = CDLL(name).hb_version_string
            told.restype = c_char_p
            return str(told().decode())
    raise OSError("no libharfbuzz")


def dotted(version: int) -> str:
    """
    Return Pango's version as people write it.

    >>> dotted(15012)
    '1.50.12'
    """
    return f"{version // 10000}.{version // 100 % 100}.{version % 100}"


def kept_pdf(page: bytes, result: bytes | None, content: str, on: date) -> bytes:
    """
    Return the PDF of a kept report; `result` is attached.

    Raises
    ------
    ImportError, OSError
        As `drawn_by`.
    UnknownLetters
        If the fonts lack a letter of the report.
    """
    text = page.decode()
    refuse_unknown_letters(text)
    # The page of a report in hand finds the digest in a file that was altered.
    words = f'<meta name="keywords" content="{escape(content)}">\n<title>'
    text = text.replace("<title>", words, 1)
    style = template_file("kept-pdf.css").decode()
    text = text.replace("</style>", f"{style}</style>", 1)
    with own_fonts():
        import weasyprint
        from weasyprint.urls import URLFetcher

        logging.getLogger("weasyprint").setLevel(logging.ERROR)
        fetcher = URLFetcher(allowed_protocols=("data",), allow_redirects=False)
        files = [] if result is None else [attachment(result, on)]
        drawn: bytes = weasyprint.HTML(
            string=text, base_url="data:,", url_fetcher=fetcher
        ).write_pdf(
            pdf_variant=VARIANT,
            uncompressed_pdf=True,
            attachments=files,
        )
    return drawn


def attachment(result: bytes, on: date) -> object:
    """Return the result as a file in the PDF, of the day of issue."""
    from weasyprint import Attachment

    day = datetime.combine(on, time(), UTC)
    return Attachment(
        string=result,
        name="result.json",
        description="The result as issued",
        relationship="Data",
        created=day,
        modified=day,
    )


PICTURE = re.compile(r"data:image/svg\+xml;base64,([A-Za-z0-9+/=]*)")
STYLE, MARK = re.compile(r"<style>.*?</style>", re.DOTALL), re.compile("<[^>]*>")


def letters(text: str) -> set[str]:
    """Return every letter that a report prints, in its figure too."""
    pictures = (b64decode(found[1]).decode() for found in PICTURE.finditer(text))
    shown = (STYLE.sub("", part) for part in (text, *pictures))
    plain = "".join(unescape(MARK.sub("", part)) for part in shown)
    return {letter for letter in plain if letter.isprintable()}


def refuse_unknown_letters(text: str) -> None:
    """Refuse letters that would be drawn as empty boxes."""
    from fontTools.ttLib import TTFont

    with TTFont(fonts_folder() / SUPPLIED, lazy=True) as font:
        known = font.getBestCmap()
    lost = sorted(letter for letter in letters(text) if ord(letter) not in known)
    if lost:
        raise UnknownLetters(" ".join(lost))
