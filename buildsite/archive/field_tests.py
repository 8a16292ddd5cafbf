"""The field tests and papers of a project, from outcomes and results as issued."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.identity import name_of
from buildsite.archive.lifts import Lift, lifts_of
from buildsite.archive.references import result_of
from buildsite.kinds.field_answers import ProjectRequirements, RequirementFacts
from buildsite.kinds.field_control.closing import Closed, closings, in_time
from buildsite.kinds.field_control.results import (
    DayPaper,
    FieldTest,
    LiftPaper,
    Told,
    field_test,
    words,
)
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.used import plain
from buildsite.values import dataclass


def told_by(result: Mapping[str, Any], file: str) -> Told | None:
    """Return the field test or paper of a result; None for any other result."""
    id, project = name_of(file), file.split("/")[1]
    return field_test(result, id, project) or paper_of(result, id)


def paper_of(result: Mapping[str, Any], id: str) -> LiftPaper | DayPaper | None:
    """Return the acceptance of a lift, or the report of a day."""
    lift, day = result.get("lift"), result.get("day")
    if isinstance(lift, Mapping):
        accepted = lift.get("accepted") or {}
        return LiftPaper(
            id,
            words(lift.get("zone")),
            words(lift.get("lift")),
            words(accepted.get("on")),
            words(accepted.get("by")),
            tuple(map(words, lift.get("tests") or ())),
            basis=words(lift.get("basis")),
        )
    if isinstance(day, Mapping):
        return DayPaper(
            id,
            words(day.get("on")),
            words(day.get("inspector")),
            tuple(map(words, day.get("tests") or ())),
        )
    return None


def told_by_outcome(made: Outcome) -> Told | None:
    """Return the field test or paper that an outcome tells; None for any other."""
    if not any(hasattr(made.case.record, name) for name in OF_THE_FILL):
        return None  # what a compaction test tells takes a millisecond to work out
    detail = made.detail()
    if not TOLD & detail.keys():
        return None
    told = told_by(plain({"results": made.results, **detail}), made.file)
    if not isinstance(told, FieldTest):
        return told
    return replace(told, requirement=requirement_of(made, told.zone))


def result_of_reference(archive: Archive, judged_by: str) -> Mapping[str, Any]:
    """
    Return the result of a reference: of the revision named, as kept, if one is.

    `judged_by` is a test's id, with its revision if it was issued: `HF-0117 r1`. Empty
    if the result can't be had.
    """
    id, _, revision = judged_by.partition(" r")
    file = archive.home(id)
    if file is None:
        return {}
    issued, _ = archive.chain(file)
    if issued is not None and revision.isdigit():
        items = [item for item in issued.items if item.revision == int(revision)]
        return result_of(archive, file, items[0]) if items else {}
    made = archive.outcome(file) if not revision else None
    if made is None:
        return {}
    told: Mapping[str, Any] = plain({"results": made.results, **made.detail()})
    return told


OF_THE_FILL = ("lift", "inspector")
"""Fields of a record that is of a fill, whatever its kind."""

TOLD = {"field", "lift", "day"}
"""Parts of a result that make it a field test or a paper of the fill."""


def requirement_of(made: Outcome, zone: str) -> RequirementFacts | None:
    """Return the requirement that a test was judged by, as its project answered."""
    for answer in made.case.inputs.answers.values():
        if isinstance(answer, ProjectRequirements):
            return answer.of_zone(zone)
    return None


@dataclass(frozen=True)
class FieldControl:
    """The field control of one project: tests in order of date, papers, lifts."""

    project: str
    tests: tuple[FieldTest, ...]
    acceptances: tuple[LiftPaper, ...]
    days: tuple[DayPaper, ...]
    lifts: tuple[Lift, ...]
    closed: Mapping[str, Closed]  # failure → what closes it

    @property
    def counted(self) -> tuple[FieldTest, ...]:
        """The tests that count towards a lift."""
        return tuple(test for test in self.tests if test.counts)

    def lifts_in(self, state: str) -> int:
        """Return how many lifts are in a state."""
        return sum(lift.state == state for lift in self.lifts)

    @property
    def failing(self) -> tuple[FieldTest, ...]:
        """Failures that nothing closes."""
        return tuple(test for lift in self.lifts for test in lift.failing)


def field_control(project: str, told: Iterable[Told]) -> FieldControl | None:
    """Return the field control of a project; None for one without."""
    every: Sequence[Told] = list(told)
    if not every:
        return None
    tests = sorted((one for one in every if isinstance(one, FieldTest)), key=in_time)
    papers = sorted(
        (one for one in every if isinstance(one, LiftPaper)),
        key=lambda one: (one.on, one.id),
    )
    days = sorted(
        (one for one in every if isinstance(one, DayPaper)),
        key=lambda one: (one.on, one.id),
    )
    return FieldControl(
        project,
        tuple(tests),
        tuple(papers),
        tuple(days),
        lifts_of(tests, papers),
        closings(test for test in tests if not test.withdrawn),
    )
