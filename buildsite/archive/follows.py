"""
What an amendment does to the verdicts of tests that rest on it.

A test takes its reference from the last report. So the tests are computed twice, of the
same records: with one state of the reference as its last report, and with the other;
tests in between (a point that leads to a curve) as if each were issued again.
"""

from collections.abc import Iterable, Iterator, Sequence

from buildsite.archive.archive import Archive
from buildsite.archive.compared_states import ComparedState
from buildsite.archive.dependents import dependents, in_order
from buildsite.archive.references import last_report, tests_relied_on
from buildsite.archive.verdicts import Result, follow_of, result_to_follow
from buildsite.kinds.follows import Follow, flips_first
from buildsite.kinds.outcome import Outcome
from buildsite.values import dataclass


@dataclass(frozen=True)
class Resting:
    """Tests with a verdict that rest on others, and issued tests between, in order."""

    judged: tuple[str, ...]
    between: tuple[str, ...]


def resting_on(archive: Archive, files: Iterable[str]) -> Resting:
    """
    Return which tests with a verdict rest on some, directly or through others.

    A verdict does not rest on another one: the test of a place that is tested again.
    """
    changed = {file for file in files if not gives_verdict(archive, file)}
    if not changed:
        return Resting((), ())
    found = [file for file in dependents(archive, changed) if file not in changed]
    judged = [file for file in found if gives_verdict(archive, file)]
    used = relied_on(archive, judged) - set(judged)
    between = [file for file in found if file in used and stands_issued(archive, file)]
    return Resting(tuple(judged), tuple(in_order(archive, between)))


def gives_verdict(archive: Archive, file: str) -> bool:
    """Whether a test is of a kind that gives a verdict."""
    kind = archive.entry(file).kind
    return kind is not None and kind.follows is not None


def stands_issued(archive: Archive, file: str) -> bool:
    """Whether a test was issued and not withdrawn."""
    last = last_report(archive, file)
    return last is not None and last.item.kind != "withdrawal"


def relied_on(archive: Archive, files: Iterable[str]) -> set[str]:
    """Return the tests that some take values from, directly or through others."""
    waiting, seen = [*files], set[str]()
    while waiting:
        refs = archive.entry(waiting.pop()).refs
        nearer = {other for _, _, other in tests_relied_on(archive, refs)} - seen
        seen |= nearer
        waiting += [other for other in nearer if other in archive.known_names]
    return seen


def as_if_issued(archive: Archive, between: Sequence[str]) -> Archive:
    """Return an archive as if these, in order, had been issued again."""
    for file in between:
        made = archive.computed(file)
        if made is not None:
            archive = archive.as_if(planned={file: planned_result(archive, made)})
    return archive


def planned_result(archive: Archive, made: Outcome) -> Result:
    """Return the result that the next issue of a test would keep."""
    issued, _ = archive.chain(made.file)
    number = len(issued.items) if issued is not None else 0
    return {**result_to_follow(made), "revision": number}


def follows(old: Archive, new: Archive, files: Iterable[str]) -> tuple[Follow, ...]:
    """
    Return every verdict that rests on some tests, by two archives; flips first.

    A test that stands in one of them alone has no verdict to compare.
    """
    files = [*files]
    found = resting_on(new, files)
    before, after = (as_if_issued(one, found.between) for one in (old, new))
    return flips_first(compared(before, after, found.judged))


def compared(old: Archive, new: Archive, judged: Iterable[str]) -> Iterator[Follow]:
    """Yield the verdicts of tests in two archives."""
    for file in judged:
        if file in old.known_names and new.claims(file):
            one = follow_of(old.computed(file), new.computed(file))
            if one is not None:
                yield one


def follows_of_states(
    archive: Archive, file: str, old: ComparedState, new: ComparedState
) -> tuple[Follow, ...]:
    """
    Return every verdict that rests on a test, between two states of it.

    All other records are those of `archive`.
    """
    pair = [archive_with(archive, file, state) for state in (old, new)]
    if pair[0] is None or pair[1] is None:
        return ()
    return follows(pair[0], pair[1], [file])


def archive_with(archive: Archive, file: str, state: ComparedState) -> Archive | None:
    """Return an archive in which others take a state of a test; None if it is lost."""
    if state.item is not None:
        return archive.as_if(pins={file: state.item.revision})
    if state.outcome is None:
        return None
    return archive.as_if(planned={file: planned_result(archive, state.outcome)})


def follows_of_revisions(
    archive: Archive, file: str, before: int, after: int
) -> tuple[Follow, ...]:
    """Return every verdict that rests on a test, between two issued revisions of it."""
    old, new = (archive.as_if(pins={file: number}) for number in (before, after))
    return follows(old, new, [file])
