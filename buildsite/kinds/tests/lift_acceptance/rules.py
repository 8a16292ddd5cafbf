"""The checks of an acceptance: who accepts, and on what tests."""

from collections.abc import Iterator

from buildsite.kinds.answers import days_on_staff, on_staff
from buildsite.kinds.field_control.closing import PASS, counts
from buildsite.kinds.tests.lift_acceptance.model import (
    Acceptance,
    is_of_lift,
    terms_of,
)
from buildsite.kinds.tests.shared.completeness import gap_severity, laboratory_of
from buildsite.kinds.tests.shared.papers.rules import COMMON
from buildsite.record.flags import Doubt, Rule, error, note, warning
from buildsite.record.messages import join_choices

BASIS = "common practice: the engineer of record accepts, on the tests that are listed"


@error("acceptance-undated", BASIS)
def undated(case: Acceptance) -> Iterator[Doubt]:
    """An acceptance does not state the day, or who accepted."""
    act = case.record.lift_accepted
    for part, what in (("on", "the day"), ("by", "the engineer of record")):
        if getattr(act, part) is None:
            yield Doubt(
                field=("lift_accepted", part),
                found="not stated",
                expected=f"{what} of the acceptance",
                mend="enter it once the engineer of record has accepted the lift",
                severity=gap_severity(case),
            )


@error("not-engineer-of-record", BASIS)
def not_engineer(case: Acceptance) -> Iterator[Doubt]:
    """A lift is accepted by somebody who may not."""
    record = case.record
    act, terms = record.lift_accepted, terms_of(case.inputs, record)
    if act.by is None or case.inputs.alone:
        return
    engineers = terms.engineers if terms is not None else ()
    if act.by not in engineers:
        named = join_choices(list(engineers)) if engineers else ""
        yield Doubt(
            field=("lift_accepted", "by"),
            found=act.by,
            expected=f"the engineer of record of {record.project}: {named}"
            if named
            else f"an engineer of record, which {record.project} does not name",
            mend="have the engineer of record accept the lift; who that is stands in "
            "project.yaml: engineer_of_record",
        )
        return
    lab = laboratory_of(case)
    who = lab.person(act.by) if lab is not None else None
    if who is not None and act.on and not on_staff(act.on, who.start, who.until):
        yield Doubt(
            field=("lift_accepted", "by"),
            found=f"{act.by}, on the staff{days_on_staff(who.start, who.until)}",
            expected=f"somebody on the staff on {act.on}",
            mend="correct the code or the day",
        )


@error("test-of-another-lift", BASIS)
def of_another_lift(case: Acceptance) -> Iterator[Doubt]:
    """An acceptance lists a test of another zone, lift or project."""
    record = case.record
    for one in case.values.listed:
        if not is_of_lift(record, one):
            facts = one.facts
            apart = "" if facts.project == record.project else "another project, "
            yield Doubt(
                field=("tests", one.index),
                found=f"{one.id}, of {apart}{facts.zone or 'no zone'}, lift "
                f"{facts.lift or 'not stated'}",
                expected=f"a test of {record.zone}, lift {record.lift}",
                mend="check the number, or zone and lift on the field sheet",
            )


@error("failure-open", BASIS)
def failure_open(case: Acceptance) -> Iterator[Doubt]:
    """A failing test of the lift is not closed."""
    for one in case.values.listed:
        if one.id in case.values.open:
            yield Doubt(
                field=("tests", one.index),
                found=f"{one.id} fails: {one.facts.why or 'see its report'}",
                expected="a passing retest after rework at the same place in this "
                "list, or a disposition in the record of the test",
                mend="rework and test again, and list the retest; or the engineer of "
                "record states the disposition",
                severity=gap_severity(case),
            )


@error("too-few-tests", BASIS)
def too_few(case: Acceptance) -> Iterator[Doubt]:
    """A lift has fewer tests than the specification requires."""
    record, values = case.record, case.values
    if values.required is not None and values.made < values.required:
        yield Doubt(
            field=("tests",),
            found=f"{values.made} of {record.zone}, lift {record.lift}",
            expected=f"{values.required} for each lift; a retest is of a place that "
            "was tested before",
            mend="test the lift at further places before it is covered",
            severity=gap_severity(case),
        )
    for lot in values.lots:
        if lot.met is None:
            yield Doubt(
                field=("tests",),
                found=f"{', '.join(lot.tests)}: no full lot",
                expected="as many tests as the specification averages, each with its "
                "percent compaction",
                mend="test the lift at further places before it is covered",
                severity=gap_severity(case),
            )


@error("lot-below-average", BASIS)
def lot_below(case: Acceptance) -> Iterator[Doubt]:
    """The average of a lot is below the limit."""
    terms = terms_of(case.inputs, case.record)
    asked = terms.requirement if terms is not None else None
    for lot in case.values.lots:
        if lot.met is False and asked is not None:
            yield Doubt(
                field=("tests",),
                found=f"{lot.compared} % on the average of {', '.join(lot.tests)}",
                expected=f"at least {asked.lot_average} %",
                mend="rework the lift and test it again",
                severity=gap_severity(case),
            )


@error("acceptance-of-unissued-test", BASIS)
def unissued(case: Acceptance) -> Iterator[Doubt]:
    """An acceptance rests on a test that was not issued."""
    for one in case.values.listed:
        if not one.facts.revision:
            yield Doubt(
                field=("tests", one.index),
                found=f"{one.id}, not issued",
                expected="a test whose report the engineer of record has",
                mend=f"issue {one.id} first",
                severity=gap_severity(case),
            )


@warning("test-not-counted", BASIS)
def not_counted(case: Acceptance) -> Iterator[Doubt]:
    """A listed test does not count towards the lift."""
    for one in case.values.listed:
        facts = one.facts
        if not counts(facts):
            found = f"{one.id}, for {facts.purpose or 'no stated purpose'}"
        elif facts.verdict not in (PASS, "fail"):
            found = f"{one.id}, without a verdict: {facts.why or 'none given'}"
        else:
            continue
        yield Doubt(
            field=("tests", one.index),
            found=found,
            expected="an acceptance test with a verdict",
            mend="no action if the lift has its tests without it; it is not counted",
        )


@note("number-of-tests-not-required", BASIS)
def none_required(case: Acceptance) -> Iterator[Doubt]:
    """The project does not state how many tests a lift needs."""
    if case.values.required is None and not case.inputs.alone:
        yield Doubt(
            field=("zone",),
            found=f"{case.record.zone}: no number of tests for each lift",
            expected="tests_required of the zone in project.yaml",
            mend="enter it from the specification, if that states one",
        )


RULES: tuple[Rule[Acceptance], ...] = (
    *COMMON,
    undated,
    not_engineer,
    of_another_lift,
    failure_open,
    too_few,
    lot_below,
    unissued,
    not_counted,
    none_required,
)
