"""
THE function of the system: a record and its answers become results, flags, digests.

Everything here is a pure function of values. Files come in as digests, answers as
plain data; nothing is read, and nothing depends on the day it runs.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from functools import cached_property
from typing import Any

from buildsite.kinds import across
from buildsite.kinds.kind import Case, Inputs, Kind, Result
from buildsite.kinds.sheet import Sheet
from buildsite.record.canonical import canonical as written
from buildsite.record.canonical import digest
from buildsite.record.flags import Doubt, Flag, Known, Rule, Severity
from buildsite.record.source import Source
from buildsite.record.typed import without_blanks
from buildsite.soil.rounding import snap
from buildsite.standards.method import Method
from buildsite.standards.tables import find, standard
from buildsite.values import dataclass

NOT_USED = ("format",)
"""Fields of a record that are handed neither to the computation nor to a result."""


@dataclass(frozen=True)
class Judgement:
    """What the rules raise of a case: found once, when it is asked for."""

    rules: tuple[Rule[Any], ...]
    case: Case[Any, Any]
    source: Source

    @cached_property
    def flags(self) -> tuple[Flag, ...]:
        """Every flag of every rule, before anybody's acceptance is looked at."""
        found = doubts_of(self.rules, self.case)
        return tuple(flag_of(rule, doubt, self.source) for rule, doubt in found)


@dataclass(frozen=True)
class Outcome:
    """
    What became of one record.

    `given` are flags that no rule of its kind raises: references to nothing, what shows
    only beside other records. A record that is only asked for an answer is not judged.
    """

    kind: Kind[Any, Any]
    id: str
    source: Source
    status: str
    case: Case[Any, Any]
    inputs: Mapping[str, str]  # file → digest
    judgement: Judgement
    given: tuple[Flag, ...]

    @property
    def file(self) -> str:
        """Where the record stands."""
        return self.source.file

    @cached_property
    def flags(self) -> tuple[Flag, ...]:
        """Its flags in order, those that a person accepted marked."""
        everything = (*self.given, *self.judgement.flags)
        return in_order(mark_accepted(everything, self.case.record, self.source))

    @cached_property
    def used(self) -> str:
        """Digest of what was handed to the computation and the report."""
        return used_digest(self.source, self.case.inputs)

    @property
    def results(self) -> Mapping[str, Result]:
        """Results by name, as they are reported."""
        return self.case.results

    @property
    def blocked(self) -> bool:
        """Whether an error stands against a test that claims to be complete."""
        return self.status == "complete" and any(
            flag.severity is Severity.ERROR for flag in self.flags
        )

    def sheet(self) -> Sheet:
        """What the record shows. Made on demand: `check` never needs it."""
        sheet: Sheet = self.kind.sheet(self.case, self.flags)
        return sheet

    def detail(self) -> Mapping[str, Any]:
        """The kind's own part of `show --json`."""
        return self.kind.detail(self.case)


def plain(value: Any) -> Any:
    """
    Turn a value into what JSON has, in one way only.

    Readings and days become text as written, floats are snapped to ten digits.
    """
    if value is None or isinstance(value, str):
        return value
    if is_dataclass(value) and not isinstance(value, type):
        return {one.name: plain(getattr(value, one.name)) for one in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if isinstance(value, Decimal | date | datetime):
        return str(value)
    return snap(value) if isinstance(value, float) else value


def canonical(value: Any) -> bytes:
    """
    Write a value as canonical JSON: UTF-8, keys sorted, no white space.

    >>> canonical({"b": 1.0, "a": [Decimal("13.10"), None]})
    b'{"a":["13.10",null],"b":1.0}'
    """
    return written(plain(value))


def drop_blanks(value: Any) -> Any:
    """
    Drop what says nothing: None, empty texts, lists and mappings, at any depth.

    So a field that a later version of the program adds to an answer moves the digest
    of no record that does not have it.

    >>> drop_blanks({"a": None, "b": {"c": ""}, "d": [1, None], "e": False})
    {'d': [1, None], 'e': False}
    """
    if isinstance(value, Mapping):
        kept = {key: drop_blanks(item) for key, item in value.items()}
        return {key: item for key, item in kept.items() if item not in EMPTY}
    return [drop_blanks(item) for item in value] if isinstance(value, list) else value


EMPTY: tuple[Any, ...] = (None, "", [], {})


def used_digest(source: Source, inputs: Inputs) -> str:
    """
    Digest of the values that were handed to the computation and the report.

    Canonical form: `canonical` of ``{"answers": {question: answer}, "record": tree}``,
    the tree as written without blanks (as the reader leaves them out), comments, order
    and `NOT_USED`; a question is its three parts joined by a blank, and of an answer
    what says nothing is left out (`drop_blanks`).
    """
    tree = {key: node for key, node in source.tree.items() if key not in NOT_USED}
    answers = {" ".join(key): plain(answer) for key, answer in inputs.answers.items()}
    return digest(
        canonical({"record": without_blanks(tree), "answers": drop_blanks(answers)})
    )


def method_of(record: Any, test: str) -> Method | None:
    """
    Find the row of the standard that a record names, if it names one we hold.

    `test` is what the standard must be of, if not empty.
    """
    used = getattr(record, "standard", None)
    known = standard(used.designation) if used is not None else None
    if used is None or known is None or test not in ("", known.test):
        return None
    return find(used.designation, used.method, used.variant, used.edition or "")


def doubts_of(
    rules: Iterable[Rule[Any]], case: Case[Any, Any]
) -> Iterator[tuple[Rule[Any], Doubt]]:
    """Every doubt of every rule, with the rule that has it."""
    for rule in rules:
        for doubt in rule.check(case):
            yield rule, doubt


def flag_of(rule: Rule[Any] | Known, doubt: Doubt, source: Source) -> Flag:
    """Give a doubt its name, weight, basis, file, line and column."""
    line, column = source.place(doubt.field)
    return Flag(
        flag=rule.flag,
        severity=doubt.severity or rule.severity,
        basis=doubt.basis or rule.basis,
        file=source.file,
        line=line,
        column=column,
        field=doubt.field,
        found=doubt.found,
        expected=doubt.expected,
        mend=doubt.mend,
    )


ERROR_ACCEPTED = Known(
    "error-accepted",
    Severity.WARNING,
    "common practice",
    "An error that somebody accepted: only warnings can be.",
)
NOTHING_TO_ACCEPT = Known(
    "nothing-to-accept",
    Severity.NOTE,
    "common practice",
    "An acceptance of a flag that the record does not raise.",
)
KNOWN = (ERROR_ACCEPTED, NOTHING_TO_ACCEPT)

BESIDE_OTHERS = frozenset(known.flag for known in (*across.KNOWN, across.EDITED))
"""Flags that show only beside other records: one that is not here may not have been
looked for, as when a single file is checked."""

TO_ISSUE = {
    "moved-since-issue": "take the line out: having moved is never accepted; issue an "
    "amendment, or undo what moved it"
}
"""Flags of what was issued, which no record accepts, and what to do instead."""


def mark_accepted(flags: Iterable[Flag], record: Any, source: Source) -> list[Flag]:
    """Mark the warnings that a person accepted, and doubt what can't be accepted."""
    accepted = getattr(record, "accepted", ())
    done = list(flags)
    for i, one in enumerate(accepted):
        here = [k for k, flag in enumerate(done) if flag.flag == one.flag]
        for k in here:
            if done[k].severity is not Severity.ERROR:
                done[k] = replace(
                    done[k], accepted_by=one.by, accepted_reason=one.reason
                )
        if any(done[k].severity is Severity.ERROR for k in here):
            doubt = Doubt(
                ("accepted", i),
                f"{one.flag}, an error",
                "a warning",
                "mend what the error names: it can't be accepted",
            )
            done.append(flag_of(ERROR_ACCEPTED, doubt, source))
        elif not here and one.flag not in BESIDE_OTHERS:
            doubt = Doubt(
                ("accepted", i),
                one.flag,
                "a flag that this record raises",
                TO_ISSUE.get(one.flag, "take the line out: what it accepted is gone"),
            )
            done.append(flag_of(NOTHING_TO_ACCEPT, doubt, source))
    return done


def outcome(
    kind: Kind[Any, Any],
    source: Source,
    record: Any,
    inputs: Inputs,
    *,
    files: Mapping[str, str],
    flags: tuple[Flag, ...] = (),
) -> Outcome:
    """
    Compute one record and judge it.

    Parameters
    ----------
    kind, source, record
        What was written, and the kind that reads it.
    inputs
        The answers of the records it names.
    files
        Files those answers came from, with their digests.
    flags
        Flags already raised: references to nothing, rules across records.
    """
    method = method_of(record, kind.standards_of)
    values = kind.compute(record, inputs, method)
    case = Case(record, inputs, method, values)
    case = replace(case, results=kind.results(case))
    return Outcome(
        kind=kind,
        id=getattr(record, "id", "lab"),
        source=source,
        status=getattr(record, "status", ""),
        case=case,
        inputs=dict(sorted({**files, source.file: f"sha256:{source.sha256}"}.items())),
        judgement=Judgement(kind.rules, case, source),
        given=flags,
    )


def with_flags(made: Outcome, more: Iterable[Flag]) -> Outcome:
    """Return an outcome with flags that show only beside other records."""
    return replace(made, given=(*made.given, *more))


def in_order(flags: Iterable[Flag]) -> tuple[Flag, ...]:
    """Sort flags by where they stand."""
    return tuple(sorted(flags, key=lambda flag: flag.order))
