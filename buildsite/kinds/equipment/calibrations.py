"""Calibrations of equipment: in force, due, found wrong."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from typing import Annotated, Any, Literal, Protocol, TypeVar

from pydantic import Field as Described

from buildsite.kinds.blank import Ask, Blank, Measured, Occasion
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
from buildsite.record.flags import Doubt, Field, Flag, Rule, Severity
from buildsite.record.reading import Code, Count, Day, Model, Text
from buildsite.standards.cells import Cell as Limit
from buildsite.standards.method import Method
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
        Described(
            description="Specimens made since then, other than in tests on file."
        ),
    ] = None
    state: Literal["as found", "as left"] | None = None
    certificate: Text | None = None
    wrong_since: Annotated[
        Day | None,
        Described(description="What was found is true since this day, not since `on`."),
    ] = None
    found_wrong: Annotated[
        Text | None,
        Described(description="Why this calibration is not valid."),
    ] = None
    tests_judged: Annotated[
        Judged | None,
        Described(description="Settles the flag calibration-found-wrong."),
    ] = None


class OutOfUse(Model, defer_build=False):
    """Since when equipment is out of service, and why."""

    on: Day
    reason: Text | None = None


@dataclass(frozen=True)
class Series:
    """
    One list of calibrations, of which the last made is in force.

    `part`: as a question narrows it (the label of a bag); blank for what every test
    with the equipment relies on. `words` tell it from other series of the equipment,
    and `again` are the options of `calibrate` for its next one. `interval` is used
    where no due date is stated; of a series kept by days it is always offered. Tests do
    not rely on a leak test.
    """

    at: Field
    calibrations: Sequence[Any]
    part: str = ""
    words: str = ""
    again: str = ""
    interval: Callable[[], Limit] | None = None
    relied_on: bool = True
    out_of_use: OutOfUse | None = None


def series_of(record: Any) -> tuple[Series, ...]:
    """Return every series of a record of equipment, the whole's first."""
    own: tuple[Series, ...] | None = getattr(record, "series", None)
    return own or (Series(("calibrations",), record.calibrations),)


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


def every_calibration(record: Any) -> Iterator[tuple[Field, Any]]:
    """Yield every calibration of equipment and of its parts, with its place."""
    for series in series_of(record):
        for i, one in enumerate(series.calibrations):
            yield (*series.at, i), one


def due_before_calibrated(case: Case[Any, Any]) -> Iterator[Doubt]:
    """The next due date of a calibration is not after its date."""
    for field, one in every_calibration(case.record):
        if one.next_due is not None and one.next_due <= one.on:
            yield Doubt(
                field=(*field, "next_due"),
                found=one.next_due.isoformat(),
                expected=f"a date after {one.on}",
                mend="check for interchanged dates",
            )


DUE_BEFORE_CALIBRATED: Rule[Case[Any, Any]] = Rule(
    "due-before-calibrated", Severity.ERROR, "common practice", due_before_calibrated
)


def wrong_since_after(case: Case[Any, Any]) -> Iterator[Doubt]:
    """What a calibration found is said to be wrong only since a later day."""
    for field, one in every_calibration(case.record):
        if one.wrong_since is not None and one.wrong_since > one.on:
            yield Doubt(
                field=(*field, "wrong_since"),
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
    wrong_part: Callable[[Case[R, V], str, int], Iterator[Nonconformity]] | None = None,
    measured: tuple[Measured, ...] = (),
    occasions: tuple[Occasion, ...] = (),
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
        wrong_part=wrong_part,
        measured=measured,
        occasions=occasions,
    )
