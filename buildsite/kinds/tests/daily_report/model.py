"""The report of a day on the fill: its record, and its failures."""

from typing import Annotated, ClassVar, Literal, TypeAlias

from pydantic import Field

from buildsite.kinds.field_control.closing import FAIL, Closed, closings
from buildsite.kinds.kind import Case, Inputs, Ref
from buildsite.kinds.tests.shared.links import unique
from buildsite.kinds.tests.shared.papers.record import (
    Listed,
    Paper,
    listed_tests,
    paper_refs,
)
from buildsite.kinds.tests.shared.record import Signature, Work
from buildsite.record.parts import Act
from buildsite.record.reading import Code, Count, Day, Id, Model, Moment, Positive, Text
from buildsite.record.units import LengthUnit
from buildsite.standards.method import Method
from buildsite.values import dataclass

MOST_WORKS = 60
"""Lines of a day's work: far more are a slip."""


class Units(Model):
    """The unit of the thickness of lifts."""

    depth: LengthUnit | None = None


class Times(Model):
    """When the inspector was on site."""

    from_: Moment | None = Field(default=None, alias="from")
    to: Moment | None = None


class WorkSeen(Model):
    """Work of one sort at one place, as seen by the inspector."""

    zone: Text | None = None
    lift: Text | None = None
    what: Annotated[
        Text | None, Field(description="What was done, as placed and compacted.")
    ] = None
    source: Annotated[Text | None, Field(description="Where the soil came from.")] = (
        None
    )
    roller: Text | None = None
    passes: Count | None = None
    thickness_loose: Positive | None = None
    thickness_compacted: Positive | None = None


class Told(Model):
    """Who was told of a failing test, when, and how."""

    test: Id | None = None
    who: Text | None = None
    at: Moment | None = None
    how: Text | None = None


class DailyReport(Paper):
    """What the inspector saw and tested on a day."""

    work: ClassVar[Work] = Work(
        act="day",
        acts=(),
        lines="works",
        line="work",
        signed=(Signature("inspector", "inspected", ("test",)),),
    )

    kind: Literal["daily-report"]
    on: Day
    inspector: Annotated[Code | None, Field(description="Staff code of who signs.")] = (
        None
    )
    contractor: Text | None = None
    weather: Text | None = None
    times: Times | None = None
    units: Units = Units()
    works: Annotated[tuple[WorkSeen, ...], Field(max_length=MOST_WORKS)] = ()
    not_tested: Annotated[
        Text | None, Field(description="What was not tested, and why.")
    ] = None
    told: Annotated[tuple[Told, ...], Field(max_length=MOST_WORKS)] = ()

    @property
    def day(self) -> Act:
        """Return the day as an act: it dates the report."""
        return Act(on=self.on, by=self.inspector)


@dataclass(frozen=True)
class Values:
    """The tests of the day, and what closed its failures the same day."""

    listed: tuple[Listed, ...]
    closed: tuple[tuple[str, Closed], ...]

    @property
    def failing(self) -> tuple[Listed, ...]:
        """The tests that fail, closed or not."""
        return tuple(one for one in self.listed if one.facts.verdict == FAIL)

    @property
    def retests(self) -> tuple[Listed, ...]:
        """The retests after rework."""
        return tuple(one for one in self.listed if one.facts.retest_of)


DayCase: TypeAlias = Case[DailyReport, Values]


def needs(record: DailyReport) -> tuple[Ref, ...]:
    """Return the questions of a daily report."""
    return unique(*paper_refs(record))


def compute(record: DailyReport, inputs: Inputs, method: Method | None) -> Values:
    """Find the tests of the day, and what closes its failures."""
    case: DayCase = Case(record, inputs, method, None)  # type: ignore[arg-type]
    listed = listed_tests(case)
    closed = closings([one.facts for one in listed])
    return Values(listed, tuple(sorted(closed.items())))
