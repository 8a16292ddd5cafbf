"""Equipment that is due, or was found wrong while its tests are not assessed."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

from buildsite.archive.archive import Archive
from buildsite.archive.due_dates import describe_equipment, falling_due
from buildsite.archive.identity import name_of
from buildsite.archive.task import Task
from buildsite.archive.wrong_calibrations import wrong_uses

if TYPE_CHECKING:
    from buildsite.kinds.equipment.piece import Look, Piece

AHEAD = timedelta(days=30)
"""Equipment that falls due within this is listed."""


Wrong = tuple[str, str, str]
"""Equipment found wrong, the day of that calibration, and how it is named again."""


def wrong_of(archive: Archive, file: str) -> tuple[Wrong, ...]:
    """Return the calibrations found wrong that a test relied on, not yet settled."""
    uses = wrong_uses(archive.entry(file), archive.piece)
    return tuple((id, look.on.isoformat(), look.again) for id, look, _ in uses)


def wrong_of_tests(archive: Archive) -> Iterator[tuple[str, tuple[Wrong, ...]]]:
    """Yield each test, by its id, that names a suspect, with what it relied on."""
    suspects = [id for id in archive.ids("equipment") if suspicious(archive, id)]
    names = [id.encode() for id in suspects]
    for file in archive.files("test") if suspects else ():
        data = archive.read_file(file)
        if any(name in data for name in names):
            yield name_of(file), wrong_of(archive, file)


def found_wrong_tasks(
    tests: Iterable[tuple[str, Sequence[Wrong]]],
) -> Iterator[Task]:
    """Return the calibrations found wrong, with the tests that nobody assessed."""
    found: dict[Wrong, list[str]] = {}
    for test, relied_on in tests:
        for wrong in dict.fromkeys(relied_on):
            found.setdefault(wrong, []).append(test)
    for (id, on, again), used in sorted(found.items()):
        used = list(dict.fromkeys(used))
        what = f"calibration of {on}: {', '.join(used)}"
        step = f"buildsite calibrate {id}{again} --judged {on} --by CODE --reason TEXT"
        yield Task("found-wrong", "equipment", id, what, step, days=(("found", on),))


def suspicious(archive: Archive, id: str) -> bool:
    """Whether a calibration not settled may have found equipment wrong."""
    piece = archive.piece(id)
    if piece is None:
        return False
    return any(may_be_wrong(piece, look) for look in piece.looks if not look.settled)


def may_be_wrong(piece: "Piece", look: "Look") -> bool:
    """Whether a calibration found a fault for any test, or for some method on file."""
    one = look.calibration
    if one.found_wrong or one.wrong_since or piece.faults(look, None):
        return True
    if one.state == "as left":
        return False
    from buildsite.kinds.equipment.tolerances import methods

    return any(list(piece.faults_by(look, each)) for each in methods())


def due_tasks(archive: Archive, on: date | None) -> Iterator[Task]:
    """Return equipment by due date: on a day, what is due by then or soon."""
    for item in falling_due(archive):
        day, id = item.due.on, item.piece.record.id
        if on is not None and day is not None and day - on > AHEAD:
            continue
        overdue = on is not None and (day is None or day < on)
        name = item.due.words or describe_equipment(item.piece.record)
        about = f"{item.piece.kind.title.lower()}, {name}".removesuffix(", —")
        again = item.due.series.again
        due = f"{'overdue since' if overdue else 'due'} {day}" if day else NEVER
        yield Task(
            "due",
            "equipment",
            id,
            f"{about}: {due}",
            f"buildsite calibrate {id} {again}".rstrip(),
            days=(("due", str(day)),) if day else (),
            overdue=overdue,
        )


NEVER = "never calibrated"
