"""
The tests that used a piece of equipment, and the flags that follow.

Only here are both known: the tests that used it, and what later calibrations found.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from buildsite.kinds.across import DUE_BY_SPECIMENS, FOUND_WRONG, USED_OUT_OF_USE, Trace
from buildsite.kinds.equipment.calibrations import Nonconformity, in_force
from buildsite.kinds.kind import Case, Inputs, Kind
from buildsite.record.flags import Doubt, Known
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method
from buildsite.standards.tables import find
from buildsite.values import dataclass


@dataclass(frozen=True)
class Piece:
    """The record of a piece of equipment."""

    file: str
    kind: Kind[Any, Any]
    record: Any

    @property
    def case(self) -> Case[Any, Any]:
        """Return its case: equipment asks nothing of other records."""
        inputs = Inputs()
        values = self.kind.compute(self.record, inputs, None)
        return Case(self.record, inputs, None, values)


@dataclass(frozen=True)
class TestUse:
    """One use of a piece of equipment, with the test."""

    on: date
    trace: Trace
    specimens: int


@dataclass(frozen=True)
class Finding:
    """The faults that a calibration found, and the tests affected."""

    index: int  # of the calibration
    on: date
    since: date | None  # last good calibration; None where there was none
    faults: tuple[Nonconformity, ...]
    tests: tuple[str, ...]
    declared: bool


def by_equipment(traces: Iterable[Trace]) -> dict[str, list[TestUse]]:
    """Return the uses of each piece of equipment, by date and test."""
    found: dict[str, list[TestUse]] = {}
    for trace in traces:
        for use in trace.uses:
            one = TestUse(use.on, trace, use.specimens)
            found.setdefault(use.equipment, []).append(one)
    for uses in found.values():
        uses.sort(key=lambda one: (one.on, one.trace.id))
    return found


def method_of(trace: Trace) -> Method | None:
    """Return the method of a test."""
    return find(*trace.standard) if trace.standard is not None else None


def found_wrong(piece: Piece, uses: Sequence[TestUse]) -> Iterator[Finding]:
    """
    Return each calibration that found faults or is wrong, with the tests affected.

    As found: tests since the last good calibration. Lasting faults: also tests until
    the next calibration. Declared wrong: tests that used the calibration.
    """
    calibrations = piece.record.calibrations
    order = sorted(range(len(calibrations)), key=lambda i: (calibrations[i].on, i))
    later = [*(calibrations[i].on for i in order), date.max][1:]
    case, good = piece.case, list[date]()
    faults: tuple[Nonconformity, ...]
    for i, until in zip(order, later, strict=True):
        one = calibrations[i]
        since = good[-1] if good else None
        if one.found_wrong:
            faults = (Nonconformity(one.found_wrong, "a valid calibration"),)
            until = min((c.on for c in calibrations if c.on > one.on), default=date.max)
            tests = [use.trace.id for use in uses if one.on <= use.on < until]
        else:
            start = one.on if one.state == "as left" else since or date.min
            faults, tests = faults_and_tests(
                Concern(piece, case, i),
                [use for use in uses if start <= use.on < one.on],
                [use for use in uses if one.on <= use.on < until],
            )
        if faults:
            ids = tuple(dict.fromkeys(tests))
            yield Finding(i, one.on, since, faults, ids, bool(one.found_wrong))
        if not one.found_wrong and not any(each.lasts for each in faults):
            good.append(one.on)


@dataclass(frozen=True)
class Concern:
    """One calibration of a piece of equipment."""

    piece: Piece
    case: Case[Any, Any]
    index: int

    def faults(self, method: Method | None) -> list[Nonconformity]:
        """Return its faults for a method, or (None) for any method."""
        wrong = self.piece.kind.wrong
        return [] if wrong is None else list(wrong(self.case, self.index, method))


def faults_and_tests(
    concern: Concern, before: Sequence[TestUse], after: Sequence[TestUse]
) -> tuple[tuple[Nonconformity, ...], list[str]]:
    """
    Return the faults that a calibration found, and the tests affected.

    A fault for any method affects every test; a tolerance exceeded affects the tests
    by the methods with that tolerance.
    """
    faults = concern.faults(None)
    if faults:
        lasts = any(each.lasts for each in faults)
        uses = (*before, *(after if lasts else ()))
        return tuple(faults), [use.trace.id for use in uses]
    tests: list[str] = []
    by_method: dict[tuple[str, str, str, str] | None, list[Nonconformity]] = {}
    for use in before:
        standard = use.trace.standard
        if standard not in by_method:
            method = method_of(use.trace)
            by_method[standard] = [] if method is None else concern.faults(method)
            faults += by_method[standard]
        if by_method[standard]:
            tests.append(use.trace.id)
    return tuple(dict.fromkeys(faults)), tests


def found_wrong_doubts(piece: Piece, uses: Sequence[TestUse]) -> Iterator[Doubt]:
    """Doubt each calibration found wrong with tests not yet assessed."""
    for one in found_wrong(piece, uses):
        if not one.tests or piece.record.calibrations[one.index].tests_judged:
            continue
        many = f"{len(one.tests)} test{'' if len(one.tests) == 1 else 's'}"
        since = f" since {one.since}" if one.since is not None else ""
        yield Doubt(
            field=("calibrations", one.index),
            found=f"{'; '.join(each.words for each in one.faults)}; used in "
            f"{many}{since}: {', '.join(one.tests)}",
            expected="; ".join(each.required for each in one.faults),
            mend="assess each of these tests and amend those affected; then enter "
            "tests_judged: {by: …, reason: …} under this calibration",
        )


def specimens_since(calibrations: Sequence[Any], uses: Sequence[TestUse]) -> int:
    """Return the number of specimens made since the last calibration."""
    last = in_force(calibrations, None)
    start = calibrations[last].on if last is not None else date.min
    others = calibrations[last].other_specimens if last is not None else None
    return (others or 0) + sum(use.specimens for use in uses if use.on >= start)


def most_specimens(uses: Iterable[TestUse]) -> Cell | None:
    """Return the shortest interval, in specimens, of the standards of these tests."""
    by_standard = {use.trace.standard: use.trace for use in uses if use.specimens}
    methods = [method for one in by_standard.values() if (method := method_of(one))]
    cells = [cell for one in methods if (cell := one.optional("calibration_specimens"))]
    return min(cells, key=lambda cell: cell.si, default=None)


def due_by_specimens(piece: Piece, uses: Sequence[TestUse]) -> Iterator[Doubt]:
    """Doubt a rammer or mold used for more specimens than a standard allows."""
    many = specimens_since(piece.record.calibrations, uses)
    most = most_specimens(uses) if many else None
    last = in_force(piece.record.calibrations, None)
    if most is not None and many > most.si:
        made = piece.record.calibrations[last].on if last is not None else "first use"
        yield Doubt(
            field=("calibrations",) if last is None else ("calibrations", last),
            found=f"{many} specimens since {made}",
            expected=f"calibration after at most {most} specimens",
            mend="calibrate it before further use",
            basis=most.basis,
        )


def doubts(
    pieces: Sequence[Piece], traces: Sequence[Trace]
) -> Iterator[tuple[Known, str, Doubt]]:
    """Return every doubt about equipment and the tests that used it."""
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
                        expected=f"equipment in service (it was until {gone.on})",
                        mend="find out what was used, or assess the test and accept it",
                    ),
                )
