"""What the page of an issued verdict says once its reference was amended."""

from collections.abc import Iterable, Iterator

from buildsite.archive.archive import Archive
from buildsite.archive.dependents import dependents
from buildsite.archive.field_tests import told_by
from buildsite.archive.follows import gives_verdict
from buildsite.archive.identity import name_of
from buildsite.archive.issued_files import IssuedState
from buildsite.archive.judged_again import (
    amended_between,
    follow_of_reports,
    judged_by_both,
    reports_of,
    to_judge_again,
)
from buildsite.archive.references import last_report, result_of
from buildsite.archive.verdicts import Result, result_to_follow
from buildsite.kinds.field_control.results import FieldTest
from buildsite.kinds.follows import FAIL, Follow, flips_first
from buildsite.record.issued import Item, pins_of
from buildsite.record.messages import counted


def to_judge_again_sentences(archive: Archive, file: str) -> Iterator[str]:
    """Return that a verdict is by an earlier report of its reference, for everybody."""
    if file not in archive.known_names:
        return
    if not gives_verdict(archive, file):
        yield from waiting_tests_sentences(archive, file)
        return
    again = to_judge_again(archive, file)
    if again is not None:
        yield f"The reference was amended: {again.why}."
        yield "This verdict is by the earlier report. It was not judged again yet."


def waiting_tests_sentences(archive: Archive, file: str) -> Iterator[str]:
    """Return which tests of a paper of the fill are to be judged again, if any are."""
    last = last_report(archive, file)
    if last is None or last.item.kind == "withdrawal":
        return
    waiting = [
        name_of(test)
        for test in sorted(pins_of(last.item.inputs))
        if test in archive.known_names
        and gives_verdict(archive, test)
        and to_judge_again(archive, test) is not None
    ]
    if waiting:
        verb = "is" if len(waiting) == 1 else "are"
        named = ", ".join(waiting)
        yield f"{named} {verb} to be judged again: the reference was amended."


def verdict_now_sentences(state: IssuedState) -> Iterator[str]:
    """Return what became of an issued verdict by the records now, if it changed."""
    made = state.now
    if made is None or made.kind.follows is None or not state.result:
        return
    follow = made.kind.follows(state.result, result_to_follow(made))
    if follow is not None and follow.flipped:
        yield f"Verdict: {follow.verdicts} by the records now."


def amended_verdict_sentences(
    archive: Archive, file: str, before: Item, after: Item
) -> Iterator[str]:
    """
    Return what an amended report changed besides its results, told by what was issued.

    Its verdict, the reports that it rests on, and the verdicts that it lists.
    """
    own = follow_of_reports(archive, file, before, after)
    if own is not None:
        same = "" if own.flipped else ", as before"
        yield f"Verdict: {own.verdicts}{same}."
    old, new = pins_of(before.inputs), pins_of(after.inputs)
    amended = amended_between(old, new)
    if amended:
        yield f"Rests on {'; '.join(one.words for one in amended)}."
    listed = [
        follow
        for other in sorted(old.keys() & new.keys())
        if old[other] != new[other] and other in archive.known_names
        for follow in follow_between(archive, other, old[other], new[other])
    ]
    if listed:
        yield flips_in_words(listed)


def follow_between(
    archive: Archive, file: str, before: int, after: int
) -> Iterator[Follow]:
    """Yield what became of the verdict of a test between two revisions, if any."""
    found = {item.revision: item for item in reports_of(archive, file)}
    if before in found and after in found:
        follow = follow_of_reports(archive, file, found[before], found[after])
        if follow is not None:
            yield follow


def resting_sentences(
    archive: Archive,
    file: str,
    numbers: tuple[int, int],
    released: frozenset[str] | None,
) -> Iterator[str]:
    """Return what an amended reference did to the issued verdicts that rest on it."""
    both = [
        one
        for one in judged_by_both(archive, file, *numbers)
        if released is None or one.id in released
    ]
    again = [one.follow for one in both if one.after is not None and one.follow]
    if again:
        tests = counted(len(again), "issued field test")
        yield f"{tests} judged again by r{numbers[1]}. {flips_in_words(again)}"
    if waiting := len([one for one in both if one.after is None]):
        tests = counted(waiting, "issued field test")
        yield f"{tests} by r{numbers[0]} not judged again yet."


def retest_sentences(
    archive: Archive, file: str, result: Result, released: frozenset[str] | None
) -> Iterator[str]:
    """Return the issued retests of an issued failure, each with its verdict."""
    failed = told_by(result, file)
    if not isinstance(failed, FieldTest) or failed.verdict != FAIL:
        return
    for other in dependents(archive, [file]):
        last = last_report(archive, other)
        if last is None or last.item.kind == "withdrawal":
            continue
        told = told_by(result_of(archive, other, last.item), other)
        shown = released is None or name_of(other) in released
        if shown and isinstance(told, FieldTest) and told.retest_of == failed.id:
            number = f"{told.id} r{last.item.revision}"
            yield f"Retest: {number}, tested {told.tested_on}: {told.verdict}."


def flips_in_words(follows: Iterable[Follow]) -> str:
    """
    Return which verdicts changed.

    >>> flips_in_words([Follow("A", "", "95.2 %", "94.4 %", "pass", "fail")])
    'Verdicts changed: A pass → fail.'
    >>> flips_in_words([Follow("A", "", "95.2 %", "95.1 %", "pass", "pass")])
    'No verdict changed.'
    """
    turned = [f"{f.id} {f.verdicts}" for f in flips_first(follows) if f.flipped]
    return (
        f"Verdicts changed: {'; '.join(turned)}." if turned else "No verdict changed."
    )
