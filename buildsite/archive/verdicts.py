"""What became of the verdict of one test between two states of it."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from buildsite.kinds.follows import FAIL, NONE, Follow
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.used import plain
from buildsite.record.kept_shape import shaped

GONE = "the record is removed, unreadable or of another kind"

Result = Mapping[str, Any]
"""A result as kept."""


def result_to_follow(made: Outcome) -> Result:
    """Return what a result as kept would say of an outcome, without its flags."""
    about = {
        "id": made.id,
        "kind": made.kind.name,
        "status": made.status,
        "results": made.results,
        **made.detail(),
    }
    return shaped(plain(about))


def follow_of(old: Outcome | None, new: Outcome | None) -> Follow | None:
    """Return what became of a verdict; None if the kind gives none, or no result."""
    if old is None or new is None or old.kind.follows is None:
        return None
    if old.kind.name != new.kind.name:
        return None
    return old.kind.follows(result_to_follow(old), result_to_follow(new))


def follow_of_edit(old: Outcome | None, new: Outcome | None) -> Follow | None:
    """
    Return what became of a verdict by an edit; a failure may have gone with its record.

    Removed, unreadable or of another kind for a while, it could come back as a pass.
    """
    if old is None or old.kind.follows is None:
        return None
    if new is not None and new.kind.name == old.kind.name:
        return follow_of(old, new)
    told = result_to_follow(old)
    last = old.kind.follows(told, told)
    if last is None:
        return None
    return replace(
        last,
        new_percent="",
        new_verdict=NONE,
        uncounted=GONE if last.old_verdict == FAIL else "",
    )
