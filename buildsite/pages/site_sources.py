"""What stands beside the records when a test is laid out."""

from dataclasses import dataclass, field

from buildsite.archive.issued_files import IssuedFiles
from buildsite.archive.record_history import RecordHistory
from buildsite.pages.links import Released


@dataclass(frozen=True)
class Beside:
    """
    What was kept of issues, the past, and what clients may see.

    `record_history` is None where a site has no edits: for clients, or without history.
    """

    issued_files: IssuedFiles = field(default_factory=IssuedFiles)
    record_history: RecordHistory | None = None
    released: Released | None = None
