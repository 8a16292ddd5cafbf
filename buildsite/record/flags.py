"""Flags: what a check raises, where, and how to mend it."""

from collections.abc import Callable, Iterable
from enum import StrEnum
from typing import Generic, NamedTuple, Protocol, TypeVar

from buildsite.values import dataclass

C = TypeVar("C")
R_contra = TypeVar("R_contra", contravariant=True)

Field = tuple[str | int, ...]
"""The way to a value inside a record, such as ``("points", 1, "mold_mass")``."""


class Severity(StrEnum):
    """How much a flag weighs: an error blocks issue, a warning wants a person."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for the heaviest."""
        return ("error", "warning", "note").index(self.value)


def field_path(field: Field) -> str:
    """
    Write a field as a person does.

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
"""Entries whose own number is their place: r0 is the first issue."""


def field_label(field: Field) -> str:
    """
    Write a field as a sheet of paper numbers it: entries of a list count from 1.

    >>> field_label(("points", 1, "container_and_dry"))
    'point 2, container_and_dry'
    >>> field_label(("revisions", 0))
    'revision 0'
    >>> field_label(("calibrations", 0, "on")), field_label(("equipment", "mold"))
    ('calibration 1, on', 'equipment.mold')
    >>> field_label(("check_masses", 0))
    'check_mass 1'
    """
    told: list[str] = []
    path: Field = ()
    for part in field:
        if isinstance(part, int):
            name = field_path(path) or "entry"
            # A mass is one of masses, a class already one.
            many = "es" if name.endswith("sses") else "s"
            one = name if name.endswith("ss") else name.removesuffix(many)
            told.append(f"{one} {part + (one not in NUMBERED_FROM_0)}")
            path = ()
        else:
            path = (*path, part)
    return ", ".join([*told, field_path(path)] if path else told)


@dataclass(frozen=True)
class Doubt:
    """
    What a rule saw. It knows neither the file nor the line.

    ``severity`` and ``basis`` stand in for the rule's own where the case at hand
    weighs less, or rests on a clause of the standard that the record names.
    """

    field: Field
    found: str
    expected: str
    mend: str
    severity: Severity | None = None
    basis: str | None = None


class Known(NamedTuple):
    """A flag as the list of checks shows it: name, weight, basis, what it sees."""

    flag: str
    severity: Severity
    basis: str
    says: str


@dataclass(frozen=True)
class Rule(Generic[R_contra]):
    """A check: a name that is never changed nor used again, and its generator."""

    flag: str
    severity: Severity
    basis: str
    check: Callable[[R_contra], Iterable[Doubt]]

    @property
    def known(self) -> Known:
        """What the rule looks for: the first line of its check's docstring."""
        says = (self.check.__doc__ or "").strip().splitlines()[0]
        return Known(self.flag, self.severity, self.basis, says)


class Decorator(Protocol):
    """What makes a rule of a check."""

    def __call__(self, check: Callable[[C], Iterable[Doubt]], /) -> Rule[C]: ...


def _rule(flag: str, severity: Severity, basis: str) -> Decorator:
    def made(check: Callable[[C], Iterable[Doubt]]) -> Rule[C]:
        return Rule(flag, severity, basis, check)

    return made


def error(flag: str, basis: str) -> Decorator:
    """Make a check the rule that raises an error of this name."""
    return _rule(flag, Severity.ERROR, basis)


def warning(flag: str, basis: str) -> Decorator:
    """Make a check the rule that raises a warning of this name."""
    return _rule(flag, Severity.WARNING, basis)


def note(flag: str, basis: str) -> Decorator:
    """Make a check the rule that raises a note of this name."""
    return _rule(flag, Severity.NOTE, basis)


@dataclass(frozen=True)
class Flag:
    """A doubt with its name, weight, basis and place."""

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

    @property
    def message(self) -> str:
        """What was found, what was expected, how to mend it, in one line."""
        return f"{self.seen}; {self.mend}"

    @property
    def seen(self) -> str:
        """What was found and expected: how to mend it is for the laboratory alone."""
        where = f"{field_label(self.field)}: " if self.field else ""
        return f"{where}found {self.found}; expected {self.expected}"

    @property
    def order(self) -> tuple[str, int, int, str, str]:
        """Sort key: by file and line."""
        return (self.file, self.line, self.column, self.flag, field_path(self.field))

    def __str__(self) -> str:
        """Write the first line for editors and CI, the rest for cold fingers."""
        where = f"{field_label(self.field)}: " if self.field else ""
        lines = [
            f"{self.file}:{self.line}:{self.column}: {self.severity}: {self.flag}",
            f"    {where}found {self.found}; expected {self.expected}",
            f"    mend: {self.mend}",
        ]
        if self.accepted_by:
            lines.append(f"    accepted by {self.accepted_by}: {self.accepted_reason}")
        return "\n".join(lines)
