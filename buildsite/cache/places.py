"""Where the store of a site is, and what lies beside it; nothing is loaded for it."""

import os
from zlib import adler32, crc32

TYPE_CHECKING = False  # as in `typing`, which takes a while to import
if TYPE_CHECKING:
    from pathlib import Path


def name_of(site: str) -> str:
    """Return the name of the files that are kept of a site."""
    data = os.fsencode(site)
    return f"{crc32(data):08x}{adler32(data):08x}"


def place_of(folder: "Path", site: "Path") -> "Path":
    """Return the file of the store of a site, in git's own folder."""
    return folder / "buildsite" / f"{name_of(str(site))}.sqlite"
