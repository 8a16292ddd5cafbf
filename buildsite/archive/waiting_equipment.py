"""Equipment that is due, or was found wrong while its tests are not assessed."""

from collections.abc import Iterator
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


def found_wrong_tasks(archive: Archive) -> Iterator[Task]:
    """Return the calibrations found wrong, with the tests that nobody assessed."""
    suspects = [id for id in archive.ids("equipment") if suspicious(archive, id)]
    names = [id.encode() for id in suspects]
    tests: dict[tuple[str, date, str], list[str]] = {}
    for file in archive.files("test") if suspects else ():
        data = archive.read_file(file)
        if any(name in data for name in names):
            for id, look, _ in wrong_uses(archive.entry(file), archive.piece):
                here = tests.setdefault((id, look.on, look.again), [])
                here += [] if name_of(file) in here else [name_of(file)]
    for (id, on, again), used in sorted(tests.items()):
        what = f"calibration of {on}: {', '.join(used)}"
        step = f"buildsite calibrate {id}{again} --judged {on} --by CODE --reason TEXT"
        days = (("found", on.isoformat()),)
        yield Task("found-wrong", "equipment", id, what, step, days=days)


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
