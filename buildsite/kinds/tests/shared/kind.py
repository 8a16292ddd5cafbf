"""A kind of test, from its own parts and those common to all tests."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from buildsite.kinds.answers import OversizeFact, SampleFacts, SpecificGravityFact
from buildsite.kinds.bench_spec import Bench
from buildsite.kinds.kind import Case, Kind, Lines, Ref, late
from buildsite.kinds.tests.shared.columns import Columns, units_of
from buildsite.kinds.tests.shared.empty_containers import container_uses
from buildsite.kinds.tests.shared.links import Readings, trace_of
from buildsite.kinds.tests.shared.record import RecordOfWork, tested_on
from buildsite.kinds.traces import Trace
from buildsite.record.flags import Doubt, Field

R = TypeVar("R", bound=RecordOfWork)
V = TypeVar("V")


BALANCE_DOUBTS = late(
    "buildsite.kinds.tests.shared.balances_at_bench", "balance_doubts"
)
PARTICULARS = late("buildsite.kinds.particulars.test", "particulars")


def external_part(record: RecordOfWork) -> Mapping[str, Any]:
    """Return the part of a result that names another laboratory; none if own work."""
    other = record.external
    if other is None:
        return {}
    report = {"report": other.report} if other.report else {}
    return {"external": {"laboratory": other.laboratory, **report}}


def results_now(case: Case[Any, Any]) -> Mapping[str, Any]:
    """Return the results of a record as computed now, as a kept result has them."""
    return {
        name: {"value": one.value, "reported": one.reported}
        for name, one in case.results.items()
    }


def about(case: Case[Any, Any]) -> Mapping[str, Any]:
    """Return the part of a result that says what was tested, by what, and when."""
    record = case.record
    used, sample = getattr(record, "standard", None), getattr(record, "sample", None)
    found: dict[str, Any] = {}
    if getattr(record, "project", None) is not None:
        found["project"] = record.project
    if sample is not None:
        found["sample"] = sample
        facts = case.inputs.get(SampleFacts, sample)
        soil = {
            "name": facts.soil_name if facts is not None else "",
            "class": facts.soil_class if facts is not None else "",
        }
        found["soil"] = {key: text for key, text in soil.items() if text}
    if used is not None:
        edition = {"edition": used.edition} if used.edition else {}
        found["standard"] = {
            "designation": used.designation,
            "method": used.method,
            **edition,
        }
    tested = tested_on(record)
    return found if tested is None else {**found, "tested": tested.isoformat()}


def with_balances(
    own: Callable[[Any], Bench] | None, columns: Sequence[Columns]
) -> Callable[[Any], Bench] | None:
    """Return the bench sheet of a kind, on which readings are held against balances."""
    if own is None:
        return None

    def bench(case: Any) -> Bench:
        sheet: Bench = own(case)

        def odd(field: Field) -> tuple[Doubt, ...]:
            return (*sheet.odd(field), *BALANCE_DOUBTS(case, columns, field))

        return replace(sheet, odd=odd)

    return bench


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
        """Return what others ask: by the record, else by the results as of now."""
        now = {"results": results_now(case), **detail(case)}
        return own.answers(case, ref) or answer_of_result(now, ref)

    def detail(case: Case[R, V]) -> Mapping[str, Any]:
        """Return the kind's own part of a result, what it is of, who else did it."""
        return {
            **about(case),
            **own.detail(case),
            **external_part(case.record),
        }

    def answer_of_result(result: Mapping[str, Any], ref: Ref) -> object | None:
        """Return an answer from a result, with the other laboratory that found it."""
        answer = from_result(result, ref) if from_result is not None else None
        other = (result.get("external") or {}).get("laboratory")
        if other and isinstance(answer, SpecificGravityFact | OversizeFact):
            return replace(answer, laboratory=str(other))
        return answer

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
        detail=detail,
        answer_from_result=answer_of_result if from_result is not None else None,
        bench=with_balances(own.bench, columns),
        particulars=particulars,
        trace=trace,
        standards_of=own.standards_of or own.name,
        lines=Lines(work.lines, work.line, tuple(line_values)),
        units=units_of(columns),
    )
