"""The checks common to the papers of a fill."""

from collections.abc import Iterator

from buildsite.kinds.shared_rules import (
    Dated,
    dates_rule,
    order_doubts,
    unknown_code_rule,
)
from buildsite.kinds.tests.shared.papers.record import AnyPaper, listed_tests
from buildsite.kinds.tests.shared.record import act_of
from buildsite.kinds.tests.shared.rules import demands, people
from buildsite.record.flags import Doubt, Rule, error


@error("test-listed-twice", "common practice")
def listed_twice(case: AnyPaper) -> Iterator[Doubt]:
    """A paper lists a test twice."""
    tests = case.record.tests
    for i, id in enumerate(tests):
        if id in tests[:i]:
            yield Doubt(
                field=("tests", i),
                found=f"{id} again",
                expected="each test once",
                mend="delete it here, or enter the number that was meant",
            )


def out_of_order(case: AnyPaper) -> Iterator[Doubt]:
    """A date is before that of an earlier step."""
    record = case.record
    name = record.work.act
    act = act_of(record, name)
    on = act.on if act is not None else None
    signed = Dated(name.replace("_", " "), on, own_field(case))
    for one in listed_tests(case):
        tested = Dated("tested", one.facts.tested_on, ("tests", one.index))
        yield from order_doubts([tested, signed])
    reviewed = record.reviewed.on if record.reviewed is not None else None
    yield from order_doubts([signed, Dated("reviewed", reviewed, ("reviewed", "on"))])


def own_field(case: AnyPaper) -> tuple[str, ...]:
    """Return the field of the day of a paper."""
    name = case.record.work.act
    return (name, "on") if name in type(case.record).model_fields else ("on",)


COMMON: tuple[Rule[AnyPaper], ...] = (
    listed_twice,
    dates_rule(out_of_order),
    unknown_code_rule(people.unknown_codes),
    people.no_authority,
    people.entry_checked_by_itself,
    people.not_reviewed,
    people.withdrawal_without_reason,
    people.withdrawal_unlike_status,
    demands.bench_sheet_without_digest,
)
