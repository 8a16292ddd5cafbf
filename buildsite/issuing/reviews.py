"""What moved since a test was reviewed: the review was of other values then."""

from collections.abc import Iterator
from functools import partial

from buildsite.history.walk import History
from buildsite.kinds.outcome import Outcome
from buildsite.pages.identity import name_of
from buildsite.pages.past import Lookback
from buildsite.record.edits import Commit
from buildsite.record.source import read_source
from buildsite.states import at


def since_review(past: History, outcome: Outcome) -> Iterator[str]:
    """
    Say that a value used moved since the review, in whichever record it stands.

    Parameters
    ----------
    past
        The repository's past.
    outcome
        What is about to be issued, of records as committed.
    """
    file = outcome.file
    made = review_commit(past, file)
    if made is None:
        return
    look = Lookback(past, partial(at, past))
    then = look.state(made.id, file, look.rests_on(file)).outcome
    if then is None or then.used == outcome.used:
        return
    names = {
        name_of(path.partition("#")[0])
        for path in {*then.inputs, *outcome.inputs}
        if then.inputs.get(path) != outcome.inputs.get(path)
    }
    changed = ", ".join(sorted(names))
    yield (
        f"what was reviewed on {outcome.case.record.reviewed.on} was changed since "
        f"({changed}): have it reviewed again, "
        f"`buildsite review {outcome.id} --by CODE`"
    )


def review_commit(past: History, file: str) -> Commit | None:
    """Find the commit that wrote the review that stands; None where none does."""
    for commit in past.commits:
        if not any(touch.path == file for touch in commit.touches):
            continue
        sides = (commit.parents[0] if commit.parents else "", commit.id)
        before, now = (
            read_source(file, past.read(side, file) or b"").tree.get("reviewed")
            if side
            else None
            for side in sides
        )
        if now != before:
            return commit if now else None
    return None
