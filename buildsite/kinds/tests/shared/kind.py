"""A kind of test, put together of what is its own and what all tests share."""

from collections.abc import Callable, Mapping, Sequence
from importlib import import_module
from typing import Any, TypeVar

from buildsite.kinds.across import Trace
from buildsite.kinds.bench_spec import Bench
from buildsite.kinds.blank import Blank
from buildsite.kinds.kind import Case, Compared, Inputs, Kind, Lines, Ref, Result
from buildsite.kinds.sheet import Sheet
from buildsite.kinds.tests.shared.columns import Columns, units_of
from buildsite.kinds.tests.shared.links import Readings, common_needs, trace_of
from buildsite.kinds.tests.shared.record import RecordOfTest
from buildsite.record.flags import Flag, Rule
from buildsite.standards.tables import Method

R = TypeVar("R", bound=RecordOfTest)
V = TypeVar("V")

FromResult = Callable[[Mapping[str, Any], Ref], object | None]


def late(module: str, name: str) -> Callable[..., Any]:
    """Return a function that is imported when it is called: few commands need it."""

    def call(*args: Any) -> Any:
        return getattr(import_module(module), name)(*args)

    return call


def kind_of_test(
    name: str,
    title: str,
    model: type[R],
    *,
    compute: Callable[[R, Inputs, Method | None], V],
    results: Callable[[Case[R, V]], Mapping[str, Result]],
    detail: Callable[[Case[R, V]], Mapping[str, Any]],
    rules: tuple[Rule[Case[R, V]], ...],
    sheet: Callable[[Case[R, V], tuple[Flag, ...]], Sheet],
    bench: Callable[[Case[R, V]], Bench],
    blank: Blank,
    compared: Callable[[R], Readings],
    line_values: tuple[tuple[str, str, int], ...],
    columns: Sequence[Columns] = (),
    needs: Callable[[R], tuple[Ref, ...]] = common_needs,
    answer_from_result: FromResult | None = None,
    repeats: Callable[[Case[R, V], Case[R, V]], Compared] | None = None,
) -> Kind[R, V]:
    """
    Put a kind of test together.

    Parameters
    ----------
    name, title, model
        As `kind:` has it, as a person says it, its record.
    compute, results, detail, rules, sheet, bench, blank, needs, repeats
        As `Kind` has them.
    columns
        Columns whose unit is given by a line of `units` of the kind's own.
    compared
        What was read in each line, to be looked for in other tests.
    line_values
        What is told of a line of readings under a record in git.
    answer_from_result
        What an issued result tells others; the record tells the same.
    """

    def answers(case: Case[R, V], ref: Ref) -> object | None:
        if answer_from_result is None:
            return None
        found = {name: {"reported": one.reported} for name, one in case.results.items()}
        return answer_from_result({"results": found, **detail(case)}, ref)

    def trace(record: R, file: str) -> Trace:
        return trace_of(record, file, compared(record), repeats=repeats is not None)

    return Kind(
        name=name,
        title=title,
        group="test",
        model=model,
        needs=needs,
        answers=answers,
        compute=compute,
        results=results,
        detail=detail,
        sheet=sheet,
        rules=rules,
        trace=trace,
        blank=blank,
        repeats=repeats,
        bench=bench,
        standards_of=name,
        answer_from_result=answer_from_result,
        lines=Lines(model.work.lines, model.work.line, line_values),
        units=units_of(columns),
    )
