"""
The outcome of a record and its answers: results, flags, digests.

Everything here is a pure function of values: no file is read, and nothing depends on
the date it runs.
"""

from collections.abc import Iterable, Mapping
from dataclasses import field, replace
from functools import cached_property
from typing import Any, Protocol

from buildsite.kinds import across
from buildsite.kinds.answers import FIRST_FORM, ConfirmedCells
from buildsite.kinds.kind import Case, Inputs, Kind, Ref, Result
from buildsite.kinds.sheet import Sheet
from buildsite.kinds.used import used_digest, used_tree
from buildsite.kinds.used_form import current_form
from buildsite.record.faults import Place
from buildsite.record.flags import Doubt, Field, Flag, Known, Rule, Severity
from buildsite.record.source import Source
from buildsite.standards.confirmed import with_confirmed
from buildsite.standards.method import Method
from buildsite.standards.tables import find, standard
from buildsite.values import dataclass


@dataclass(frozen=True)
class Findings:
    """
    What is found of a case on demand, once: flags, digest of values used, answers.

    Outcomes of one case share them, whatever the files are called that it came from.
    """

    kind: Kind[Any, Any]
    case: Case[Any, Any]
    source: Source
    _answers: dict[Ref, Any] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def flags(self) -> tuple[Flag, ...]:
        """Return every flag of every rule, before acceptance."""
        return tuple(
            flag_of(rule, doubt, self.source)
            for rule in self.kind.rules
            for doubt in rule.check(self.case)
        )

    @cached_property
    def used(self) -> str:
        """Return the digest of the values used by the computation and the report."""
        return used_digest(self.source, self.case.inputs)

    @cached_property
    def detail(self) -> Mapping[str, Any]:
        """Return the kind's own part of `show --json`."""
        return self.kind.detail(self.case)

    def answer(self, ref: Ref) -> Any:
        """Return the answer to a question of another record; None if it gives none."""
        if ref not in self._answers:
            self._answers[ref] = self.kind.answers(self.case, ref)
        return self._answers[ref]


@dataclass(frozen=True)
class Outcome:
    """
    The outcome of one record.

    `given` are flags that no rule of its kind raises: missing references, and flags
    across records. The rules run only when flags are asked for.
    """

    kind: Kind[Any, Any]
    id: str
    source: Source
    status: str
    case: Case[Any, Any]
    inputs: Mapping[str, str]  # file → digest
    findings: Findings
    given: tuple[Flag, ...]

    @property
    def file(self) -> str:
        """Path of the record."""
        return self.source.file

    @cached_property
    def flags(self) -> tuple[Flag, ...]:
        """Its flags in order, accepted ones marked."""
        everything = (*self.given, *self.findings.flags)
        return in_order(mark_accepted(everything, self.case.record, self.source))

    @property
    def used(self) -> str:
        """Digest of the values used by the computation and the report."""
        return self.findings.used

    def answer(self, ref: Ref) -> Any:
        """Return the answer to a question of another record; None if it gives none."""
        return self.findings.answer(ref)

    def used_in(self, form: int) -> str:
        """
        Return the digest in the form of an issued item, to compare with the item's.

        Empty for a form that this program does not know: a newer one.
        """
        if form == current_form():
            return self.used
        known = FIRST_FORM <= form < current_form()
        return used_digest(self.source, self.case.inputs, form) if known else ""

    @property
    def title(self) -> str:
        """Title of its kind, in the standard's term where that is a quantity."""
        method, name = self.case.method, self.kind.name.replace("-", "_")
        if method is None or name not in method.words or name == "specific_gravity":
            return self.kind.title
        return method.word(name).capitalize()

    @property
    def results(self) -> Mapping[str, Result]:
        """Results by name, as they are reported."""
        return self.case.results

    @property
    def governing(self) -> tuple[str, ...]:
        """Names of the results that field tests are judged by; of others none."""
        return self.kind.governing(self.case)

    @property
    def blocked(self) -> bool:
        """Whether it is complete and has an error."""
        return self.status == "complete" and any(
            flag.severity is Severity.ERROR for flag in self.flags
        )

    def sheet(self) -> Sheet:
        """Return the sheet of the record, made on demand: `check` never needs it."""
        sheet: Sheet = self.kind.sheet(self.case, self.flags)
        return sheet

    def detail(self) -> Mapping[str, Any]:
        """Return the kind's own part of `show --json`."""
        return self.findings.detail


def method_of(record: Any, test: str) -> Method | None:
    """
    Return the method that a record names, if it is on file.

    `test` is the test of its standard, if not empty.
    """
    used = getattr(record, "standard", None)
    known = standard(used.designation) if used is not None else None
    if used is None or known is None or test not in ("", known.test):
        return None
    return find(used.designation, used.method, used.variant, used.edition or "")


class Placed(Protocol):
    """A file whose values have their places."""

    @property
    def file(self) -> str:
        """Its path in the archive."""

    def place(self, field: Field) -> Place:
        """Return line and column of a value, or of its nearest parent."""


def flag_of(rule: Rule[Any] | Known, doubt: Doubt, source: Placed) -> Flag:
    """Return the flag of a doubt, with name, severity, source and place."""
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
        unasked=doubt.unasked,
    )


ERROR_ACCEPTED = Known(
    "error-accepted",
    Severity.WARNING,
    "common practice",
    "An error is accepted; only warnings can be.",
)
NOTHING_TO_ACCEPT = Known(
    "nothing-to-accept",
    Severity.NOTE,
    "common practice",
    "A flag is accepted that the record does not raise.",
)
KNOWN = (ERROR_ACCEPTED, NOTHING_TO_ACCEPT)

BESIDE_OTHERS = frozenset(known.flag for known in (*across.KNOWN, *across.BY_HISTORY))
"""Flags across records: one not raised may not have been looked for, as when a single
file is checked."""

TO_ISSUE = {
    "moved-since-issue": "delete the line; a change since issue can't be accepted: "
    "issue an amendment, or undo the change"
}
"""Flags of issued reports, which no record accepts, and the corrective action."""


def mark_accepted(flags: Iterable[Flag], record: Any, source: Source) -> list[Flag]:
    """Mark the accepted warnings, and doubt acceptances that are not possible."""
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
                "correct the error; it can't be accepted",
            )
            done.append(flag_of(ERROR_ACCEPTED, doubt, source))
        elif not here and one.flag not in BESIDE_OTHERS:
            doubt = Doubt(
                ("accepted", i),
                one.flag,
                "a flag that this record raises",
                TO_ISSUE.get(one.flag, "delete the line; the flag is no longer raised"),
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
    Compute one record and check it.

    `inputs` are the answers of the records it names, `files` their files with digests,
    `flags` those already raised: missing references, rules across records.
    """
    method = method_of(record, kind.standards_of)
    confirmed = inputs.get(ConfirmedCells, "lab")
    if method is not None and confirmed is not None:
        method = with_confirmed(method, confirmed.cells)
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
        findings=Findings(kind, case, source),
        given=flags,
    )


def same_used(one: Outcome, other: Outcome) -> bool:
    """Whether two outcomes of a record used the same; by their texts, if that tells."""
    was, now = one.case.inputs.answers, other.case.inputs.answers
    if was is not now and (
        was.keys() != now.keys() or any(was[key] is not now[key] for key in was)
    ):
        return one.used == other.used
    return used_tree(one.source) == used_tree(other.source)


def with_flags(made: Outcome, more: Iterable[Flag]) -> Outcome:
    """Return an outcome with flags across records added."""
    return replace(made, given=(*made.given, *more))


def in_order(flags: Iterable[Flag]) -> tuple[Flag, ...]:
    """Return flags sorted by place."""
    return tuple(sorted(flags, key=lambda flag: flag.order))
