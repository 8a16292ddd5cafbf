"""
Rules that look across records: they see a few facts of each test, not its outcome.

A kind says what those facts are (`trace`), so that two sheets can be laid side by side
without either being computed.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Any

from buildsite.kinds.answers import CALIBRATED
from buildsite.kinds.kind import Kind
from buildsite.record.flags import Doubt, Field, Known, Severity
from buildsite.values import dataclass


@dataclass(frozen=True)
class MoldUse:
    """A mold as weighed for one test."""

    mold: str
    on: date
    mass_kg: float
    resolution_kg: float
    weighed_with: str
    shown: str  # as written, with its unit
    field: Field


@dataclass(frozen=True)
class Use:
    """A piece of equipment in one test, on the day asked about."""

    equipment: str
    on: date
    specimens: int  # compacted with it, or in it


@dataclass(frozen=True)
class Trace:
    """What one test leaves for the others to be compared with."""

    file: str
    id: str
    molds: tuple[MoldUse, ...]
    readings: tuple[tuple[Field, tuple[str, ...]], ...]  # a point, all its readings
    alike: tuple[str, ...] = ()  # what a repeat of it has too: sample, method
    on: date | None = None
    uses: tuple[Use, ...] = ()
    standard: tuple[str, str, str, str] | None = None  # as `standards.find` asks for it


@dataclass(frozen=True)
class Repeated:
    """Two repeat tests by their files, compared."""

    earlier: str
    later: str
    words: str
    doubt: Doubt | None


def trace(kind: Kind[Any, Any], record: Any, file: str) -> Trace | None:
    """The trace of a record, where its kind leaves one, or names equipment."""
    found: Trace | None = kind.trace(record, file) if kind.trace is not None else None
    if found is not None and found.uses:
        return found
    uses = [
        Use(ref.id, ref.on, 0)
        for ref in kind.needs(record)
        if ref.asks in CALIBRATED and ref.on is not None
    ]
    if not uses:
        return found
    bare = found or Trace(file, record.id, (), ())
    return replace(bare, uses=tuple(dict.fromkeys(uses)))


@dataclass(frozen=True)
class Other:
    """
    Another test, as a flag names it.

    Flags may be printed in the report, and the customer of one project does not read of
    another's. How to mend a flag is told to the laboratory alone.
    """

    id: str
    file: str
    flagged: str  # the file that the flag is of

    @property
    def same(self) -> bool:
        """Whether both are of one project."""
        return self.file.split("/")[1:2] == self.flagged.split("/")[1:2]

    @property
    def in_report(self) -> str:
        """How the report names it."""
        return self.id if self.same else "a test of another project"

    @property
    def for_laboratory(self) -> str:
        """What is added for the laboratory."""
        return "" if self.same else f" (the other test is {self.id})"


def mold_mass_changed(traces: Sequence[Trace]) -> Iterator[tuple[str, Doubt]]:
    """A mold weighs otherwise than when it was last used."""
    uses: dict[tuple[str, str], list[tuple[date, str, MoldUse, str]]] = {}
    for one in traces:
        for use in one.molds:
            key = (use.mold, use.weighed_with)
            uses.setdefault(key, []).append((use.on, one.id, use, one.file))
    for found in uses.values():
        found.sort(key=lambda row: row[:2])
        for (on, id, last, then), (_, _, now, file) in pairwise(found):
            allowed = max(ALLOWED_KG, last.resolution_kg, now.resolution_kg) * 1.0001
            if abs(now.mass_kg - last.mass_kg) > allowed:
                other = Other(id, then, file)
                yield (
                    file,
                    Doubt(
                        field=now.field,
                        found=f"{now.shown} for mold {now.mold}",
                        expected=f"{last.shown}, as for {other.in_report} on {on}",
                        mend="weigh the empty mold again: soil left in it, a part "
                        f"exchanged, or a misread balance{other.for_laboratory}",
                    ),
                )


ALLOWED_KG = 0.005
"""A clean mold weighs the same within this, or within the balance's last place."""


def readings_in_two_tests(traces: Sequence[Trace]) -> Iterator[tuple[str, Doubt]]:
    """All readings of a point stand in another test too."""
    seen: dict[tuple[str, ...], tuple[str, str]] = {}
    for one in sorted(traces, key=lambda trace: trace.id):
        for field, readings in one.readings:
            first = seen.setdefault(readings, (one.id, one.file))
            if first[1] != one.file:
                other = Other(*first, one.file)
                mend = "look at both bench sheets: one was copied"
                yield (
                    one.file,
                    Doubt(
                        field=field,
                        found="the readings of a point of "
                        f"{other.in_report}, all of them",
                        expected="readings of its own",
                        mend=f"{mend}{other.for_laboratory}",
                    ),
                )


Across = Callable[[Sequence[Trace]], Iterable[tuple[str, Doubt]]]

ACROSS: tuple[tuple[Known, Across], ...] = (
    (
        Known(
            "mold-mass-changed",
            Severity.WARNING,
            "common practice",
            "A mold weighs otherwise than when it was last used.",
        ),
        mold_mass_changed,
    ),
    (
        Known(
            "readings-in-two-tests",
            Severity.WARNING,
            "common practice",
            "All readings of a point stand in another test too.",
        ),
        readings_in_two_tests,
    ),
)

REPEATS_APART = Known(
    "repeats-apart",
    Severity.WARNING,
    "the method's repeatability",
    "Two tests of one sample by one method differ by more than one operator's do.",
)

FOUND_WRONG = Known(
    "calibration-found-wrong",
    Severity.WARNING,
    "ISO/IEC 17025:2017, 6.4.9 and 7.10 (from memory)",
    "Tests relied on equipment that was found wrong since its last good calibration, "
    "or on a calibration declared wrong.",
)
DUE_BY_SPECIMENS = Known(
    "due-by-specimens",
    Severity.WARNING,
    "ASTM D1557-12e1, clause 7",
    "More specimens were made with a rammer or a mold since its last calibration than "
    "a standard allows.",
)
USED_OUT_OF_USE = Known(
    "used-while-out-of-use",
    Severity.WARNING,
    "ISO/IEC 17025:2017, 6.4.9 (from memory)",
    "A test that used equipment on or after the day it was taken out of use.",
)
EQUIPMENT = (FOUND_WRONG, DUE_BY_SPECIMENS, USED_OUT_OF_USE)
"""What `kinds/equipment/reliance.py` looks for."""

KNOWN = (*(known for known, _ in ACROSS), REPEATS_APART, *EQUIPMENT)
"""Every flag that shows only beside other records."""

EDITED = Known(
    "edited-after-review",
    Severity.WARNING,
    "ISO/IEC 17025:2017, 7.8.1.1: results are reviewed before they are released",
    "A record that is not as it was reviewed.",
)
"""Shows only beside the past: see `archive/edited_after_review.py`."""


def repeat_doubts(pairs: Sequence[Repeated]) -> Iterator[tuple[Known, str, Doubt]]:
    """Every pair of repeat tests that differ too much, doubted at the later one."""
    for pair in pairs:
        if pair.doubt is not None:
            yield REPEATS_APART, pair.later, pair.doubt


def doubts(traces: Sequence[Trace]) -> Iterator[tuple[Known, str, Doubt]]:
    """Every doubt that shows across records, with its flag and file."""
    for known, check in ACROSS:
        for file, doubt in check(traces):
            yield known, file, doubt
