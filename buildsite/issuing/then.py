"""An issued revision computed again: its inputs are found in git by their digests."""

from buildsite.history.walk import History
from buildsite.kinds.outcome import Outcome
from buildsite.pages.archive import Archive
from buildsite.pages.identity import group_of
from buildsite.record.canonical import digest
from buildsite.record.issued import SUFFIX, Item


def as_issued(past: History, item: Item) -> Outcome | None:
    """
    Compute what the inputs of an item come to today.

    None where an input is nowhere in the past, or the record can't be read.
    """
    found: dict[str, bytes] = {}
    for name, wanted in item.inputs.items():
        data = held(past, name.partition("#")[0], wanted)
        if data is None:
            return None
        found[name] = data
    names = [
        name for name in sorted(found) if not name.partition("#")[0].endswith(SUFFIX)
    ]
    tests = [name for name in names if group_of(name) == "test"]
    archive = Archive(names, found.__getitem__)
    return archive.outcome(tests[0]) if len(tests) == 1 else None


def held(past: History, name: str, wanted: str) -> bytes | None:
    """Find the bytes of that digest that a path once held, the latest first."""
    seen: set[str] = set()
    for commit in past.commits:
        for touch in commit.touches:
            if touch.path != name or not touch.new or touch.new in seen:
                continue
            seen.add(touch.new)
            data = past.blobs[touch.new]
            if digest(data) == wanted:
                return data
    return None
