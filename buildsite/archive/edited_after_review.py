"""Tests whose record was edited after its review, or that changed otherwise since."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.differences import record_changes
from buildsite.archive.entries import Shared
from buildsite.archive.field_names import spoken
from buildsite.archive.identity import name_of
from buildsite.archive.record_history import RecordHistory
from buildsite.kinds.across import EDITED
from buildsite.kinds.outcome import Outcome, flag_of
from buildsite.record.commits import Commit, Past
from buildsite.record.flags import Doubt, Flag, field_path
from buildsite.values import dataclass

AFTER = ("accepted", "format", "reviewed", "status", "withdrawn")
"""Fields entered with a review or after it: not part of what is reviewed."""

NAMED = 3
"""Number of changed fields that a flag names."""

Tree = Mapping[str, Any]
Touched = Mapping[str, Sequence[int]]


def flags_of_edited(
    archive: Archive, files: Sequence[str], past: Past, touched: Touched
) -> dict[str, tuple[Flag, ...]]:
    """
    Return the flags of tests edited after the review that they state.

    A record unchanged since the only commit that touched it is not read again. An edit
    of a record that a test uses is reported when the test is issued. `touched` is the
    result of `places_touching`.
    """
    found: dict[str, tuple[Flag, ...]] = {}
    for file in files:
        source, places = archive.entry(file).source, touched.get(file, ())
        if not source.tree.get("reviewed") or not places:
            continue
        newest = past.commits[places[0]].id
        if len(places) == 1 and past.read(newest, file) == source.data:
            continue
        trees = Trees(past, archive.shared, file)
        then = review_commit(trees, places, source.tree["reviewed"])
        if then is None:
            continue
        doubt = edited_doubt(trees.at(then.id), source.tree)
        if doubt is not None:
            found[file] = (flag_of(EDITED, doubt, source),)
    return found


def since_review(
    archive: Archive, look: RecordHistory | None
) -> Callable[[Outcome], str]:
    """Return what tells of a test what changed since its review, by the history."""
    return lambda made: changed_since_review(archive, look, made) if look else ""


def changed_since_review(archive: Archive, look: RecordHistory, made: Outcome) -> str:
    """Return what changed since the review that a test states; blank for nothing."""
    file = made.file
    look.remember(archive, file)
    edited = flags_of_edited(archive, [file], look.past, look.touching)
    if file in edited:
        return edited[file][0].found
    names = records_changed(look, made)
    review = made.case.record.reviewed
    return (
        f"changed since the review by {review.by} on {review.on}: {', '.join(names)}"
        if names
        else ""
    )


def records_changed(look: RecordHistory, made: Outcome) -> list[str]:
    """Return the records whose values changed in a test since its review."""
    file = made.file
    review = made.source.tree.get("reviewed")
    trees = Trees(look.past, look.shared, file)
    commit = review_commit(trees, look.touching.get(file, ()), review)
    if not review or commit is None:
        return []
    then = look.state(commit.id, file, look.paths_relied_on(file)).outcome
    if then is None or then.used == made.used:
        return []
    names = {
        name_of(path.partition("#")[0]).removesuffix(".issued")
        for path in {*then.inputs, *made.inputs}
        if then.inputs.get(path) != made.inputs.get(path)
    }
    return sorted(names)


@dataclass(frozen=True)
class Trees:
    """The text of a record at each commit, each read once."""

    past: Past
    shared: Shared
    file: str

    def at(self, commit: str) -> Tree:
        """Return a record as it was at a commit."""
        return self.shared.tree(self.file, self.past.read(commit, self.file) or b"")


def review_commit(trees: Trees, places: Sequence[int], review: Any) -> Commit | None:
    """Return the commit that added a review to a record; None if no commit has it."""
    found: Commit | None = None
    for place in places:
        commit = trees.past.commits[place]
        if trees.at(commit.id).get("reviewed") != review:
            break
        found = commit
    return found


def edited_doubt(then: Tree, now: Tree) -> Doubt | None:
    """Return the doubt about a record that is not as reviewed."""
    moved = [
        spoken(field_path(change.field)) for change in record_changes(then, now, AFTER)
    ]
    if not moved:
        return None
    more = f" and {len(moved) - NAMED} more" if len(moved) > NAMED else ""
    review = now["reviewed"]
    by = f" by {review['by']}" if isinstance(review, dict) and review.get("by") else ""
    on = review.get("on", "") if isinstance(review, dict) else ""
    return Doubt(
        ("reviewed",),
        f"edited since the review{by} on {on}: {'; '.join(moved[:NAMED])}{more}",
        "the record as reviewed",
        f"have it reviewed again: `buildsite review {now.get('id', 'TEST')} --by CODE`",
    )
