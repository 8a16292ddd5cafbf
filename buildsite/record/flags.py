"""Flags: what a check found, where, and the corrective action."""

from collections.abc import Callable, Iterable
from enum import StrEnum
from typing import Generic, NamedTuple, Protocol, TypeVar

from buildsite.record.unseen import printable
from buildsite.values import dataclass

C = TypeVar("C")
R_contra = TypeVar("R_contra", contravariant=True)

Field = tuple[str | int, ...]
"""Path of a value in a record, such as ``("points", 1, "mold_mass")``."""


class Severity(StrEnum):
    """Severity of a flag: an error blocks issue, a warning needs a decision."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for the most severe."""
        return ("error", "warning", "note").index(self.value)


def field_path(field: Field) -> str:
    """
    Return a field as text.

    >>> field_path(("points", 1, "container_and_dry"))
    'points[1].container_and_dry'
    >>> field_path(())
    ''
    """
    text = ""
    for part in field:
        if isinstance(part, int):
            text += f"[{part}]"
        else:
            text += f".{part}" if text else part
    return text


NUMBERED_FROM_0 = ("revision",)
"""Lists counted from 0: r0 is the first issue."""


def field_label(field: Field) -> str:
    """
    Return a field as a bench sheet numbers it: entries of a list count from 1.

    >>> field_label(("points", 1, "container_and_dry"))
    'point 2, container_and_dry'
    >>> field_label(("revisions", 0))
    'revision 0'
    >>> field_label(("calibrations", 0, "on")), field_label(("equipment", "mold"))
    ('calibration 1, on', 'equipment.mold')
    >>> field_label(("check_masses", 0))
    'check_mass 1'
    """
    labels: list[str] = []
    path: Field = ()
    for part in field:
        if isinstance(part, int):
            name = field_path(path) or "entry"
            # A mass is one of masses, a class already one.
            many = "es" if name.endswith("sses") else "s"
            one = name if name.endswith("ss") else name.removesuffix(many)
            labels.append(f"{one} {part + (one not in NUMBERED_FROM_0)}")
            path = ()
        else:
            path = (*path, part)
    return ", ".join([*labels, field_path(path)] if path else labels)


@dataclass(frozen=True)
class Doubt:
    """
    What a rule found, without file and line.

    ``severity`` and ``basis`` replace the rule's own for one case: it is less severe,
    or a clause of the record's standard applies.
    ``unasked``: no answer mends it, only what is still to be entered or issued; it is
    told, but nobody is asked to read again or to say why.
    """

    field: Field
    found: str
    expected: str
    mend: str
    severity: Severity | None = None
    basis: str | None = None
    unasked: bool = False


class Known(NamedTuple):
    """A flag in the list of checks: name, severity, source, condition."""

    flag: str
    severity: Severity
    basis: str
    says: str


@dataclass(frozen=True)
class Rule(Generic[R_contra]):
    """A check and its permanent name, never changed and never reused."""

    flag: str
    severity: Severity
    basis: str
    check: Callable[[R_contra], Iterable[Doubt]]

    @property
    def known(self) -> Known:
        """Entry in the list of checks; its text is the first line of the docstring."""
        says = (self.check.__doc__ or "").strip().splitlines()[0]
        return Known(self.flag, self.severity, self.basis, says)


class Decorator(Protocol):
    """Makes a rule of a check."""

    def __call__(self, check: Callable[[C], Iterable[Doubt]], /) -> Rule[C]: ...


def _rule(flag: str, severity: Severity, basis: str) -> Decorator:
    def rule(check: Callable[[C], Iterable[Doubt]]) -> Rule[C]:
        return Rule(flag, severity, basis, check)

    return rule


def error(flag: str, basis: str) -> Decorator:
    """Make a check a rule that raises this error."""
    return _rule(flag, Severity.ERROR, basis)


def warning(flag: str, basis: str) -> Decorator:
    """Make a check a rule that raises this warning."""
    return _rule(flag, Severity.WARNING, basis)


def note(flag: str, basis: str) -> Decorator:
    """Make a check a rule that raises this note."""
    return _rule(flag, Severity.NOTE, basis)


@dataclass(frozen=True)
class Flag:
    """A doubt with its name, severity, basis and place."""

    flag: str
    severity: Severity
    basis: str
    file: str
    line: int
    column: int
    field: Field
    found: str
    expected: str
    mend: str
    accepted_by: str = ""
    accepted_reason: str = ""
    unasked: bool = False

    @property
    def message(self) -> str:
        """Found, expected and corrective action on one line."""
        return f"{self.found_and_expected}; {self.mend}"

    @property
    def found_and_expected(self) -> str:
        """Found and expected; the corrective action is for the laboratory only."""
        where = f"{field_label(self.field)}: " if self.field else ""
        return f"{where}found {self.found}; expected: {self.expected}"

    @property
    def order(self) -> tuple[str, int, int, str, str]:
        """Sort key: by file and line."""
        return (self.file, self.line, self.column, self.flag, field_path(self.field))

    def __str__(self) -> str:
        """Return a first line for editors and CI, and the rest below it."""
        lines = [
            f"{self.file}:{self.line}:{self.column}: {self.severity}: {self.flag}",
            f"    {self.found_and_expected}",
            f"    corrective action: {self.mend}",
        ]
        if self.accepted_by:
            lines.append(f"    accepted by {self.accepted_by}: {self.accepted_reason}")
        return "\n".join(map(printable, lines))


def new_flags(flags: Iterable[Flag], before: Iterable[Flag]) -> tuple[Flag, ...]:
    """Return the flags that were not there before, whatever their lines and words."""
    known = {(flag.flag, flag.field, flag.severity) for flag in before}
    return tuple(
        flag for flag in flags if (flag.flag, flag.field, flag.severity) not in known
    )
