"""A figure of equipment that a calibration found changed since the one before."""

from collections.abc import Iterator, Sequence
from typing import Any

from buildsite.kinds.equipment.calibrations import Nonconformity, unsettled
from buildsite.kinds.reporting import to_places
from buildsite.record.flags import Doubt, Field
from buildsite.record.units import from_si
from buildsite.record.units import unit as unit_named
from buildsite.standards.cells import UNCHECKED, Cell
from buildsite.values import dataclass

EXACT = 1 + 1e-9
"""Leaves a difference of just the limit within it, whatever its last bit."""

FOUND_CHANGED = (
    "apparatus-found-changed",
    f"ISO/IEC 17025:2017, 6.4.9 and 7.10 ({UNCHECKED})",
)
"""Name and basis of the warning that field apparatus changed since its calibration."""


@dataclass(frozen=True)
class Figure:
    """One figure of each calibration in SI, the unit and places it is shown in."""

    what: str
    values: Sequence[float | None]
    unit: str
    places: int
    most: Cell  # [%] of the figure before


def changed(
    calibrations: Sequence[Any], figure: Figure, i: int
) -> Iterator[Nonconformity]:
    """
    Yield the fault of a calibration whose figure changed since the one before.

    One as left, after an adjustment, is compared with nothing; nor is one with another
    that is not valid.
    """
    values = figure.values
    order = sorted(
        (one.on, k)
        for k, one in enumerate(calibrations)
        if values[k] is not None and not one.found_wrong
    )
    place = (calibrations[i].on, i)
    if calibrations[i].state == "as left" or place not in order[1:]:
        return
    before = order[order.index(place) - 1][1]
    now, was = values[i], values[before]
    if now is None or not was:
        return
    if abs(now / was - 1) * 100 > figure.most.si * EXACT:
        texts = [
            to_places(from_si(one, figure.unit), figure.places) for one in (now, was)
        ]
        shown = unit_named(figure.unit).shown
        yield Nonconformity(
            f"{figure.what} {texts[0]} {shown}",
            f"within {figure.most} of {texts[1]} {shown} on {calibrations[before].on}",
        )


def change_doubts(
    id: str, calibrations: Sequence[Any], figure: Figure, at: Field, of: str = ""
) -> Iterator[Doubt]:
    """Doubt each figure found changed, until the tests were assessed."""
    for i, one in unsettled(calibrations):
        for fault in changed(calibrations, figure, i):
            yield Doubt(
                field=(*at, i),
                found=fault.words,
                expected=fault.required,
                mend="measure again; if confirmed, assess every test since then, then "
                f"`buildsite calibrate {id}{of} --judged {one.on} --by CODE --reason "
                "TEXT`",
            )
