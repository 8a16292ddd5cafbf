"""A kind of test, from its own parts and those common to all tests."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from buildsite.kinds.across import Trace
from buildsite.kinds.kind import Case, Kind, Lines, Ref, late
from buildsite.kinds.tests.shared.columns import Columns, units_of
from buildsite.kinds.tests.shared.empty_containers import container_uses
from buildsite.kinds.tests.shared.links import Readings, trace_of
from buildsite.kinds.tests.shared.record import RecordOfTest

R = TypeVar("R", bound=RecordOfTest)
V = TypeVar("V")


PARTICULARS = late("buildsite.kinds.particulars.test", "particulars")


def kind_of_test(
    own: Kind[R, V],
    *,
    compared: Callable[[R], Readings] = lambda record: (),
    line_values: Iterable[tuple[str, str, int]],
    columns: Sequence[Columns] = (),
) -> Kind[R, V]:
    """
    Return a kind of test from its `own` parts.

    `compared` gives the readings of each line, to be looked for in other tests;
    `line_values` are the values of a line that `diff` shows, `columns` the readings
    with a unit.
    """
    work, from_result = own.model.work, own.answer_from_result

    def answers(case: Case[R, V], ref: Ref) -> object | None:
        """Return what others ask, from the results as computed now."""
        if from_result is None:
            return None
        found = {name: {"reported": one.reported} for name, one in case.results.items()}
        return from_result({"results": found, **own.detail(case)}, ref)

    def trace(record: R, file: str) -> Trace:
        if own.trace is not None:
            found: Trace = own.trace(record, file)
        else:
            repeats = own.repeats is not None
            found = trace_of(record, file, compared(record), repeats=repeats)
        return replace(found, containers=tuple(container_uses(record, columns)))

    def particulars(case: Case[R, V], about: str) -> Any:
        test = own.standards_of or own.name
        return PARTICULARS(case, about, own.bench, test)

    return replace(
        own,
        answers=answers,
        particulars=particulars,
        trace=trace,
        standards_of=own.standards_of or own.name,
        lines=Lines(work.lines, work.line, tuple(line_values)),
        units=units_of(columns),
    )
