"""
Tests that may not go and stand as something else: a field test as a water content.

The record is there by its id, so nothing is gone; but its verdict is.
"""

import re
from collections.abc import Iterator

from buildsite.archive.identity import name_of
from buildsite.history.walk import History
from buildsite.kinds import kind_named
from buildsite.record.proof import Fault
from buildsite.verifying.gone import is_test

KIND = re.compile(rb"^kind:[ \t]*[\"']?([A-Za-z0-9_-]+)", re.MULTILINE)


def kind_stated(data: bytes) -> str:
    r"""
    Return the kind that a record's text states, without reading it as YAML.

    >>> kind_stated(b"format: 1\nkind: field-density\n")
    'field-density'
    """
    found = KIND.search(data)
    return found[1].decode() if found else ""


def of_another_kind(history: History, along: str) -> Iterator[Fault]:
    """Yield each test that was of a kind that lasts and is now of one that does not."""
    head = history.main[0].id
    stands = {
        name_of(path).casefold(): path for path in history.names(head) if is_test(path)
    }
    told = dict.fromkeys(
        id
        for id, path in stands.items()
        if not lasts(history, history.blob(head, path))
    )
    seen: set[str] = set()
    for commit in history.commits:
        for touch in commit.touches:
            id = name_of(touch.path).casefold() if is_test(touch.path) else ""
            if id not in told or id in seen:
                continue
            if lasts(history, touch.old) or lasts(history, touch.new):
                seen.add(id)
                yield fault_of(stands[id], commit.id, along)


def lasts(history: History, blob: str) -> bool:
    """Whether a state of a record is of a kind whose tests may not be removed."""
    kind = kind_named(kind_stated(history.blobs[blob])) if blob else None
    return kind is not None and kind.lasts


def fault_of(path: str, commit: str, along: str) -> Fault:
    """Return the fault of a test that stands as something else."""
    return Fault(
        name_of(path),
        None,
        path,
        commit,
        f"once stood on {along} as a test that stays, and is of another kind now",
        f"restore it: `git log --full-history -- {path}` lists its states; what else "
        "was tested gets a number of its own",
    )
