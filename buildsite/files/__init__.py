"""Find the archive, read it, replace files and sites whole."""

from buildsite.files.archive import (
    ArchiveFiles,
    Listing,
    find_root,
    list_archive,
    read_archive,
    write_whole,
)
from buildsite.files.site import replace_site

__all__ = [
    "ArchiveFiles",
    "Listing",
    "find_root",
    "list_archive",
    "read_archive",
    "replace_site",
    "write_whole",
]
