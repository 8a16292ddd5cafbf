"""What all calibrated equipment shares: its calibrations, which holds, what is due."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from typing import Annotated, Any, Literal, Protocol, TypeVar

from pydantic import Field

from buildsite.kinds.blank import Ask, Blank
from buildsite.kinds.kind import (
    Case,
    Inputs,
    Kind,
    Ref,
    Result,
    computes_nothing,
    no_detail,
    no_results,
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
    """Who looked at the tests that had relied on it, and what came of it."""

    by: Code
    reason: Text


class Calibration(Model):
    """When, by whom, in which state, and until when. What was found is each kind's."""

    on: Day
    by: Code | None = None
    next_due: Day | None = None
    other_specimens: Annotated[
        Count | None,
        Field(description="Specimens made since then that no test on file holds."),
    ] = None
    state: Literal["as found", "as left"] | None = None
    certificate: Text | None = None
    found_wrong: Annotated[
        Text | None,
        Field(description="Why this calibration turned out not to be relied on."),
    ] = None
    tests_judged: Annotated[
        Judged | None,
        Field(description="Settles the flag calibration-found-wrong."),
    ] = None


class OutOfUse(Model, defer_build=False):
    """Since when a piece of equipment is not to be used, and why."""

    on: Day
    reason: Text | None = None


class Calibrated(Protocol):
    """A calibration, of whatever."""

    @property
    def on(self) -> date: ...


def in_force(calibrations: Sequence[Calibrated], on: date | None) -> int | None:
    """
    Index of the calibration in force on a day: the last one made by then.

    Of two on one day, as found and as left, the one written last counts.
    """
    made = [
        (one.on, i) for i, one in enumerate(calibrations) if on is None or one.on <= on
    ]
    return max(made)[1] if made else None


@dataclass(frozen=True)
class Amiss:
    """
    What a calibration found wrong with the equipment, and the limit it broke.

    `lasts`: whether it goes on until it is put right, as an oven that is too hot does;
    tests after it are judged by a mold's new volume or a rammer's drop on their own.
    """

    words: str
    asked: str
    lasts: bool = False


Wrong = Callable[[Case[Any, Any], int, Any], Iterator[Amiss]]
"""Calibration by its index, and the method whose limits count (None: whichever)."""


@dataclass(frozen=True)
class Due:
    """When equipment is to be calibrated again. `on`: None where it never was."""

    on: date | None
    last: date | None
    why: str  # what it rests on: its calibration, or which interval counts


def months_later(day: date, months: int) -> date:
    """
    The same day of a later month, or that month's last.

    >>> months_later(date(2026, 1, 31), 13).isoformat()
    '2027-02-28'
    """
    from calendar import monthrange  # which a `check` need not import

    years, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + years, month + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def due(record: Any) -> Due | None:
    """When equipment falls due; None for what is out of use."""
    if record.out_of_use is not None:
        return None
    index = in_force(record.calibrations, None)
    if index is None:
        return Due(None, None, "no calibration on file")
    one = record.calibrations[index]
    if one.next_due is not None:
        return Due(one.next_due, one.on, "its calibration")
    interval = limit("calibration_interval")
    later = months_later(one.on, int(interval.si))
    return Due(later, one.on, f"{interval} after it: {interval.basis}")


def out_of_use(record: Any) -> str | None:
    """Since when equipment is out of use, and why; None while it is in use."""
    gone = record.out_of_use
    if gone is None:
        return None
    return f"since {gone.on}" + (f": {gone.reason}" if gone.reason else "")


def state_of(one: Calibration) -> str:
    """The state in which it was calibrated, and whether that is to be relied on."""
    wrong = f"; not to be relied on: {one.found_wrong}" if one.found_wrong else ""
    return (one.state or "—") + wrong


def calibration_rows(
    calibrations: Sequence[Any],
    heads: tuple[Column, ...],
    found: Sequence[tuple[Cell, ...]],
) -> tuple[tuple[Column, ...], tuple[Row, ...]]:
    """Return columns and rows of calibrations: what each kind found, among the rest."""
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
    """Calibrations with their index whose tests nobody has judged yet."""
    for i, one in enumerate(calibrations):
        if one.tests_judged is None:
            yield i, one


def due_before_calibrated(case: Case[Any, Any]) -> Iterator[Doubt]:
    """A calibration that is due again before it was made."""
    for i, one in enumerate(case.record.calibrations):
        if one.next_due is not None and one.next_due <= one.on:
            yield Doubt(
                field=("calibrations", i, "next_due"),
                found=one.next_due.isoformat(),
                expected=f"a day after {one.on}",
                mend="look for the two dates in each other's place",
            )


DUE_BEFORE_CALIBRATED: Rule[Case[Any, Any]] = Rule(
    "due-before-calibrated", Severity.ERROR, "common practice", due_before_calibrated
)

ON = Ask("on", "Calibrated on (YYYY-MM-DD)")
NEXT_DUE = Ask("next_due", "Due again on (YYYY-MM-DD)")
CERTIFICATE = Ask("certificate", "Certificate")


def equipment_kind(
    name: str,
    model: type[R],
    blank: Blank,
    *,
    answers: Callable[[Case[R, V], Ref], object | None],
    sheet: Callable[[Case[R, V], tuple[Flag, ...]], Sheet],
    compute: Callable[[R, Inputs, Method | None], V] = computes_nothing,
    rules: tuple[Rule[Case[Any, Any]], ...] = (),
    wrong: Wrong | None = None,
    results: Callable[[Case[R, V]], Mapping[str, Result]] = no_results,
    detail: Callable[[Case[R, V]], Mapping[str, Any]] = no_detail,
) -> Kind[R, V]:
    """Make a kind of equipment: it asks nothing of others; its dates are checked."""
    return Kind(
        name=name,
        title=name.capitalize(),
        group="equipment",
        model=model,
        answers=answers,
        compute=compute,
        results=results,
        detail=detail,
        sheet=sheet,
        blank=blank,
        rules=(DUE_BEFORE_CALIBRATED, *rules),
        wrong=wrong,
    )
