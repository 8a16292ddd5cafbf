"""A rammer: its mass and drop, and its comparison with a hand rammer."""

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Any, Literal

from buildsite.kinds.blank import Ask, Measured, answered, pairs
from buildsite.kinds.equipment.calibrations import Nonconformity, in_force, unsettled
from buildsite.kinds.equipment.device import (
    Device,
    DeviceCalibration,
    DeviceUnits,
    device_blank,
    device_kind,
)
from buildsite.kinds.kind import Case
from buildsite.kinds.limits import HAIR
from buildsite.kinds.sheet import Cell, Column, Row, Table
from buildsite.record.flags import Doubt, note, warning
from buildsite.record.units import to_si, unit
from buildsite.standards.cells import UNCHECKED
from buildsite.standards.method import Method
from buildsite.standards.tables import limit

if TYPE_CHECKING:
    from buildsite.kinds.equipment.tolerances import RammerMeasures


class Rammer(Device):
    kind: Literal["rammer"]
    operation: Literal["mechanical", "manual"]
    face: Literal["round", "sector"] = "round"


def measures(one: DeviceCalibration, units: DeviceUnits, face: str) -> "RammerMeasures":
    """Return the measurements of a rammer in a calibration, in SI."""
    from buildsite.kinds.equipment.tolerances import RammerMeasures

    return RammerMeasures(
        face=face,
        mass=None if one.mass is None else to_si(one.mass, units.mass),
        drop=None if one.drop is None else to_si(one.drop, units.length),
        face_diameter=None
        if one.face_diameter is None
        else to_si(one.face_diameter, units.length),
        sector_radius=None
        if one.sector_radius is None
        else to_si(one.sector_radius, units.length),
        compared=one.comparison is not None and not list(comparison_faults(one)),
    )


def comparison_faults(one: DeviceCalibration) -> Iterator[Nonconformity]:
    """Return the fault of a mechanical rammer that differs from the hand rammer."""
    comparison = one.comparison
    off = comparison.difference if comparison is not None else None
    most = limit("mechanical_unlike_hand")
    if comparison and off is not None and abs(off) > most.si * (1 + HAIR):
        yield Nonconformity(
            comparison.words,
            f"within ± {most}, {most.basis}",
            lasts=True,
        )


def faults(
    case: Case[Rammer, None], i: int, method: Method | None
) -> Iterator[Nonconformity]:
    """Return the faults of a rammer in a calibration."""
    record = case.record
    one = record.calibrations[i]
    if method is None:
        yield from comparison_faults(one)
        return
    from buildsite.kinds.equipment.tolerances import check_rammer

    found = measures(one, record.units, record.face)
    for limited in check_rammer(found, method):
        if limited.verdict == "outside":
            yield Nonconformity(f"{limited.what} {limited.found}", limited.words)


D2168 = f"ASTM D2168 ({UNCHECKED})"


@warning("mechanical-rammer-unlike-hand", D2168)
def rammer_unlike_hand(case: Case[Rammer, None]) -> Iterator[Doubt]:
    """A mechanical rammer gives densities that differ from the hand rammer's."""
    for i, one in unsettled(case.record.calibrations):
        for wrong in comparison_faults(one):
            yield Doubt(
                field=("calibrations", i, "comparison"),
                found=wrong.words,
                expected=wrong.required,
                mend="adjust the rammer's mass or drop and compare again; if only one "
                "soil was compared, compare two more",
            )


@note("mechanical-rammer-not-compared", D2168)
def never_compared(case: Case[Rammer, None]) -> Iterator[Doubt]:
    """A mechanical rammer was never compared with a hand rammer."""
    record = case.record
    if record.operation != "mechanical" or record.out_of_use is not None:
        return
    if not any(one.comparison for one in record.calibrations):
        yield Doubt(
            field=("calibrations",),
            found="no comparison with a hand rammer",
            expected="at least one soil compacted with both",
            mend="compact a soil with both and enter the two maximum dry densities "
            "under comparison",
        )


def comparisons(rammer: Any) -> Table | None:
    """Return the table of soils compacted with both rammers."""
    rows = []
    for one in rammer.calibrations:
        for soil in one.comparison.soils if one.comparison is not None else ():
            off = float(soil.mechanical / soil.by_hand - 1) * 100
            texts = (
                one.on.isoformat(),
                one.comparison.hand_rammer or "—",
                soil.soil or "—",
                str(soil.by_hand),
                str(soil.mechanical),
                f"{off:+.1f}",
            )
            rows.append(Row(tuple(map(Cell, texts))))
    shown = unit(rammer.units.density).shown
    heads = (
        *(Column(label) for label in ("Compared", "Hand rammer", "Soil")),
        Column("Hand", shown, number=True),
        Column("Mechanical", shown, number=True),
        Column("Difference", "%", number=True),
    )
    title = "Maximum dry density, mechanical and hand rammer"
    return Table("comparison", title, heads, tuple(rows), role="more") if rows else None


def last_limits(rammer: Rammer) -> Table | None:
    """Return the limits of the standards, with the last measurements."""
    index = in_force(rammer.calibrations, None)
    if index is None:
        return None
    from buildsite.kinds.equipment.tolerances import (
        check_rammer,
        limits_table,
        rammer_methods,
    )

    found = measures(rammer.calibrations[index], rammer.units, rammer.face)
    return limits_table(partial(check_rammer, found), rammer_methods(found))


FACE_DIAMETER = Ask(
    "face_diameter",
    "Face diameter in {length} (Enter: not measured)",
    when=answered("face", "round"),
)
SECTOR_RADIUS = Ask(
    "sector_radius",
    "Sector radius in {length} (Enter: not measured)",
    when=answered("face", "sector"),
)

BLANK = device_blank(
    "rammer",
    "R",
    stated="operation: {operation}\nface: {face}\n",
    asks=(
        Ask("operation", "Operation", "manual", ("manual", "mechanical")),
        Ask("face", "Face", "round", ("round", "sector")),
        Ask("mass", "Mass in {mass}"),
        Ask("drop", "Drop in {length}"),
    ),
    found="mass: {mass}, drop: {drop}, face_diameter: {face_diameter},\n"
    "     sector_radius: {sector_radius}, ",
    findings=(FACE_DIAMETER, SECTOR_RADIUS),
)

MEASURED = (
    Measured(
        Ask("mass", "Mass in {mass} (Enter: not measured)"), ("mass",), steady=True
    ),
    Measured(
        Ask("drop", "Drop in {length} (Enter: not measured)"), ("drop",), steady=True
    ),
    Measured(FACE_DIAMETER, ("face_diameter",), steady=True),
    Measured(SECTOR_RADIUS, ("sector_radius",), steady=True),
    Measured(
        Ask(
            "comparison",
            "Compared with a hand rammer: maximum dry density in {density} by hand and "
            "by this one, for each soil, as in 1850 1861 (Enter: not compared)",
            when=answered("operation", "mechanical"),
            split=pairs("by_hand", "mechanical"),
        ),
        ("comparison", "soils"),
    ),
    Measured(
        Ask("hand_rammer", "Hand rammer, its number", when=answered("comparison")),
        ("comparison", "hand_rammer"),
    ),
)

KIND = device_kind(
    Rammer,
    BLANK,
    rules=(
        rammer_unlike_hand,
        never_compared,
    ),
    wrong=faults,
    measured=MEASURED,
    more=lambda rammer: (last_limits(rammer), comparisons(rammer)),
)
