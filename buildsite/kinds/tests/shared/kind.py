"""A kind of test, put together of what is its own and what all tests share."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from importlib import import_module
from typing import Any, TypeVar

from buildsite.kinds.across import Trace
from buildsite.kinds.kind import Case, Kind, Lines, Ref
from buildsite.kinds.tests.shared.columns import Columns, units_of
from buildsite.kinds.tests.shared.links import Readings, trace_of
from buildsite.kinds.tests.shared.record import RecordOfTest

R = TypeVar("R", bound=RecordOfTest)
V = TypeVar("V")


def late(module: str, name: str) -> Callable[..., Any]:
    """Return a function that is imported when it is called: few commands need it."""

    def call(*args: Any) -> Any:
        return getattr(import_module(module), name)(*args)

    return call


def kind_of_test(
    own: Kind[R, V],
    *,
    compared: Callable[[R], Readings] = lambda record: (),
    line_values: Iterable[tuple[str, str, int]],
    columns: Sequence[Columns] = (),
) -> Kind[R, V]:
    """
    Put a kind of test together.

    Parameters
    ----------
    own
        What is its own.
    compared
        What was read in each line, to be looked for in other tests.
    line_values
        What is told of a line of readings under a record in git.
    columns
        Columns whose unit is given by a line of `units` of the kind's own.
    """
    work, from_result = own.model.work, own.answer_from_result

    def answers(case: Case[R, V], ref: Ref) -> object | None:
        """Tell what the record comes to now, as an issued result would."""
        if from_result is None:
            return None
        found = {name: {"reported": one.reported} for name, one in case.results.items()}
        return from_result({"results": found, **own.detail(case)}, ref)

    def trace(record: R, file: str) -> Trace:
        return trace_of(record, file, compared(record), repeats=own.repeats is not None)

    return replace(
        own,
        answers=answers,
        trace=own.trace or trace,
        standards_of=own.standards_of or own.name,
        lines=Lines(work.lines, work.line, tuple(line_values)),
        units=units_of(columns),
    )
