"""The record of every test and of other work, except its readings."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from functools import cached_property, wraps
from typing import Annotated, Any, ClassVar, Literal, TypeAlias, TypeVar

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
class Signature:
    """
    A field with the staff code of a person who signs, without a date of its own.

    Any of its `authority` is enough, none is needed if empty; `words` say what was
    done.
    """

    name: str
    words: str
    authority: tuple[str, ...] = ()


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
    signed: tuple[Signature, ...] = ()
    tells_sample: bool = False


class Withdrawn(Model):
    on: Day | None = None
    by: Code | None = None
    reason: Text | None = None


class RecordOfWork(Model):
    """The fields of all that is worked, reviewed and issued; not each is a test."""

    work: ClassVar[Work] = Work()

    format: Literal["1"] = "1"
    id: Id
    project: Id
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

    @cached_property
    def derived(self) -> dict[str, Any]:
        """What was derived of the record alone, by the name of the function."""
        return {}

    @property
    def site_of_work(self) -> str | None:
        """Where the work was done; None: in the laboratory; blank: a paper alone."""
        return None


class RecordOfTest(RecordOfWork):
    """The fields of every test of a sample, by a standard."""

    sample: Id
    standard: StandardUsed


A = TypeVar("A", bound=RecordOfWork)
B = TypeVar("B")


def once(function: Callable[[A], Iterable[B]]) -> Callable[[A], tuple[B, ...]]:
    """Return a function of a record that is called once for it: many rules ask it."""

    @wraps(function)
    def kept(record: A) -> tuple[B, ...]:
        derived = record.derived
        if function.__name__ not in derived:
            derived[function.__name__] = tuple(function(record))
        found: tuple[B, ...] = derived[function.__name__]
        return found

    return kept


def sample_id(record: RecordOfWork) -> str:
    """Return the sample that a record names; blank where it names none."""
    return getattr(record, "sample", None) or ""


def standard_followed(record: RecordOfWork) -> StandardUsed | None:
    """Return the standard that a record follows; None where its kind has none."""
    used: StandardUsed | None = getattr(record, "standard", None)
    return used


AnyTest: TypeAlias = Case[Any, Any]
"""The case of a test of any kind."""


def act_of(record: RecordOfWork, name: str) -> Act | None:
    """Return an act of the record by its name."""
    act: Act | None = getattr(record, name, None)
    return act


def tested_on(record: RecordOfWork) -> date | None:
    """Return the day of the act that dates a test."""
    act = act_of(record, record.work.act)
    return act.on if act is not None else None


def lines_of(record: RecordOfWork) -> Sequence[Any]:
    """Return the lines of readings; none where a kind has no list."""
    lines: Sequence[Any] = getattr(record, record.work.lines, ())
    return lines


def acts_at_lines(record: RecordOfWork, name: str = "") -> Iterator[tuple[int, Act]]:
    """Return an act of each line that has its own: index, act; else the dating one."""
    for i, line in enumerate(lines_of(record)):
        act = getattr(line, name or record.work.act, None)
        if act is not None:
            yield i, act


def ovens_at_lines(record: RecordOfWork) -> Iterator[tuple[int, Oven]]:
    """Return the drying of each line that was dried by itself: index, oven."""
    for i, line in enumerate(lines_of(record)):
        oven = getattr(line, "oven", None)
        if oven is not None:
            yield i, oven
