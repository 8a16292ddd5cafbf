"""The checks of a daily report: its tests are of that day, and failures were told."""

from collections.abc import Iterator

from buildsite.kinds.tests.daily_report.model import DayCase
from buildsite.kinds.tests.shared.completeness import gap_severity
from buildsite.kinds.tests.shared.papers.rules import COMMON
from buildsite.record.flags import Doubt, Rule, Severity, error, warning

BASIS = "common practice: the inspector signs for the day"


@error("inspector-missing", BASIS)
def inspector_missing(case: DayCase) -> Iterator[Doubt]:
    """Nobody signs a daily report."""
    if case.record.inspector is None:
        yield Doubt(
            field=("inspector",),
            found="not stated",
            expected="the staff code of the inspector who signs",
            mend="enter it",
            severity=gap_severity(case),
        )


@error("empty-daily-report", BASIS)
def empty(case: DayCase) -> Iterator[Doubt]:
    """A daily report has no work, no test, and does not say why none was made."""
    record = case.record
    if not (record.tests or record.works or record.not_tested):
        yield Doubt(
            field=("tests",),
            found="no work and no test",
            expected="what was done or tested that day, or why nothing was",
            mend="list the tests, or state under not_tested why there is none",
            severity=gap_severity(case),
        )


@error("test-of-another-day", BASIS)
def of_another_day(case: DayCase) -> Iterator[Doubt]:
    """A daily report lists a test of another day."""
    for one in case.values.listed:
        tested = one.facts.tested_on
        if tested != case.record.on:
            yield Doubt(
                field=("tests", one.index),
                found=f"{one.id}, tested on {tested or 'a day not stated'}",
                expected=f"a test of {case.record.on}",
                mend="check the number; the test belongs to the report of its own day",
            )


@warning("failure-not-told", BASIS)
def not_told(case: DayCase) -> Iterator[Doubt]:
    """A test failed, and the report does not say who was told, and when."""
    told = {one.test: one for one in case.record.told}
    for one in case.values.failing:
        said = told.get(one.id)
        missing = [
            words
            for part, words in (("who", "who was told"), ("at", "when"))
            if said is None or getattr(said, part) is None
        ]
        if missing:
            yield Doubt(
                field=("tests", one.index),
                found=f"{one.id} fails; not stated: {' and '.join(missing)}",
                expected="who was told of the failure, and when",
                mend="tell the contractor at once, and enter it under told",
                severity=None if case.record.status == "complete" else Severity.NOTE,
            )


@warning("told-of-no-failure", BASIS)
def told_of_none(case: DayCase) -> Iterator[Doubt]:
    """Somebody was told of a failure that the report does not list."""
    failing = {one.id for one in case.values.failing}
    known = {one.id for one in case.values.listed}
    for i, one in enumerate(case.record.told):
        if one.test is None or one.test in failing:
            continue
        if one.test in case.record.tests and one.test not in known:
            continue  # it gives no answer, which is flagged
        yield Doubt(
            field=("told", i, "test"),
            found=f"{one.test}, which {failure_words(one.test in known)}",
            expected="a failing test of this report",
            mend="correct the number; a verdict may have changed since",
        )


def failure_words(listed: bool) -> str:
    """Return why a test is no failing one of the report."""
    return "does not fail" if listed else "is not listed"


@error("told-before-test", BASIS)
def told_before(case: DayCase) -> Iterator[Doubt]:
    """Somebody was told of a failure before the day of the test."""
    for i, one in enumerate(case.record.told):
        if one.at is not None and one.at.date() < case.record.on:
            yield Doubt(
                field=("told", i, "at"),
                found=f"{one.at:%Y-%m-%d %H:%M}",
                expected=f"on or after {case.record.on}",
                mend="correct the day",
            )


RULES: tuple[Rule[DayCase], ...] = (
    *COMMON,
    inspector_missing,
    empty,
    of_another_day,
    not_told,
    told_of_none,
    told_before,
)
