"""What a site is made of besides the records: options, kept files, history."""

from collections.abc import Mapping
from dataclasses import field

from buildsite.archive.issued_files import IssuedFiles
from buildsite.archive.issues import Released
from buildsite.archive.record_history import RecordHistory
from buildsite.values import dataclass


@dataclass(frozen=True)
class Options:
    """
    Options of a build.

    `base_url` is the address of the site, if known; `release` leaves out what is for
    the laboratory only; `uncommitted` are the paths that are not as committed, which
    the first page and the pages made of them say; `software` is the program that
    computed, for `result.json`; `previous` is the digest of the manifest of the site
    before; `without_history` leaves out earlier states and edits.
    """

    base_url: str = ""
    release: bool = False
    uncommitted: frozenset[str] = frozenset()
    software: Mapping[str, str] = field(default_factory=dict)
    previous: str = ""
    without_history: bool = False

    def written(self) -> Mapping[str, str | bool]:
        """Return the options that a manifest states."""
        return {
            "base_url": self.base_url,
            "release": self.release,
            "without_history": self.without_history,
        }


@dataclass(frozen=True)
class SiteSources:
    """
    Kept files, history, and what clients may see.

    `record_history` is None if the site shows no edits.
    """

    issued_files: IssuedFiles = field(default_factory=IssuedFiles)
    record_history: RecordHistory | None = None
    released: Released | None = None
