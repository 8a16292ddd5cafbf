"""What every kind of record provides, and how one record asks another."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import field
from datetime import date
from importlib import import_module
from typing import Any, Generic, TypeVar

from buildsite.kinds.bench_spec import Advice, Bench, EarlierMean, Given
from buildsite.kinds.blank import Blank, Measured, Occasion
from buildsite.kinds.follows import Follow
from buildsite.kinds.neighbors import Neighbor
from buildsite.kinds.sheet import Plot, Sheet, Table
from buildsite.kinds.significance import Significance
from buildsite.record.flags import Doubt, Field, Flag, Rule
from buildsite.record.reading import Model
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method
from buildsite.values import dataclass

R = TypeVar("R", bound=Model)
V = TypeVar("V")
A = TypeVar("A")

KeptResult = tuple[str, Mapping[str, Any]]
"""A revision's name, and its result as kept."""


@dataclass(frozen=True)
class Ref:
    """
    A question to another record.

    `asks` is the class of the answer; `kinds` the kinds that may be named there (empty:
    any test); `about` narrows the question, as staff codes do for the laboratory. A
    `bare` question is answered from the record alone, without its own questions: so a
    test can ask its sample, which asks the test.
    """

    asks: type
    kinds: tuple[str, ...]
    id: str
    field: Field
    on: date | None = None
    about: tuple[str, ...] = ()
    silent: bool = False  # no answer is not a fault
    bare: bool = False

    @property
    def key(self) -> tuple[str, str, str]:
        """Return the key of the answer."""
        return (self.asks.__name__, self.id, self.on.isoformat() if self.on else "")


@dataclass(frozen=True)
class Inputs:
    """The answers to a record's questions; none for a record computed by itself."""

    answers: Mapping[tuple[str, str, str], Any] = field(default_factory=dict)
    alone: bool = False

    def get(self, asks: type[A], id: str, on: date | None = None) -> A | None:
        """Return the answer of that class about that record, as of that day."""
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
    """A record with its answers, method and values, for rules and sheets."""

    record: R
    inputs: Inputs
    method: Method | None
    values: V
    results: Mapping[str, Result] = field(default_factory=dict)

    def cell(self, name: str) -> Cell | None:
        """Return a cell of the method, if there is one."""
        return self.method.optional(name) if self.method is not None else None

    def word(self, name: str) -> str:
        """Return the standard's word for a thing, else the name in plain words."""
        plain = name.replace("_", " ")
        return self.method.word(name) if self.method is not None else plain


@dataclass(frozen=True)
class Appendix:
    """A page below a test's own, for the laboratory."""

    folder: str
    title: str
    sheet: Sheet


@dataclass(frozen=True)
class Compared:
    """The comparison of two repeat tests, with a doubt if they differ too much."""

    words: str
    doubt: Doubt | None


@dataclass(frozen=True)
class Lines:
    """
    The list of a record whose lines a report counts from 1.

    `name` is that of the list (points), `one` the word for a line (point). `values`
    are those of a line that `diff` shows: name in `show --json`, unit, decimals.
    """

    name: str
    one: str
    values: tuple[tuple[str, str, int], ...] = ()


def late(module: str, name: str) -> Callable[..., Any]:
    """Return a function that is imported when called: few commands need it."""

    def call(*args: Any) -> Any:
        return getattr(import_module(module), name)(*args)

    return call


def no_values(record: Model, inputs: Inputs, method: Method | None) -> Any:
    """Return no values: this kind describes, and does not measure."""
    return None


@dataclass(frozen=True)
class Kind(Generic[R, V]):
    """One kind of record. The list of them is `all_kinds`."""

    name: str  # as in `kind: moisture-density`
    title: str  # as displayed
    group: str  # laboratory | project | sample | equipment | test
    model: type[R]
    sheet: Callable[[Case[R, V], tuple[Flag, ...]], Sheet]
    needs: Callable[[R], tuple[Ref, ...]] = lambda record: ()  # its questions
    # Its answers to other records.
    answers: Callable[[Case[R, V], Ref], object | None] = lambda case, ref: None
    compute: Callable[[R, Inputs, Method | None], V] = no_values
    results: Callable[[Case[R, V]], Mapping[str, Result]] = lambda case: {}
    # Names of the results that field tests are judged by, of a case that has them.
    governing: Callable[[Case[R, V]], tuple[str, ...]] = lambda case: ()
    detail: Callable[[Case[R, V]], Mapping[str, Any]] = lambda case: {}  # `--json`
    rules: tuple[Rule[Case[R, V]], ...] = ()
    trace: Callable[[R, str], Any] | None = None  # for rules across records
    blank: Blank | None = None  # what `new` writes
    compare: Callable[[Sequence[KeptResult], Method | None], Plot | None] | None = None
    # The points of two results, side by side.
    compare_points: (
        Callable[[KeptResult, KeptResult, Method | None], Table | None] | None
    ) = None
    # What the difference of two results as kept is held against.
    significance: (
        Callable[[Mapping[str, Any], Mapping[str, Any], Case[R, V]], Significance]
        | None
    ) = None
    # Further questions after these answers, to records in `needs`.
    further: Callable[[R, Inputs], tuple[Ref, ...]] | None = None
    appendices: Callable[[Case[R, V]], tuple[Appendix, ...]] | None = None
    # How each number came about: `kinds.steps.Steps`, for a page that shows them.
    working: Callable[[Case[R, V]], tuple[Any, ...]] | None = None
    repeats: Callable[[Case[R, V], Case[R, V]], Compared] | None = None  # of two tests
    # What a test is compared with the tests around it by; None: it is not.
    neighbor: Callable[[Case[R, V]], Neighbor | None] | None = None
    bench: Callable[[Case[R, V]], Bench] | None = None
    # What `enter` asks of a record besides readings; of a part of it, if one is named.
    particulars: Callable[[Case[R, V], str], Bench] | None = None
    # The advice of `next` in a test in progress.
    advise: Callable[[Case[R, V], Given, EarlierMean], Advice] | None = None
    # The faults that a calibration (by index) found, for a method or any (None).
    wrong: Callable[[Case[R, V], int, Method | None], Iterator[Any]] | None = None
    # The faults that a calibration (by index) of a part (a bag of sand) found.
    wrong_part: Callable[[Case[R, V], str, int], Iterator[Any]] | None = None
    measured: tuple[Measured, ...] | None = None  # at a calibration; None: no equipment
    occasions: tuple[Occasion, ...] = ()  # where `calibrate` enters several things
    lasts: bool = False  # a test that may not be removed, issued or not
    folder: str = "tests"  # of a test's records, within its project
    # What becomes of its verdict, from the older of two results to the newer.
    follows: Callable[[Mapping[str, Any], Mapping[str, Any]], Follow | None] | None = (
        None
    )
    standards_of: str = ""  # the test whose standards its records name; empty: any
    answer_from_result: Callable[[Mapping[str, Any], Ref], object | None] | None = None
    """Answers from an issued result as kept; None: the kind answers nothing."""
    # Its results and their SI units, columns of results.csv; none: it is no row there.
    reports: tuple[tuple[str, str], ...] = ()
    lines: Lines | None = None  # its list of readings
    units: Mapping[str, str] = field(default_factory=dict)  # reading → line of `units`
