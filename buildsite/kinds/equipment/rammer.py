"""A rammer: its mass and drop, and whether it compacts as one by hand does."""

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Any, Literal

from buildsite.kinds.blank import Ask, answered
from buildsite.kinds.equipment.calibrations import Amiss, in_force, unsettled
from buildsite.kinds.equipment.device import (
    Device,
    DeviceCalibration,
    DeviceUnits,
    device_blank,
    device_kind,
)
from buildsite.kinds.kind import Case
from buildsite.kinds.sheet import Cell, Column, Row, Table
from buildsite.record.flags import Doubt, note, warning
from buildsite.record.units import to_si, unit
from buildsite.standards.method import Method
from buildsite.standards.tables import limit

if TYPE_CHECKING:
    from buildsite.kinds.equipment.tolerances import RammerMeasures


class Rammer(Device):
    kind: Literal["rammer"]
    operation: Literal["mechanical", "manual"]
    face: Literal["round", "sector"] = "round"


def measures(one: DeviceCalibration, units: DeviceUnits, face: str) -> "RammerMeasures":
    """Return what a calibration measured of a rammer, in SI."""
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
        compared=one.comparison is not None and not list(compared_amiss(one)),
    )


def compared_amiss(one: DeviceCalibration) -> Iterator[Amiss]:
    """Yield what is amiss where a mechanical rammer compacts unlike the one by hand."""
    off = one.comparison.difference if one.comparison is not None else None
    most = limit("mechanical_unlike_hand")
    if off is not None and abs(off) > most.si * (1 + 1e-9):
        yield Amiss(
            f"{off:+.1f} % against the hand rammer",
            f"at most {most} either way, {most.basis}",
            lasts=True,
        )


def amiss(case: Case[Rammer, None], i: int, method: Method | None) -> Iterator[Amiss]:
    """What a calibration found wrong with a rammer."""
    record = case.record
    one = record.calibrations[i]
    if method is None:
        yield from compared_amiss(one)
        return
    from buildsite.kinds.equipment.tolerances import check_rammer

    found = measures(one, record.units, record.face)
    for limited in check_rammer(found, method):
        if limited.verdict == "outside":
            yield Amiss(f"{limited.what} {limited.found}", limited.words)


@warning("mechanical-rammer-unlike-hand", "ASTM D2168 (from memory)")
def rammer_unlike_hand(case: Case[Rammer, None]) -> Iterator[Doubt]:
    """A mechanical rammer that compacts otherwise than the hand rammer."""
    for i, one in unsettled(case.record.calibrations):
        for wrong in compared_amiss(one):
            yield Doubt(
                field=("calibrations", i, "comparison"),
                found=wrong.words,
                expected=wrong.asked,
                mend="adjust the rammer's mass or drop and compare again; with one "
                "soil only, compare two more",
            )


@note("mechanical-rammer-not-compared", "ASTM D2168 (from memory)")
def never_compared(case: Case[Rammer, None]) -> Iterator[Doubt]:
    """A mechanical rammer that no hand rammer was ever compared with."""
    record = case.record
    if record.operation != "mechanical" or record.out_of_use is not None:
        return
    if not any(one.comparison for one in record.calibrations):
        yield Doubt(
            field=("calibrations",),
            found="no comparison with a hand rammer",
            expected="one soil or more compacted with both",
            mend="compact a soil with both and enter the two maximum dry densities as "
            "comparison",
        )


def comparisons(rammer: Any) -> Table | None:
    """Each soil that was compacted with the mechanical and with the hand rammer."""
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
        Column("By hand", shown, number=True),
        Column("Mechanical", shown, number=True),
        Column("Difference", "%", number=True),
    )
    title = "Mechanical against hand rammer: maximum dry densities"
    return Table("comparison", title, heads, tuple(rows), role="more") if rows else None


def last_limits(rammer: Rammer) -> Table | None:
    """What the standards ask of a rammer, beside what was found last."""
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


BLANK = device_blank(
    "rammer",
    "R",
    stated="operation: {operation}\nface: {face}\n",
    asks=(
        Ask("operation", "Worked how", "manual", ("manual", "mechanical")),
        Ask("face", "Face", "round", ("round", "sector")),
        Ask("mass", "Mass in g"),
        Ask("drop", "Drop in mm"),
    ),
    found="mass: {mass}, drop: {drop}, face_diameter: {face_diameter},\n"
    "     sector_radius: {sector_radius}, ",
    findings=(
        Ask(
            "face_diameter",
            "Diameter of the face in mm (Enter: not measured)",
            when=answered("face", "round"),
        ),
        Ask(
            "sector_radius",
            "Radius of the sector in mm (Enter: not measured)",
            when=answered("face", "sector"),
        ),
    ),
)

KIND = device_kind(
    Rammer,
    BLANK,
    rules=(
        rammer_unlike_hand,
        never_compared,
    ),
    wrong=amiss,
    more=lambda rammer: (last_limits(rammer), comparisons(rammer)),
)
