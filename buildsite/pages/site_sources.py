"""What stands beside the records when a test is laid out."""

from dataclasses import dataclass, field

from buildsite.archive.issued_files import Shelf
from buildsite.archive.record_history import Lookback
from buildsite.pages.links import Released


@dataclass(frozen=True)
class Beside:
    """
    What was kept of issues, the past, and what clients may see.

    `lookback` is None where a site has no edits: for clients, or without history.
    """

    shelf: Shelf = field(default_factory=Shelf)
    lookback: Lookback | None = None
    released: Released | None = None
