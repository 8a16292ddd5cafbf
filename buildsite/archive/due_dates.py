"""What equipment falls due, and when. No page says what is late: there is no clock."""

from collections.abc import Iterator
from datetime import date

from buildsite.archive.across import pieces
from buildsite.archive.archive import Archive
from buildsite.kinds.equipment.calibrations import Due, due, in_force
from buildsite.kinds.equipment.reliance import Piece
from buildsite.kinds.outcome import flag_of
from buildsite.record.flags import Doubt, Flag, Known, Severity
from buildsite.values import dataclass


@dataclass(frozen=True)
class DueItem:
    """A piece of equipment that falls due."""

    piece: Piece
    due: Due

    @property
    def order(self) -> tuple[str, str]:
        """Sort key: never calibrated first, then by day."""
        return (str(self.due.on or ""), self.piece.record.id)


def falling_due(archive: Archive) -> list[DueItem]:
    """Everything in use, in the order in which it falls due."""
    found = [
        DueItem(piece, when)
        for piece in pieces(archive)
        if (when := due(piece.record)) is not None
    ]
    return sorted(found, key=lambda item: item.order)


FALLS_DUE = Known(
    "calibration-due",
    Severity.NOTE,
    "ISO/IEC 17025:2017, 6.4.7 (not yet checked against the standard's text)",
    "Equipment is due for calibration within the span given; a warning once the date "
    "is past. Only `check --due` reports it.",
)


def due_flags(archive: Archive, on: date, until: date) -> Iterator[Flag]:
    """What falls due by a day, in order: a warning where its day is past."""
    for item in falling_due(archive):
        record, day = item.piece.record, item.due.on
        if day is not None and day > until:
            continue
        last = in_force(record.calibrations, None)
        past = day is None or day < on
        doubt = Doubt(
            field=() if last is None else ("calibrations", last),
            found=f"{record.id} ({describe_equipment(record)}), {item.due.why}"
            if day is None
            else f"{record.id} ({describe_equipment(record)}), due {day}",
            expected=f"a calibration that holds on {until}",
            mend="calibrate it before it is used, or take it out of use (out_of_use)"
            if past
            else f"calibrate it by {day}",
            severity=Severity.WARNING if past else None,
        )
        yield flag_of(FALLS_DUE, doubt, archive.entry(item.piece.file).source)


def describe_equipment(record: object) -> str:
    """What a piece of equipment is: its name, its size, its opening."""
    name = getattr(record, "name", None)
    names = ("nominal", "opening", "operation")
    parts = [name] if name else [getattr(record, each, None) for each in names]
    return ", ".join(str(part) for part in parts if part) or "—"
