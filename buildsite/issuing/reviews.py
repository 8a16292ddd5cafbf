"""What moved since a test was reviewed: the review was of other values then."""

from collections.abc import Iterator
from functools import partial

from buildsite.archive.edited_after_review import review_commit
from buildsite.archive.identity import name_of
from buildsite.archive.record_history import RecordHistory
from buildsite.archive.records import Shared
from buildsite.archive.states import archive_at
from buildsite.history.walk import History
from buildsite.kinds.outcome import Outcome
from buildsite.record.edits import places_touching


def since_review(past: History, outcome: Outcome, shared: Shared) -> Iterator[str]:
    """
    Say that a value used moved since the review, in whichever record it stands.

    Parameters
    ----------
    past
        The repository's past.
    outcome
        What is about to be issued, of records as committed.
    shared
        What was read and computed already.
    """
    file = outcome.file
    review = outcome.source.tree.get("reviewed")
    places = places_touching(past).get(file, ())
    made = review_commit(past, file, places, review) if review else None
    if made is None:
        return
    look = RecordHistory(past, partial(archive_at, past), shared=shared)
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
