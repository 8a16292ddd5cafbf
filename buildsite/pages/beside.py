"""What stands beside the records when a test is laid out."""

from dataclasses import dataclass, field

from buildsite.pages.links import Released
from buildsite.pages.past import Lookback
from buildsite.pages.shelf import Shelf


@dataclass(frozen=True)
class Beside:
    """
    What was kept of issues, the past, and what clients may see.

    `lookback` is None where a site has no edits: for clients, or without history.
    """

    shelf: Shelf = field(default_factory=Shelf)
    lookback: Lookback | None = None
    released: Released | None = None
