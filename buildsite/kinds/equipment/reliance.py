"""
Which tests relied on what: on a calibration found wrong, on a rammer since it was set.

Equipment can't see the tests that used it, and a test can't see what was found later:
only here are both at hand.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from buildsite.kinds.across import DUE_BY_SPECIMENS, FOUND_WRONG, USED_OUT_OF_USE, Trace
from buildsite.kinds.equipment.calibrations import Amiss, in_force
from buildsite.kinds.kind import Case, Inputs, Kind
from buildsite.record.flags import Doubt, Known
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method
from buildsite.standards.tables import find
from buildsite.values import dataclass


@dataclass(frozen=True)
class Piece:
    """A piece of equipment, as written."""

    file: str
    kind: Kind[Any, Any]
    record: Any

    @property
    def case(self) -> Case[Any, Any]:
        """What its own rules look at: equipment asks nothing of other records."""
        inputs = Inputs()
        values = self.kind.compute(self.record, inputs, None)
        return Case(self.record, inputs, None, values)


@dataclass(frozen=True)
class Reliance:
    """One use of a piece of equipment, with the test."""

    on: date
    trace: Trace
    specimens: int


@dataclass(frozen=True)
class Finding:
    """What a calibration found wrong, and the tests that had relied on it."""

    index: int  # of the calibration
    on: date
    since: date | None  # last good calibration; None where there was none
    amiss: tuple[Amiss, ...]
    tests: tuple[str, ...]
    declared: bool


def by_equipment(traces: Iterable[Trace]) -> dict[str, list[Reliance]]:
    """Equipment → its uses, by day and test."""
    found: dict[str, list[Reliance]] = {}
    for trace in traces:
        for use in trace.uses:
            one = Reliance(use.on, trace, use.specimens)
            found.setdefault(use.equipment, []).append(one)
    for uses in found.values():
        uses.sort(key=lambda one: (one.on, one.trace.id))
    return found


def method_of(trace: Trace) -> Method | None:
    """The row of the standard that a test names."""
    return find(*trace.standard) if trace.standard is not None else None


def found_wrong(piece: Piece, uses: Sequence[Reliance]) -> Iterator[Finding]:
    """
    Each calibration that was found wrong, oldest first, with the tests it concerns.

    As found, those since the last good calibration; what lasts, those after it too,
    until the next; declared wrong, those that relied on it.
    """
    calibrations = piece.record.calibrations
    order = sorted(range(len(calibrations)), key=lambda i: (calibrations[i].on, i))
    later = [*(calibrations[i].on for i in order), date.max][1:]
    case, good = piece.case, list[date]()
    amiss: tuple[Amiss, ...]
    for i, until in zip(order, later, strict=True):
        one = calibrations[i]
        since = good[-1] if good else None
        if one.found_wrong:
            amiss = (Amiss(one.found_wrong, "a calibration to be relied on"),)
            until = min((c.on for c in calibrations if c.on > one.on), default=date.max)
            tests = [use.trace.id for use in uses if one.on <= use.on < until]
        else:
            start = one.on if one.state == "as left" else since or date.min
            amiss, tests = amiss_and_tests(
                Concern(piece, case, i),
                [use for use in uses if start <= use.on < one.on],
                [use for use in uses if one.on <= use.on < until],
            )
        if amiss:
            ids = tuple(dict.fromkeys(tests))
            yield Finding(i, one.on, since, amiss, ids, bool(one.found_wrong))
        if not one.found_wrong and not any(each.lasts for each in amiss):
            good.append(one.on)


@dataclass(frozen=True)
class Concern:
    """One calibration of a piece of equipment, to be asked what it found amiss."""

    piece: Piece
    case: Case[Any, Any]
    index: int

    def amiss(self, method: Method | None) -> list[Amiss]:
        """What it found amiss: for a method, or (None) whatever the method."""
        wrong = self.piece.kind.wrong
        return [] if wrong is None else list(wrong(self.case, self.index, method))


def amiss_and_tests(
    concern: Concern, before: Sequence[Reliance], after: Sequence[Reliance]
) -> tuple[tuple[Amiss, ...], list[str]]:
    """
    What a calibration found amiss, and the tests that this concerns.

    What is amiss whatever the method concerns every test; a tolerance concerns those
    made by the methods that set it.
    """
    amiss = concern.amiss(None)
    if amiss:
        lasts = any(each.lasts for each in amiss)
        uses = (*before, *(after if lasts else ()))
        return tuple(amiss), [use.trace.id for use in uses]
    tests: list[str] = []
    by_method: dict[tuple[str, str, str, str] | None, list[Amiss]] = {}
    for use in before:
        standard = use.trace.standard
        if standard not in by_method:
            method = method_of(use.trace)
            by_method[standard] = [] if method is None else concern.amiss(method)
            amiss += by_method[standard]
        if by_method[standard]:
            tests.append(use.trace.id)
    return tuple(dict.fromkeys(amiss)), tests


def found_wrong_doubts(piece: Piece, uses: Sequence[Reliance]) -> Iterator[Doubt]:
    """Doubt each calibration found wrong on which tests relied that nobody judged."""
    for one in found_wrong(piece, uses):
        if not one.tests or piece.record.calibrations[one.index].tests_judged:
            continue
        many = f"{len(one.tests)} test{'' if len(one.tests) == 1 else 's'}"
        since = f" since {one.since}" if one.since is not None else ""
        yield Doubt(
            field=("calibrations", one.index),
            found=f"{'; '.join(each.words for each in one.amiss)}, and {many}{since} "
            f"relied on it: {', '.join(one.tests)}",
            expected="; ".join(each.asked for each in one.amiss),
            mend="judge each of these tests and amend what does not stand; then write "
            "tests_judged: {by: …, reason: …} under this calibration",
        )


def specimens_since(calibrations: Sequence[Any], uses: Sequence[Reliance]) -> int:
    """How many specimens were made since the last calibration."""
    last = in_force(calibrations, None)
    start = calibrations[last].on if last is not None else date.min
    others = calibrations[last].other_specimens if last is not None else None
    return (others or 0) + sum(use.specimens for use in uses if use.on >= start)


def most_specimens(uses: Iterable[Reliance]) -> Cell | None:
    """The fewest specimens after which a standard of these tests asks for a check."""
    by_standard = {use.trace.standard: use.trace for use in uses if use.specimens}
    methods = [method for one in by_standard.values() if (method := method_of(one))]
    cells = [cell for one in methods if (cell := one.optional("calibration_specimens"))]
    return min(cells, key=lambda cell: cell.si, default=None)


def due_by_specimens(piece: Piece, uses: Sequence[Reliance]) -> Iterator[Doubt]:
    """Doubt a rammer or mold that made more specimens than a standard allows."""
    many = specimens_since(piece.record.calibrations, uses)
    most = most_specimens(uses) if many else None
    last = in_force(piece.record.calibrations, None)
    if most is not None and many > most.si:
        made = piece.record.calibrations[last].on if last is not None else "ever"
        yield Doubt(
            field=("calibrations",) if last is None else ("calibrations", last),
            found=f"{many} specimens since {made}",
            expected=f"a calibration after {most} specimens at the latest",
            mend="calibrate it before it is used again",
            basis=most.basis,
        )


def doubts(
    pieces: Sequence[Piece], traces: Sequence[Trace]
) -> Iterator[tuple[Known, str, Doubt]]:
    """Every doubt about equipment that only its tests bring out, with flag and file."""
    used = by_equipment(traces)
    for piece in pieces:
        uses = used.get(piece.record.id, [])
        for doubt in found_wrong_doubts(piece, uses):
            yield FOUND_WRONG, piece.file, doubt
        for doubt in due_by_specimens(piece, uses):
            yield DUE_BY_SPECIMENS, piece.file, doubt
        gone = piece.record.out_of_use
        for use in uses if gone is not None else ():
            if use.on >= gone.on:
                yield (
                    USED_OUT_OF_USE,
                    use.trace.file,
                    Doubt(
                        field=("equipment",),
                        found=f"{piece.record.id} on {use.on}",
                        expected=f"equipment in use; it is out of use since {gone.on}",
                        mend="find out what was used, or judge the test and accept it",
                    ),
                )
