"""What all calibrated equipment shares: which calibration holds, and its due date."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any, Protocol

from buildsite.kinds.kind import Case
from buildsite.record.flags import Doubt, Rule, Severity


class Calibrated(Protocol):
    """A calibration, of whatever."""

    @property
    def on(self) -> date: ...


def in_force(calibrations: Sequence[Calibrated], on: date | None) -> int | None:
    """
    Index of the calibration in force on a day: the last one made by then.

    Of two on one day, as found and as left, the one written last counts.
    """
    made = [
        (one.on, i) for i, one in enumerate(calibrations) if on is None or one.on <= on
    ]
    return max(made)[1] if made else None


def due_before_calibrated(case: Case[Any, Any]) -> Iterator[Doubt]:
    """A calibration that is due again before it was made."""
    for i, one in enumerate(case.record.calibrations):
        if one.next_due is not None and one.next_due <= one.on:
            yield Doubt(
                field=("calibrations", i, "next_due"),
                found=one.next_due.isoformat(),
                expected=f"a day after {one.on}",
                mend="look for the two dates in each other's place",
            )


DUE_BEFORE_CALIBRATED: Rule[Case[Any, Any]] = Rule(
    "due-before-calibrated", Severity.ERROR, "common practice", due_before_calibrated
)
