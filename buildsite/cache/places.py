"""Where the store of a site is."""

import os
from hashlib import sha256
from pathlib import Path


def place_of(folder: Path, site: Path) -> Path:
    """Return the file of the store of a site, in git's own folder."""
    name = sha256(os.fsencode(site)).hexdigest()[:16]
    return folder / "buildsite" / f"{name}.sqlite"
