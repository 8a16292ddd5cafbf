"""The archive's files and the site's: found, read, and replaced whole."""

from buildsite.files.archive import (
    ArchiveFiles,
    Listing,
    find_root,
    list_archive,
    read_archive,
)
from buildsite.files.site import Stage, Written, replace_site
from buildsite.files.writing import write_files, write_whole

__all__ = [
    "ArchiveFiles",
    "Listing",
    "Stage",
    "Written",
    "find_root",
    "list_archive",
    "read_archive",
    "replace_site",
    "write_files",
    "write_whole",
]
