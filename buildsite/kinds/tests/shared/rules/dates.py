"""Checks of the dates of a test."""

from collections.abc import Iterator

from buildsite.kinds.shared_rules import Dated, dates_rule, order_doubts
from buildsite.kinds.tests.shared.completeness import (
    gap_severity,
    is_complete,
    sample_of,
)
from buildsite.kinds.tests.shared.record import (
    AnyTest,
    act_of,
    acts_at_lines,
    lines_of,
    tested_on,
)
from buildsite.record.flags import Doubt, Rule, Severity, error

DATED = "ISO/IEC 17025:2017, 7.8.2.1: a report dates its tests"


def arrival(case: AnyTest) -> Dated | None:
    """Return when the sample was received, else when it was taken."""
    sample = sample_of(case)
    if sample is None:
        return None
    came = Dated("received", sample.received_on, ("sample",))
    if came.on is None:
        came = Dated("sampled", sample.sampled_on, ("sample",))
    return came


def out_of_order(case: AnyTest) -> Iterator[Doubt]:
    """A date is before that of an earlier step."""
    record, came = case.record, arrival(case)
    work = record.work
    names = [name for name in work.acts if name not in work.free]
    acts = []
    for name in (*names, "reviewed"):
        act = act_of(record, name)
        acts.append(Dated(name, act.on if act is not None else None, (name, "on")))
    lead = [came] if came is not None else []
    yield from order_doubts([*lead, *acts])
    main = names.index(work.act)
    before = [one for one in (*lead, *acts[:main]) if one.on is not None][-1:]
    after = acts[main + 1 : len(names)]
    dried = dict(acts_at_lines(record, "dried"))
    for i, act in acts_at_lines(record):
        own = Dated(work.act, act.on, (work.lines, i, work.act, "on"))
        yield from order_doubts([*before, own])
        if i in dried:
            last = Dated("dried", dried[i].on, (work.lines, i, "dried", "on"))
            yield from order_doubts([own, last])
        elif is_complete(case):  # before, the line may be weighed dry by itself later
            yield from order_doubts([own, *after])
    if record.withdrawn is not None:
        gone = Dated("withdrawn", record.withdrawn.on, ("withdrawn", "on"))
        yield from order_doubts([acts[main], gone])


@error("test-undated", DATED)
def undated(case: AnyTest) -> Iterator[Doubt]:
    """The test has no date: the calibrations in force cannot be looked up."""
    record = case.record
    own = [act for _, act in acts_at_lines(record) if act.on is not None]
    by_line = bool(own) and len(own) == len(lines_of(record))
    if tested_on(record) is None and not by_line:
        yield Doubt(
            field=(record.work.act, "on"),
            found="no date",
            expected=f"the date on which the soil was {record.work.act}",
            mend="enter it from the bench sheet",
            severity=Severity.WARNING
            if record.external is not None
            else gap_severity(case),
        )


ORDER: Rule[AnyTest] = dates_rule(out_of_order)
