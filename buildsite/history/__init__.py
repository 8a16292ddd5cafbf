"""Git, and nothing else runs it: what stands, what a commit held, who edited."""

from buildsite.history.run import (
    SETTINGS,
    Checkout,
    GitRefused,
    at_revision,
    checkout,
    clean_environment,
    git,
)
from buildsite.history.walk import History, read_history

__all__ = [
    "SETTINGS",
    "Checkout",
    "GitRefused",
    "History",
    "at_revision",
    "checkout",
    "clean_environment",
    "git",
    "read_history",
]
