"""The record of every test, except its readings."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Annotated, Any, ClassVar, Literal, TypeAlias

from pydantic import Field

from buildsite.kinds.kind import Case
from buildsite.record.parts import (
    Accepted,
    Act,
    BenchSheet,
    Deviation,
    Entered,
    External,
    Oven,
    Reviewed,
    StandardUsed,
)
from buildsite.record.reading import Code, Day, Id, Model, Remarks, Text, YesNo
from buildsite.values import dataclass


@dataclass(frozen=True)
class Tool:
    """
    A piece of equipment that a test may name.

    `name` is its field under `equipment`, `kind` its kind, and `act` the act it was
    used for, if not the one that dates the test.
    """

    name: str
    kind: str
    act: str = ""


@dataclass(frozen=True)
class Work:
    """
    How the work of one kind of test is recorded.

    `act` is the act that dates the test, `acts` all of them in the order of the bench;
    those in `free` may come before or after any other. `lines` is the list of
    readings, `line` the word for one of them. A test that `tells_sample` its result
    asks the sample only for what the sample's own record states.
    """

    act: str = "tested"
    acts: tuple[str, ...] = ("tested",)
    free: tuple[str, ...] = ()
    lines: str = ""
    line: str = ""
    tools: tuple[Tool, ...] = ()
    tells_sample: bool = False


class Withdrawn(Model):
    on: Day | None = None
    by: Code | None = None
    reason: Text | None = None


class RecordOfTest(Model):
    """The fields of every test."""

    work: ClassVar[Work] = Work()

    format: Literal["1"] = "1"
    id: Id
    project: Id
    sample: Id
    standard: StandardUsed
    entered: Entered | None = None
    bench_sheet: BenchSheet | None = None
    balance_tared: Annotated[
        YesNo | None,
        Field(description="Set to zero with each empty container on it: they read 0."),
    ] = None
    reviewed: Reviewed | None = None
    status: Literal["in-progress", "complete", "withdrawn"]
    withdrawn: Withdrawn | None = None
    remarks: Remarks | None = None
    deviations: tuple[Deviation, ...] = ()
    accepted: tuple[Accepted, ...] = ()
    external: External | None = None


AnyTest: TypeAlias = Case[Any, Any]
"""The case of a test of any kind."""


def act_of(record: RecordOfTest, name: str) -> Act | None:
    """Return an act of the record by its name."""
    act: Act | None = getattr(record, name, None)
    return act


def tested_on(record: RecordOfTest) -> date | None:
    """Return the day of the act that dates a test."""
    act = act_of(record, record.work.act)
    return act.on if act is not None else None


def lines_of(record: RecordOfTest) -> Sequence[Any]:
    """Return the lines of readings; none where a kind has no list."""
    lines: Sequence[Any] = getattr(record, record.work.lines, ())
    return lines


def acts_at_lines(record: RecordOfTest, name: str = "") -> Iterator[tuple[int, Act]]:
    """Return an act of each line that has its own: index, act; else the dating one."""
    for i, line in enumerate(lines_of(record)):
        act = getattr(line, name or record.work.act, None)
        if act is not None:
            yield i, act


def ovens_at_lines(record: RecordOfTest) -> Iterator[tuple[int, Oven]]:
    """Return the drying of each line that was dried by itself: index, oven."""
    for i, line in enumerate(lines_of(record)):
        oven = getattr(line, "oven", None)
        if oven is not None:
            yield i, oven
