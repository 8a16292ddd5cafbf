"""What every kind of record brings, and how one record asks another."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import field
from datetime import date
from typing import Any, Generic, TypeVar

from buildsite.kinds.bench_spec import Advice, Bench, EarlierMean, Given
from buildsite.kinds.blank import Blank
from buildsite.kinds.sheet import Plot, Sheet
from buildsite.record.flags import Doubt, Field, Flag, Rule
from buildsite.record.reading import Model
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method
from buildsite.values import dataclass

R = TypeVar("R", bound=Model)
V = TypeVar("V")
A = TypeVar("A")

KeptResult = tuple[str, Mapping[str, Any]]
"""Name of a revision, and its result as kept."""


@dataclass(frozen=True)
class Ref:
    """
    A question to another record.

    `asks` is the class of the answer; `kinds` the kinds that may be named there (empty:
    any test); `about` narrows the question, as staff codes do for the laboratory. A
    `bare` question is answered by what the record itself says, without what it asks of
    others: so a test may ask its sample what it is, and tell it what it holds.
    """

    asks: type
    kinds: tuple[str, ...]
    id: str
    field: Field
    on: date | None = None
    about: tuple[str, ...] = ()
    silent: bool = False  # no answer is an answer too, and no fault
    bare: bool = False

    @property
    def key(self) -> tuple[str, str, str]:
        """What the answer is kept under."""
        return (self.asks.__name__, self.id, self.on.isoformat() if self.on else "")


@dataclass(frozen=True)
class Inputs:
    """The answers a record got. A record computed by itself got none."""

    answers: Mapping[tuple[str, str, str], Any] = field(default_factory=dict)
    alone: bool = False

    def get(self, asks: type[A], id: str, on: date | None = None) -> A | None:
        """The answer of that class about that record, as of that day."""
        key = (asks.__name__, id, on.isoformat() if on else "")
        found = self.answers.get(key)
        return found if isinstance(found, asks) else None


@dataclass(frozen=True)
class Result:
    """One result: its value in SI, and the text that is reported."""

    value: float
    unit: str
    reported: str


@dataclass(frozen=True)
class Case(Generic[R, V]):
    """A record with all that is known about it: what rules and sheets look at."""

    record: R
    inputs: Inputs
    method: Method | None
    values: V
    results: Mapping[str, Result] = field(default_factory=dict)

    def cell(self, name: str) -> Cell | None:
        """Return a cell of the method, where one is on file and it is not silent."""
        return self.method.optional(name) if self.method is not None else None

    def word(self, name: str) -> str:
        """Return the standard's word for a thing, else the name in plain words."""
        plain = name.replace("_", " ")
        return self.method.word(name) if self.method is not None else plain


@dataclass(frozen=True)
class Appendix:
    """A page below a test's own, for the laboratory: folder, name and sheet."""

    folder: str
    title: str
    sheet: Sheet


@dataclass(frozen=True)
class Compared:
    """Two repeat tests in words, and the doubt where they are too far apart."""

    words: str
    doubt: Doubt | None


@dataclass(frozen=True)
class Lines:
    """
    The list of a record whose lines a report counts from 1.

    Parameters
    ----------
    name
        Of the list, in the record and in `show --json`: points.
    one
        The word for one of its lines: point.
    values
        What is told of a line under a record in git: its name in `show --json`, its
        unit, decimals.
    """

    name: str
    one: str
    values: tuple[tuple[str, str, int], ...] = ()


def no_results(case: Case[Any, Any]) -> Mapping[str, Result]:
    """Report nothing: this kind describes and does not measure."""
    return {}


def no_detail(case: Case[Any, Any]) -> Mapping[str, Any]:
    """Add nothing to `show --json`."""
    return {}


def asks_nothing(record: Model) -> tuple[Ref, ...]:
    """Name no other record."""
    return ()


def answers_nothing(case: Case[Any, Any], ref: Ref) -> None:
    """Tell other records nothing."""


def computes_nothing(record: Model, inputs: Inputs, method: Method | None) -> Any:
    """Measure nothing: the record states what it is."""
    return None


@dataclass(frozen=True)
class Kind(Generic[R, V]):
    """One kind of record. The list of them is `KINDS`."""

    name: str  # as in `kind: moisture-density`
    title: str  # as a person says it
    group: str  # laboratory | project | sample | equipment | test
    model: type[R]
    sheet: Callable[[Case[R, V], tuple[Flag, ...]], Sheet]
    needs: Callable[[R], tuple[Ref, ...]] = asks_nothing  # what it asks of others
    # What others may ask of it.
    answers: Callable[[Case[R, V], Ref], object | None] = answers_nothing
    compute: Callable[[R, Inputs, Method | None], V] = computes_nothing
    results: Callable[[Case[R, V]], Mapping[str, Result]] = no_results
    detail: Callable[[Case[R, V]], Mapping[str, Any]] = no_detail  # for `show --json`
    rules: tuple[Rule[Case[R, V]], ...] = ()
    trace: Callable[[R, str], Any] | None = None  # what rules across records see
    blank: Blank | None = None  # what `new` writes
    compare: Callable[[Sequence[KeptResult], Method | None], Plot | None] | None = None
    # What it asks after these answers, of records that `needs` names.
    further: Callable[[R, Inputs], tuple[Ref, ...]] | None = None
    appendices: Callable[[Case[R, V]], tuple[Appendix, ...]] | None = None
    repeats: Callable[[Case[R, V], Case[R, V]], Compared] | None = None  # of two tests
    bench: Callable[[Case[R, V]], Bench] | None = None  # what is read, and how
    # What `next` says of a test that goes on.
    advise: Callable[[Case[R, V], Given, EarlierMean], Advice] | None = None
    # What a calibration, by its index, found amiss of equipment, for a method or (None)
    # for any: `calibrated.Amiss`.
    wrong: Callable[[Case[R, V], int, Method | None], Iterator[Any]] | None = None
    standards_of: str = ""  # the test whose standards its records name; empty: any
    answer_from_result: Callable[[Mapping[str, Any], Ref], object | None] | None = None
    """What an issued result, as kept, tells others; None: nothing is asked of it."""
    lines: Lines | None = None  # its list of readings
    units: Mapping[str, str] = field(default_factory=dict)  # reading → line of `units`
