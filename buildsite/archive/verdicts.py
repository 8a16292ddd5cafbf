"""What became of the verdict of one test between two states of it."""

from collections.abc import Mapping
from typing import Any

from buildsite.exports.result_json import as_json
from buildsite.kinds.follows import Follow
from buildsite.kinds.outcome import Outcome
from buildsite.record.issued import kept_result

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
    return kept_result(as_json(about))


def follow_of(old: Outcome | None, new: Outcome | None) -> Follow | None:
    """Return what became of a verdict; None if the kind gives none, or no result."""
    if old is None or new is None or old.kind.follows is None:
        return None
    if old.kind.name != new.kind.name:
        return None
    return old.kind.follows(result_to_follow(old), result_to_follow(new))
