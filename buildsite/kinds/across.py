"""Rules across records, on the trace of each test."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from itertools import pairwise

from buildsite.kinds import across_field, across_papers, neighbors
from buildsite.kinds.traces import ContainerUse, MoldUse, Repeated, Trace
from buildsite.record.flags import Doubt, Known, Severity
from buildsite.standards.cells import UNCHECKED
from buildsite.values import dataclass


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


CONTAINER_KG, CONTAINER_PART = 0.0001, 0.001
"""The mass of a clean container is constant within 0.1 g, or 0.1 % of a heavy one, or
the balance's step: common practice, for rust, wear and a little soil. 0.1 g moves a
water content of 15 % in 100 g of dry soil by 0.015 points: 15 · 0.1/100."""


Weighing = tuple[Trace, ContainerUse]


def same_container(one: ContainerUse, other: ContainerUse) -> bool:
    """Whether two weighings may be of one container, empty and clean."""
    allowed = max(
        CONTAINER_KG,
        CONTAINER_PART * max(one.mass_kg, other.mass_kg),
        one.resolution_kg,
        other.resolution_kg,
    )
    return abs(one.mass_kg - other.mass_kg) <= allowed * 1.0001


def of_other_tests(here: Weighing, weighings: Iterable[Weighing]) -> Iterator[Weighing]:
    """Yield the weighings of other tests."""
    return (one for one in weighings if one[0].file != here[0].file)


def agrees(here: Weighing, weighings: Iterable[Weighing]) -> bool:
    """Whether a weighing agrees with one of another test."""
    others = of_other_tests(here, weighings)
    return any(same_container(here[1], use) for _, use in others)


def container_doubt(here: Weighing, earlier: Weighing) -> Doubt:
    """Return the doubt of a container that weighed otherwise in another test."""
    then, last = earlier
    other = Other(then.id, then.file, here[0].file)
    on = f" on {last.on}" if last.on is not None else ""
    return Doubt(
        field=here[1].field,
        found=f"{here[1].shown} for empty container {here[1].label}",
        expected=f"{last.shown}, as for {other.in_report}{on}",
        mend="weigh the empty container again, or check number and mass against the "
        "bench sheet; no action if another container now has this number"
        f"{other.for_laboratory}",
    )


def container_mass_changed(traces: Sequence[Trace]) -> Iterator[tuple[str, Doubt]]:
    """
    An empty container has another mass than the same number in tests around it.

    The first of a number is questioned only once later ones agree with one another.
    """
    for weighings in container_weighings(traces).values():
        for i, here in enumerate(weighings):
            before = list(of_other_tests(here, weighings[max(i - NEAR, 0) : i]))
            after = list(of_other_tests(here, weighings[i + 1 : i + 1 + NEAR]))
            if agrees(here, (*before, *after)):
                continue
            if before:
                yield here[0].file, container_doubt(here, before[-1])
            elif any(agrees(one, after) for one in after):
                yield here[0].file, container_doubt(here, after[0])


NEAR = 5
"""Weighings of one number, before and after, that are compared: a new container under
an old number agrees with the next ones, an error of long ago excuses none today."""


def container_weighings(traces: Sequence[Trace]) -> dict[str, list[Weighing]]:
    """Return the weighings of each container by its label, the earliest first."""
    found: dict[str, list[Weighing]] = {}
    for one in sorted(traces, key=lambda trace: (str(trace.on or ""), trace.id)):
        for use in one.containers:
            found.setdefault(use.label, []).append((one, use))
    return found


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
            "container-mass-changed",
            Severity.WARNING,
            "common practice",
            "An empty container has another mass than its number in tests around it.",
        ),
        container_mass_changed,
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
    *across_papers.ACROSS,
    *across_field.ACROSS,
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
RELIED_ON_WRONG = Known(
    "relied-on-wrong-calibration",
    Severity.WARNING,
    f"ISO/IEC 17025:2017, 6.4.9 and 7.10 ({UNCHECKED})",
    "A test relied on equipment that was found out of tolerance, or on a calibration "
    "declared wrong, and nobody has assessed it.",
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
EQUIPMENT = (FOUND_WRONG, RELIED_ON_WRONG, DUE_BY_SPECIMENS, USED_OUT_OF_USE)
"""The flags of `kinds/equipment/uses.py`."""

KNOWN = (*(known for known, _ in ACROSS), REPEATS_APART, neighbors.FAR, *EQUIPMENT)
"""Every flag that comes from comparing records."""

EDITED = Known(
    "edited-after-review",
    Severity.WARNING,
    "ISO/IEC 17025:2017, 7.8.1.1: results are reviewed before they are released",
    "A record was edited after its review.",
)
"""Shows only with the history: see `archive/edited_after_review.py`."""

EDITED_AFTER_CHECK = Known(
    "edited-after-entry-check",
    Severity.WARNING,
    f"ISO/IEC 17025:2017, 7.11.6 ({UNCHECKED})",
    "A reading was entered or changed after the entry was checked.",
)
CHECKED_BY_TYPIST = Known(
    "entry-checked-by-typist",
    Severity.WARNING,
    f"ISO/IEC 17025:2017, 7.11.6 ({UNCHECKED})",
    "The entry was checked by a person who entered readings of the test.",
)
BY_HISTORY = (EDITED, EDITED_AFTER_CHECK, CHECKED_BY_TYPIST)
"""Show only with the history: the entry's check, see `archive/entry_checks.py`."""


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
