"""Rules across field tests and the papers that list them: nothing is left out."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from buildsite.kinds.field_control.same_place import lift_key
from buildsite.kinds.traces import OnFill, Trace
from buildsite.record.flags import Doubt, Known, Severity

COUNTED = "acceptance"
"""Purpose of the tests that count towards a lift."""

LEFT_OUT = Known(
    "test-left-out",
    Severity.ERROR,
    "common practice",
    "An acceptance of a lift does not list all its tests up to that day.",
)
NOT_REPORTED = Known(
    "test-missing-from-day",
    Severity.WARNING,
    "common practice",
    "No daily report of a day lists a field test made that day.",
)
TWICE = Known(
    "lift-accepted-twice",
    Severity.WARNING,
    "common practice",
    "A lift has two acceptances.",
)

Placed = tuple[Trace, OnFill]
"""The trace of a field test or a paper, with what it is compared by."""


def placed(traces: Sequence[Trace]) -> list[Placed]:
    """Return the field tests and papers, by id."""
    found = [(one, one.fill) for one in traces if one.fill is not None]
    return sorted(found, key=lambda one: one[0].id)


def tests_left_out(traces: Sequence[Trace]) -> Iterator[tuple[str, Doubt]]:
    """An acceptance of a lift does not list all its tests up to that day."""
    every = placed(traces)
    for paper, names in every:
        if not (names.is_paper and names.lift) or paper.on is None:
            continue
        here = (names.project, lift_key(names.zone, names.lift))
        left = [
            test.id
            for test, at in every
            if not at.is_paper
            and at.purpose == COUNTED
            and (at.project, lift_key(at.zone, at.lift)) == here
            and (test.on is None or test.on <= paper.on)
            and test.id not in names.lists
        ]
        if left:
            yield (
                paper.file,
                Doubt(
                    field=names.field,
                    found=f"without {', '.join(left)}",
                    expected=f"every acceptance test of {names.zone}, lift "
                    f"{names.lift}, made up to {paper.on}",
                    mend="list it: a failure is closed by a retest or a disposition, "
                    "not by leaving it out",
                ),
            )


def is_day(trace: Trace, fill: OnFill) -> bool:
    """Whether it is the report of a day that it states."""
    return fill.is_paper and not fill.lift and trace.on is not None


def tests_not_reported(traces: Sequence[Trace]) -> Iterator[tuple[str, Doubt]]:
    """No daily report of a day lists a field test made that day."""
    every = placed(traces)
    days = [one for one in every if is_day(*one)]
    days.sort(key=lambda one: (one[1].project, one[0].on, one[0].id))
    for (project, on), group in groupby(days, lambda one: (one[1].project, one[0].on)):
        papers = list(group)
        listed = {id for _, names in papers for id in names.lists}
        left = [
            test.id
            for test, at in every
            if not at.is_paper
            and (at.project, test.on) == (project, on)
            and test.id not in listed
        ]
        if left:
            paper, names = papers[0]
            yield (
                paper.file,
                Doubt(
                    field=names.field,
                    found=f"without {', '.join(left)}",
                    expected=f"every field test made on {on}",
                    mend="add it to the daily report of the inspector who saw it",
                ),
            )


def accepted_twice(traces: Sequence[Trace]) -> Iterator[tuple[str, Doubt]]:
    """A lift has two acceptances."""
    first: dict[tuple[str, tuple[str, str]], Trace] = {}
    for paper, names in placed(traces):
        if not (names.is_paper and names.lift):
            continue
        here = (names.project, lift_key(names.zone, names.lift))
        other = first.setdefault(here, paper)
        if other is not paper:
            yield (
                paper.file,
                Doubt(
                    field=("lift",),
                    found=f"{names.zone}, lift {names.lift}, as in {other.id}",
                    expected="one acceptance of each lift",
                    mend=f"amend {other.id}, or withdraw it",
                ),
            )


ACROSS = (
    (LEFT_OUT, tests_left_out),
    (NOT_REPORTED, tests_not_reported),
    (TWICE, accepted_twice),
)
