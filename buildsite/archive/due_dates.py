"""Next calibrations. Pages don't state what is overdue: they don't read the clock."""

from collections.abc import Iterator
from datetime import date

from buildsite.archive.across import pieces
from buildsite.archive.archive import Archive
from buildsite.kinds.equipment.calibrations import in_force
from buildsite.kinds.equipment.due import Due, dues
from buildsite.kinds.equipment.piece import Piece
from buildsite.kinds.outcome import flag_of
from buildsite.record.flags import Doubt, Flag, Known, Severity
from buildsite.values import dataclass


@dataclass(frozen=True)
class DueItem:
    """A piece of equipment, or a part of it, with the date of its next calibration."""

    piece: Piece
    due: Due

    @property
    def order(self) -> tuple[str, str, str]:
        """Sort key: never calibrated first, then by day."""
        return (str(self.due.on or ""), self.piece.record.id, self.due.words)


def falling_due(archive: Archive) -> list[DueItem]:
    """Return all equipment in service, by due date."""
    found = [
        DueItem(piece, due) for piece in pieces(archive) for due in dues(piece.record)
    ]
    return sorted(found, key=lambda item: item.order)


FALLS_DUE = Known(
    "calibration-due",
    Severity.NOTE,
    "ISO/IEC 17025:2017, 6.4.7 (not yet checked against the standard's text)",
    "A calibration is due within the period given to `check --due`; a warning if it is "
    "overdue. Raised by `check --due` only.",
)


def due_flags(archive: Archive, on: date, until: date) -> Iterator[Flag]:
    """Return the flags of calibrations due by a date, in order; overdue: a warning."""
    for item in falling_due(archive):
        record, day = item.piece.record, item.due.on
        if day is not None and day > until:
            continue
        series = item.due.series
        last = in_force(series.calibrations, None)
        past = day is None or day < on
        doubt = Doubt(
            field=() if last is None else (*series.at, last),
            found=f"{record.id} ({named(archive, item)}), "
            f"{item.due.why if day is None else f'due {day}'}",
            expected=f"a calibration in force on {until}",
            mend="calibrate it before use, or take it out of service (out_of_use)"
            if past
            else f"calibrate it by {day}",
            severity=Severity.WARNING if past else None,
        )
        yield flag_of(FALLS_DUE, doubt, archive.entry(item.piece.file).source)


def named(archive: Archive, item: DueItem) -> str:
    """Return what a piece of equipment is: its description, else its kind."""
    if item.due.words:
        return item.due.words
    words = describe_equipment(item.piece.record)
    kind = archive.entry(item.piece.file).kind
    return kind.title.lower() if words == NOTHING and kind is not None else words


NOTHING = "—"
"""In place of a description, in a table."""


def describe_equipment(record: object) -> str:
    """Return the description of a piece of equipment: name, size or opening."""
    name = getattr(record, "name", None)
    names = ("nominal", "opening", "operation")
    parts = [name] if name else [getattr(record, each, None) for each in names]
    return ", ".join(str(part) for part in parts if part) or NOTHING
