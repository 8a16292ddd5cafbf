"""Who did what in a test, when, and the authority required."""

from collections.abc import Iterator
from datetime import date

from buildsite.kinds.tests.shared.record import (
    RecordOfWork,
    acts_at_lines,
    lines_of,
    once,
    tested_on,
)
from buildsite.record.flags import Field
from buildsite.values import dataclass


@dataclass(frozen=True)
class Action:
    """
    One act of one person; any of its `authority` is enough, none is needed if empty.

    `on` is the day of the act; where the record does not state it, that of the review,
    else of the test.
    """

    field: Field
    code: str
    on: date | None
    authority: tuple[str, ...]
    words: str


TEST = ("test",)
JUDGE = ("review", "authorize")


@once
def actions(record: RecordOfWork) -> Iterator[Action]:
    """Return every act of a record, in the order of its fields."""
    tested = tested_on(record)
    settled = record.reviewed.on if record.reviewed and record.reviewed.on else tested
    yield from _bench_actions(record, tested)
    if record.reviewed is not None and record.reviewed.by is not None:
        where = ("reviewed", "by")
        yield Action(where, record.reviewed.by, settled, ("review",), "reviewed")
    yield from _judgements(record, settled)
    yield from _line_actions(record, tested, settled)


def _bench_actions(record: RecordOfWork, tested: date | None) -> Iterator[Action]:
    """Return the work at the bench, and the entry of its readings."""
    for name in record.work.acts:
        act = getattr(record, name, None)
        if act is not None and act.by is not None:
            yield Action((name, "by"), act.by, act.on or tested, TEST, name)
    for one in record.work.signed:
        code = getattr(record, one.name)
        if code is not None:
            yield Action((one.name,), code, tested, one.authority, one.words)
    for part in ("by", "checked_by"):
        code = getattr(record.entered, part, None)
        if code is not None:
            yield Action(("entered", part), code, tested, (), "entered readings")


def _line_actions(
    record: RecordOfWork, tested: date | None, settled: date | None
) -> Iterator[Action]:
    """Return the acts stated at single lines of readings."""
    work = record.work
    for name in work.acts:
        for i, act in acts_at_lines(record, name):
            if act.by is not None:
                field: Field = (work.lines, i, name, "by")
                yield Action(field, act.by, act.on or tested, TEST, name)
    for i, line in enumerate(lines_of(record)):
        rejected = getattr(line, "rejected", None)
        if rejected is not None:
            field = (work.lines, i, "rejected", "by")
            words = f"rejected a {work.line}"
            yield Action(field, rejected.by, settled, JUDGE, words)


def _judgements(record: RecordOfWork, settled: date | None) -> Iterator[Action]:
    """Return the acts of judgement on the whole test."""
    curve = getattr(record, "curve", None)
    if curve is not None and curve.by is not None:
        yield Action(("curve", "by"), curve.by, settled, JUDGE, "drew the peak")
    for i, deviation in enumerate(record.deviations):
        if deviation.authorized_by is not None:
            field = ("deviations", i, "authorized_by")
            code = deviation.authorized_by
            yield Action(field, code, settled, ("authorize",), "authorized a departure")
    for i, accepted in enumerate(record.accepted):
        yield Action(
            ("accepted", i, "by"), accepted.by, settled, JUDGE, "accepted a flag"
        )
    if record.withdrawn is not None and record.withdrawn.by is not None:
        day = record.withdrawn.on or settled
        where = ("withdrawn", "by")
        yield Action(where, record.withdrawn.by, day, JUDGE, "withdrew the test")
