"""
Rules across records, on a few facts of each test.

A kind gives these facts (`trace`), so that tests are compared without computing them.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Any

from buildsite.kinds.answers import CALIBRATED
from buildsite.kinds.kind import Kind
from buildsite.record.flags import Doubt, Field, Known, Severity
from buildsite.standards.cells import UNCHECKED
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
    """A piece of equipment used in one test, on a day."""

    equipment: str
    on: date
    specimens: int  # compacted with it, or in it


@dataclass(frozen=True)
class Trace:
    """The facts of one test, for comparison with others."""

    file: str
    id: str
    molds: tuple[MoldUse, ...]
    readings: tuple[tuple[Field, tuple[str, ...]], ...]  # a line, all its readings
    alike: tuple[str, ...] = ()  # common to its repeat tests: sample, method
    on: date | None = None
    uses: tuple[Use, ...] = ()
    standard: tuple[str, str, str, str] | None = None  # as for `standards.find`


@dataclass(frozen=True)
class Repeated:
    """Two repeat tests by their files, compared."""

    earlier: str
    later: str
    words: str
    doubt: Doubt | None


def trace(kind: Kind[Any, Any], record: Any, file: str) -> Trace | None:
    """Return the trace of a record, if its kind gives one or it names equipment."""
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
    Another test, as named in a flag.

    Reports print flags, and must not name a test of another customer's project. The
    corrective action is for the laboratory only.
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
        """Return its name in a report."""
        return self.id if self.same else "a test of another project"

    @property
    def for_laboratory(self) -> str:
        """Return what is added for the laboratory."""
        return "" if self.same else f" (the other test is {self.id})"


def mold_mass_changed(traces: Sequence[Trace]) -> Iterator[tuple[str, Doubt]]:
    """The mass of a mold differs from that in its last test."""
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
                        mend="weigh the empty mold again; check for soil left in it, "
                        f"an exchanged part or a misread balance{other.for_laboratory}",
                    ),
                )


ALLOWED_KG = 0.005
"""The mass of a clean mold is constant within this, or within the balance's step."""


def readings_in_two_tests(traces: Sequence[Trace]) -> Iterator[tuple[str, Doubt]]:
    """All readings of a line are the same as in another test."""
    seen: dict[tuple[str, ...], tuple[str, str]] = {}
    for one in sorted(traces, key=lambda trace: trace.id):
        for field, readings in one.readings:
            first = seen.setdefault(readings, (one.id, one.file))
            if first[1] != one.file:
                other = Other(*first, one.file)
                mend = "check both bench sheets; one was copied"
                yield (
                    one.file,
                    Doubt(
                        field=field,
                        found=f"all readings the same as in {other.in_report}",
                        expected="its own readings",
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
            "The mass of a mold differs from that in its last test.",
        ),
        mold_mass_changed,
    ),
    (
        Known(
            "readings-in-two-tests",
            Severity.WARNING,
            "common practice",
            "All readings of a line are the same as in another test.",
        ),
        readings_in_two_tests,
    ),
)

REPEATS_APART = Known(
    "repeats-apart",
    Severity.WARNING,
    "the method's repeatability",
    "Two tests of one sample by one method differ by more than the repeatability.",
)

FOUND_WRONG = Known(
    "calibration-found-wrong",
    Severity.WARNING,
    f"ISO/IEC 17025:2017, 6.4.9 and 7.10 ({UNCHECKED})",
    "Tests used equipment found out of tolerance since its last good calibration, or a "
    "calibration declared wrong.",
)
DUE_BY_SPECIMENS = Known(
    "due-by-specimens",
    Severity.WARNING,
    "ASTM D1557-12e1, clause 7",
    "A rammer or mold was used for more specimens since its last calibration than a "
    "standard allows.",
)
USED_OUT_OF_USE = Known(
    "used-while-out-of-use",
    Severity.WARNING,
    f"ISO/IEC 17025:2017, 6.4.9 ({UNCHECKED})",
    "A test used equipment on or after the date it was taken out of service.",
)
EQUIPMENT = (FOUND_WRONG, DUE_BY_SPECIMENS, USED_OUT_OF_USE)
"""The flags of `kinds/equipment/uses.py`."""

KNOWN = (*(known for known, _ in ACROSS), REPEATS_APART, *EQUIPMENT)
"""Every flag that shows only across records."""

EDITED = Known(
    "edited-after-review",
    Severity.WARNING,
    "ISO/IEC 17025:2017, 7.8.1.1: results are reviewed before they are released",
    "A record was edited after its review.",
)
"""Shows only with the history: see `archive/edited_after_review.py`."""


def repeat_doubts(pairs: Sequence[Repeated]) -> Iterator[tuple[Known, str, Doubt]]:
    """Return the doubt of each pair of repeat tests that differ too much."""
    for pair in pairs:
        if pair.doubt is not None:
            yield REPEATS_APART, pair.later, pair.doubt


def doubts(traces: Sequence[Trace]) -> Iterator[tuple[Known, str, Doubt]]:
    """Return every doubt across records, with its flag and file."""
    for known, check in ACROSS:
        for file, doubt in check(traces):
            yield known, file, doubt
