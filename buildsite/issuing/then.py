"""An issued revision computed again: its inputs are found in git by their digests."""

from collections.abc import Iterator

from buildsite.archive.archive import Archive
from buildsite.history.walk import History
from buildsite.kinds.outcome import Outcome
from buildsite.record.canonical import digest
from buildsite.record.issued import (
    SUFFIX,
    Item,
    issued_name,
    item_digest,
    kept_name,
    pins_of,
    read_issued,
)


def as_issued(past: History, item: Item, file: str) -> Outcome | None:
    """
    Compute what the inputs of an item come to today.

    None where an input is nowhere in the past, or the record can't be read.

    Parameters
    ----------
    past
        The repository's past.
    item
        One of the items issued of a test.
    file
        The test's record; its folder may have been another then.
    """
    found: dict[str, bytes] = {}
    for name, wanted in item.inputs.items():
        path, _, number = name.partition("#")
        data = held(past, path, wanted, number)
        if data is None:
            return None
        found[path] = data
    if not add_kept(past, found, item):
        return None
    own = f"/{file.rpartition('/')[2]}"
    records = [name for name in sorted(found) if name.endswith(".yaml")]
    records = [name for name in records if not name.endswith(SUFFIX)]
    archive = Archive(
        records,
        found.__getitem__,
        issued=[name for name in sorted(found) if name.endswith(SUFFIX)],
        pins=pins_of(item.inputs),
    )
    mine = [name for name in records if name.endswith(own)]
    return archive.outcome(mine[0]) if len(mine) == 1 else None


def add_kept(past: History, found: dict[str, bytes], item: Item) -> bool:
    """Add the result kept of each item that is an input; False where one is lost."""
    for test, revision in pins_of(item.inputs).items():
        name, kept = issued_name(test), kept_name(test, revision, "json")
        issued, _ = read_issued(name, found[name])
        wanted = issued.items[revision].result if issued is not None else None
        data = held(past, kept, wanted or "")
        if wanted is None and data is None:
            continue  # a withdrawal keeps no result
        if data is None:
            return False
        found[kept] = data
    return True


def held(past: History, path: str, wanted: str, number: str = "") -> bytes | None:
    """
    Find the bytes of that digest that a path once held, the latest first.

    `number`: of the item whose digest it is, where it is not that of the whole file.
    """
    for data in contents(past, path):
        if (item_digest(data, number) if number else digest(data)) == wanted:
            return data
    return None


def contents(past: History, path: str) -> Iterator[bytes]:
    """Everything that a path ever held, the latest first."""
    seen: set[str] = set()
    for commit in past.commits:
        for touch in commit.touches:
            if touch.path == path and touch.new and touch.new not in seen:
                seen.add(touch.new)
                yield past.blobs[touch.new]
