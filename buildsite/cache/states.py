"""The archive's own files: as they are now, and as the last build read them."""

from collections.abc import Mapping
from dataclasses import field
from functools import cached_property

from buildsite.cache.files import Told, changed_ns
from buildsite.cache.looks import TICK_NS
from buildsite.values import dataclass


@dataclass(frozen=True)
class States:
    """
    States of the archive's files, and what the last build told of each.

    `now` has the state of each file as it was found; where that is as the last build
    left it, what was told of its bytes still holds, and they need not be read.
    """

    now: Mapping[str, str] = field(default_factory=dict)
    then: Mapping[str, Told] = field(default_factory=dict)

    def told(self, name: str) -> Told | None:
        """Return what is known of the bytes of a file; None if it may have changed."""
        then = self.then.get(name)
        same = then is not None and then.state and then.state == self.now.get(name)
        return then if same else None

    @cached_property
    def moved(self) -> frozenset[str]:
        """Files that may have changed, came or went."""
        names = self.now.keys() | self.then.keys()
        return frozenset(name for name in names if self.told(name) is None)


def settled_state(state: str, latest_ns: int) -> str:
    """Return a state, unless another change could leave it as it is: then none."""
    return state if changed_ns(state) < latest_ns - TICK_NS else ""
