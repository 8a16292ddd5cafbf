"""What the archive holds around a record that is not there yet: for `new`."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from buildsite.record.reading import day
from buildsite.values import dataclass

Facts = Callable[[type, tuple[str, ...], date | None], tuple[Any, ...]]
Earlier = Callable[[str], tuple[Any, ...]]


@dataclass(frozen=True)
class Around:
    """
    What a kind may fill a new record from.

    `told` is what was answered so far, by the names of the asks. `facts` gives what the
    equipment of some kinds answers (a class of `kinds/answers.py`) as of a day, by id.
    `earlier` gives records of the same kind that mention a word, the latest first, and
    no more than a few.
    """

    told: Mapping[str, str]
    facts: Facts
    earlier: Earlier

    @property
    def on(self) -> date | None:
        """The day of the work, as told under `on`."""
        try:
            return day(self.told.get("on", ""))
        except ValueError:
            return None
