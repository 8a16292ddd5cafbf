"""
The tests that used a piece of equipment, and the flags that follow.

Only here are both known: the tests that used it, and what later calibrations found.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from buildsite.kinds.across import DUE_BY_SPECIMENS, FOUND_WRONG, USED_OUT_OF_USE
from buildsite.kinds.equipment.calibrations import Nonconformity, in_force
from buildsite.kinds.equipment.due import out_since
from buildsite.kinds.equipment.piece import Faults, Look, Piece
from buildsite.kinds.traces import Standard, Trace
from buildsite.record.flags import Doubt, Known
from buildsite.record.flags import Field as Place
from buildsite.record.messages import counted
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method
from buildsite.standards.tables import find
from buildsite.values import dataclass


@dataclass(frozen=True)
class TestUse:
    """One use of a piece of equipment, with the test."""

    on: date
    trace: Trace
    specimens: int
    parts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Finding:
    """The faults that a calibration found, and the tests affected."""

    look: Look
    on: date
    since: date | None  # first day affected; None where there was no good calibration
    faults: Faults
    tests: tuple[str, ...]
    declared: bool


def by_equipment(traces: Iterable[Trace]) -> dict[str, list[TestUse]]:
    """Return the uses of each piece of equipment, by date and test."""
    found: dict[str, list[TestUse]] = {}
    for trace in traces:
        for use in trace.uses:
            one = TestUse(use.on, trace, use.specimens, use.parts)
            found.setdefault(use.equipment, []).append(one)
    for uses in found.values():
        uses.sort(key=lambda one: (one.on, one.trace.id))
    return found


def method_of(trace: Trace) -> Method | None:
    """Return the method of a test."""
    return find(*trace.standard) if trace.standard is not None else None


def general_faults(piece: Piece, look: Look) -> Faults:
    """Return the faults of a calibration whatever the method: declared, or found."""
    one = look.calibration
    if one.found_wrong:
        return (Nonconformity(one.found_wrong, "a valid calibration"),)
    return piece.faults(look, None)


def faults_for_use(
    piece: Piece, look: Look, on: date, standard: Standard | None
) -> Faults:
    """
    Return the faults of a calibration that concern one use of the equipment.

    As found: uses since the last good calibration, or since the day stated. Lasting
    faults: also uses until the next calibration. Declared wrong: uses of it.
    """
    one, faults = look.calibration, general_faults(piece, look)
    if one.found_wrong:
        return faults if piece.in_force(look, on) else ()
    before = look.start <= on < look.on
    if faults:
        lasts = any(each.lasts for each in faults)
        after = lasts and look.on <= on < look.until
        return faults if before or after else ()
    if not before:
        return ()
    faults = piece.faults(look, standard) if standard is not None else ()
    if one.wrong_since is not None and not faults:
        words = f"wrong since {one.wrong_since}"
        return (Nonconformity(words, "equipment that did not change"),)
    return faults


def found_wrong(piece: Piece, uses: Sequence[TestUse]) -> Iterator[Finding]:
    """Return each calibration that found a fault or is wrong, with its tests."""
    for look in piece.looks:
        one = look.calibration
        faults, tests = list(general_faults(piece, look)), list[str]()
        for use in uses:
            if not look.concerns(use.parts):
                continue
            found = faults_for_use(piece, look, use.on, use.trace.standard)
            faults += found
            tests += [use.trace.id] if found else []
        if faults:
            yield Finding(
                look=look,
                on=look.on,
                since=one.wrong_since or look.since,
                faults=tuple(dict.fromkeys(faults)),
                tests=tuple(dict.fromkeys(tests)),
                declared=bool(one.found_wrong),
            )


def found_wrong_doubts(piece: Piece, uses: Sequence[TestUse]) -> Iterator[Doubt]:
    """Doubt each calibration found wrong with tests not yet assessed."""
    for one in found_wrong(piece, uses):
        if not one.tests or one.look.settled:
            continue
        since = f" since {one.since}" if one.since is not None else ""
        yield Doubt(
            field=(*one.look.series.at, one.look.index),
            found=f"{'; '.join(each.words for each in one.faults)}; used in "
            f"{counted(len(one.tests), 'test')}{since}: {', '.join(one.tests)}",
            expected="; ".join(each.required for each in one.faults),
            mend="assess each of these tests and amend those affected; then "
            f"{settling(piece.record.id, one.look)}",
        )


def settling(id: str, look: Look) -> str:
    """Return how it is recorded that every test on a calibration was assessed."""
    return (
        f"`buildsite calibrate {id}{look.again} --judged {look.on} --by CODE --reason "
        "TEXT` records that all were assessed"
    )


def wrong_in_test(
    piece: Piece,
    place: Place,
    on: date,
    standard: Standard | None,
    parts: Sequence[str] = (),
) -> Iterator[tuple[Look, Doubt]]:
    """
    Doubt one use of equipment found wrong, until its tests were assessed.

    Each doubt stands beside the calibration. `parts` are those of the equipment used.
    """
    for look in piece.looks:
        if look.settled or not look.concerns(parts):
            continue
        faults = faults_for_use(piece, look, on, standard)
        if faults:
            id, one = named(piece, look), look.calibration
            what = "; ".join(each.words for each in faults)
            found = (
                f"{id}, used on {on}: calibration of {look.on} not valid, {what}"
                if one.found_wrong
                else f"{id}, used on {on}, found on {look.on}: {what}"
            )
            doubt = Doubt(
                field=place,
                found=found,
                expected="; ".join(each.required for each in faults),
                mend="assess what the fault changes in this test: correct it and issue "
                "an amended report, or accept this flag with the reason; then "
                f"{settling(piece.record.id, look)}",
            )
            yield look, doubt


def named(piece: Piece, look: Look) -> str:
    """Return a piece of equipment by its id, with the part that was calibrated."""
    words = look.series.words
    return f"{piece.record.id} ({words})" if words else str(piece.record.id)


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
        for use in uses:
            since = out_since(piece.record, use.on, use.parts)
            if since is None:
                continue
            yield (
                USED_OUT_OF_USE,
                use.trace.file,
                Doubt(
                    field=("equipment",),
                    found=f"{piece.record.id} on {use.on}",
                    expected=f"equipment in service (it was until {since})",
                    mend="find out what was used, or assess the test and accept it",
                ),
            )
