"""What a build tells of itself."""

from collections.abc import Mapping
from dataclasses import field

from buildsite.history.run import Checkout
from buildsite.values import dataclass


@dataclass
class BuildResult:
    """How many pages and tests a build made, and how many errors."""

    pages: int = 0
    tests: int = 0
    errors: int = 0  # complete tests, and other files, with an error
    checkout: Checkout = field(default_factory=lambda: Checkout(None, differs=False))
    withheld: Mapping[str, str] = field(default_factory=dict)  # test → why
    doubtful: tuple[str, ...] = ()  # words to look at
