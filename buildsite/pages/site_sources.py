"""What a site is made of beside the records: its options, kept files, the past."""

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

    `base_url` is where the site will stand, if that is known; `release` leaves out
    what is the laboratory's own; `note` stands on every page; `software` names the
    program that computed, for `result.json`; `previous` is the digest of the manifest
    of the site that this one follows; `without_history` builds the present state.
    """

    base_url: str = ""
    release: bool = False
    note: str = ""
    software: Mapping[str, str] = field(default_factory=dict)
    previous: str = ""
    without_history: bool = False

    def written(self) -> Mapping[str, str | bool]:
        """What a manifest says of how a site was built."""
        return {
            "base_url": self.base_url,
            "release": self.release,
            "without_history": self.without_history,
        }


@dataclass(frozen=True)
class SiteSources:
    """
    What was kept of issues, the past, and what clients may see.

    `record_history` is None where a site has no edits: for clients, or without history.
    """

    issued_files: IssuedFiles = field(default_factory=IssuedFiles)
    record_history: RecordHistory | None = None
    released: Released | None = None
