"""Calibrations of equipment: in force, due, found wrong."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from typing import Annotated, Any, Literal, Protocol, TypeVar

from pydantic import Field

from buildsite.kinds.blank import Ask, Blank, Measured
from buildsite.kinds.kind import (
    Case,
    Inputs,
    Kind,
    Ref,
    Result,
    late,
    no_values,
)
from buildsite.kinds.sheet import Cell, Column, Row, Sheet
from buildsite.record.flags import Doubt, Flag, Rule, Severity
from buildsite.record.reading import Code, Count, Day, Model, Text
from buildsite.standards.method import Method
from buildsite.standards.tables import limit
from buildsite.values import dataclass

R = TypeVar("R", bound=Model)
V = TypeVar("V")


class Judged(Model, defer_build=False):
    """Who assessed the tests that used it, and the outcome."""

    by: Code
    reason: Text


class Calibration(Model):
    """Date, person, state and due date of a calibration; each kind adds findings."""

    on: Day
    by: Code | None = None
    next_due: Day | None = None
    other_specimens: Annotated[
        Count | None,
        Field(description="Specimens made since then, other than in tests on file."),
    ] = None
    state: Literal["as found", "as left"] | None = None
    certificate: Text | None = None
    wrong_since: Annotated[
        Day | None,
        Field(description="What was found is true since this day, not since `on`."),
    ] = None
    found_wrong: Annotated[
        Text | None,
        Field(description="Why this calibration is not valid."),
    ] = None
    tests_judged: Annotated[
        Judged | None,
        Field(description="Settles the flag calibration-found-wrong."),
    ] = None


class OutOfUse(Model, defer_build=False):
    """Since when equipment is out of service, and why."""

    on: Day
    reason: Text | None = None


class Calibrated(Protocol):
    """A calibration of any equipment."""

    @property
    def on(self) -> date: ...

    @property
    def wrong_since(self) -> date | None: ...


def true_since(one: Calibrated) -> date:
    """Return the first day of what a calibration found: its own, or that stated."""
    return one.on if one.wrong_since is None else min(one.on, one.wrong_since)


def in_force(calibrations: Sequence[Calibrated], on: date | None) -> int | None:
    """
    Return the index of the calibration in force on a day: the last one made by then.

    Of two on one day, as found and as left, the one written last counts. What was found
    wrong since an earlier day is in force from that day, whatever was on file then.
    """
    made = [
        (one.on, i)
        for i, one in enumerate(calibrations)
        if on is None or true_since(one) <= on
    ]
    return max(made)[1] if made else None


def found_later(one: Any, on: date | None) -> date | None:
    """Return since when what was found counts, where that was after the test."""
    later = one is not None and on is not None and one.on > on
    since: date | None = one.wrong_since if later else None
    return since


@dataclass(frozen=True)
class Nonconformity:
    """
    A fault that a calibration found in the equipment, and the limit exceeded.

    `lasts`: whether it continues until corrected, as for an oven that is too hot; after
    a new mold volume or rammer drop, later tests are checked by the new value.
    """

    words: str
    required: str
    lasts: bool = False


Wrong = Callable[[Case[Any, Any], int, Any], Iterator[Nonconformity]]
"""Faults by a calibration's index and the method whose limits count (None: any)."""


@dataclass(frozen=True)
class Due:
    """The next calibration of equipment. `on`: None where it was never calibrated."""

    on: date | None
    last: date | None
    why: str  # the source: the calibration record, or the interval


def months_later(day: date, months: int) -> date:
    """
    Return the same day of a later month, or that month's last.

    >>> months_later(date(2026, 1, 31), 13).isoformat()
    '2027-02-28'
    """
    from calendar import monthrange  # not needed by `check`

    years, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + years, month + 1
    if year > date.max.year:
        return date.max
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def due(record: Any) -> Due | None:
    """Return when equipment is due; None if it is out of service."""
    if record.out_of_use is not None:
        return None
    index = in_force(record.calibrations, None)
    if index is None:
        return Due(None, None, "no calibration on file")
    one = record.calibrations[index]
    if one.next_due is not None:
        return Due(one.next_due, one.on, "calibration record")
    interval = limit("calibration_interval")
    later = months_later(one.on, int(interval.si))
    return Due(later, one.on, f"{interval} after calibration: {interval.basis}")


def usual_due(record: Any, on: date) -> date:
    """Return when equipment falls due after a calibration: the interval it had."""
    last = in_force(record.calibrations, None)
    one = record.calibrations[last] if last is not None else None
    if one is None or one.next_due is None:
        return months_later(on, int(limit("calibration_interval").si))
    days = (one.next_due - one.on).days
    return months_later(on, max(1, round(days / DAYS_A_MONTH)))


DAYS_A_MONTH = 30.4369


def out_of_use(record: Any) -> str | None:
    """Return since when equipment is out of service, and why; None if in service."""
    gone = record.out_of_use
    if gone is None:
        return None
    return f"since {gone.on}" + (f": {gone.reason}" if gone.reason else "")


def state_of(one: Calibration) -> str:
    """Return the state of a calibration, and whether it is not valid."""
    since = f"; wrong since {one.wrong_since}" if one.wrong_since else ""
    wrong = f"; not valid: {one.found_wrong}" if one.found_wrong else ""
    return (one.state or "—") + since + wrong


def calibration_rows(
    calibrations: Sequence[Any],
    heads: tuple[Column, ...],
    found: Sequence[tuple[Cell, ...]],
) -> tuple[tuple[Column, ...], tuple[Row, ...]]:
    """Return columns and rows of calibrations, with each kind's findings."""
    before = ("Calibrated", "By", "State", "Next due")
    rows = tuple(
        Row(
            (
                Cell(one.on.isoformat()),
                Cell(one.by or "—"),
                Cell(state_of(one)),
                Cell(one.next_due.isoformat() if one.next_due else "—"),
                *cells,
                Cell(one.certificate or "—"),
            )
        )
        for one, cells in zip(calibrations, found, strict=True)
    )
    columns = (*map(Column, before), *heads, Column("Certificate"))
    return columns, rows


def unsettled(calibrations: Sequence[Any]) -> Iterator[tuple[int, Any]]:
    """Return the calibrations whose tests are not yet assessed, with their index."""
    for i, one in enumerate(calibrations):
        if one.tests_judged is None:
            yield i, one


def due_before_calibrated(case: Case[Any, Any]) -> Iterator[Doubt]:
    """The next due date of a calibration is not after its date."""
    for i, one in enumerate(case.record.calibrations):
        if one.next_due is not None and one.next_due <= one.on:
            yield Doubt(
                field=("calibrations", i, "next_due"),
                found=one.next_due.isoformat(),
                expected=f"a date after {one.on}",
                mend="check for interchanged dates",
            )


DUE_BEFORE_CALIBRATED: Rule[Case[Any, Any]] = Rule(
    "due-before-calibrated", Severity.ERROR, "common practice", due_before_calibrated
)


def wrong_since_after(case: Case[Any, Any]) -> Iterator[Doubt]:
    """What a calibration found is said to be wrong only since a later day."""
    for i, one in enumerate(case.record.calibrations):
        if one.wrong_since is not None and one.wrong_since > one.on:
            yield Doubt(
                field=("calibrations", i, "wrong_since"),
                found=one.wrong_since.isoformat(),
                expected=f"a day not after the calibration, {one.on}",
                mend="correct the date, or delete it if the day is not known",
            )


WRONG_SINCE_AFTER: Rule[Case[Any, Any]] = Rule(
    "wrong-since-after-calibration",
    Severity.ERROR,
    "common practice",
    wrong_since_after,
)

ON = Ask("on", "Calibrated on (YYYY-MM-DD)")
NEXT_DUE = Ask("next_due", "Next due on (YYYY-MM-DD)")
CERTIFICATE = Ask("certificate", "Certificate")


def equipment_kind(
    name: str,
    model: type[R],
    blank: Blank,
    *,
    title: str = "",
    answers: Callable[[Case[R, V], Ref], object | None],
    sheet: Callable[[Case[R, V], tuple[Flag, ...]], Sheet],
    compute: Callable[[R, Inputs, Method | None], V] = no_values,
    rules: tuple[Rule[Case[Any, Any]], ...] = (),
    wrong: Wrong | None = None,
    measured: tuple[Measured, ...] = (),
    results: Callable[[Case[R, V]], Mapping[str, Result]] = lambda case: {},
    detail: Callable[[Case[R, V]], Mapping[str, Any]] = lambda case: {},
) -> Kind[R, V]:
    """Return a kind of equipment; it asks nothing of other records."""
    return Kind(
        name=name,
        title=title or name.capitalize(),
        group="equipment",
        model=model,
        answers=answers,
        compute=compute,
        results=results,
        detail=detail,
        sheet=sheet,
        blank=blank,
        rules=(DUE_BEFORE_CALIBRATED, WRONG_SINCE_AFTER, *rules),
        wrong=wrong,
        particulars=late("buildsite.kinds.particulars.equipment", "particulars"),
        measured=measured,
    )
