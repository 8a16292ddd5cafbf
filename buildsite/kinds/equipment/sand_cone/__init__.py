"""A sand-cone apparatus: the sand of its cone, and the density of each bag of sand."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from buildsite.kinds.blank import (
    Ask,
    Blank,
    Measured,
    Occasion,
    answered,
    numbers,
    usual_units,
)
from buildsite.kinds.equipment.calibrations import (
    CERTIFICATE,
    NEXT_DUE,
    ON,
    calibration_rows,
    equipment_kind,
    found_later,
    in_force,
    out_of_use,
)
from buildsite.kinds.equipment.sand_cone.checks import (
    RULES,
    Cone,
    density_text,
    faults,
    sand_faults,
    shown,
)
from buildsite.kinds.equipment.sand_cone.model import (
    Bag,
    Determined,
    Found,
    SandCone,
    SandDetermination,
    cone_masses,
    densities,
    sand_interval,
)
from buildsite.kinds.field_answers import SandConeFacts
from buildsite.kinds.kind import Inputs, Ref
from buildsite.kinds.reporting import to_places
from buildsite.kinds.sheet import Cell, Column, Note, Sheet, Table, fact_table
from buildsite.record.flags import Flag
from buildsite.record.units import from_si
from buildsite.standards.method import Method


def compute(record: SandCone, inputs: Inputs, method: Method | None) -> Found:
    """Compute every calibration, in the order written."""
    units = record.units
    return Found(
        tuple(cone_masses(one, units) for one in record.calibrations),
        tuple(
            tuple(densities(one, units) for one in bag.determinations)
            for bag in record.bags
        ),
    )


def answers(case: Cone, ref: Ref) -> SandConeFacts | None:
    """Return the facts of a cone, with the sand of the bag asked about, on a day."""
    if ref.asks is not SandConeFacts:
        return None
    record = case.record
    index = in_force(record.calibrations, ref.on)
    one = None if index is None else record.calibrations[index]
    cone = None if index is None else case.values.cone[index].mean
    label = next(iter(ref.about), "")
    bag = next((k for k, each in enumerate(record.bags) if each.bag == label), None)
    last = sand = None
    if bag is not None:
        made = record.bags[bag].determinations
        at = in_force(made, ref.on)
        last = None if at is None else made[at]
        sand = None if at is None else case.values.bags[bag][at]
    later = [found_later(each, ref.on) for each in (one, last)]
    return SandConeFacts(
        id=record.id,
        name=record.name or "",
        calibrated_on=one.on if one else None,
        next_due=one.next_due if one else None,
        cone_mass_kg=cone,
        plate=record.plate or "",
        bag=label,
        sand_on=last.on if last else None,
        sand_next_due=last.next_due if last else None,
        sand_density=sand.mean if sand else None,
        sand_spread=sand.spread if sand else None,
        wrong_since=min((day for day in later if day is not None), default=None),
        bags=bags_in_use(record, ref.on),
    )


def bags_in_use(record: SandCone, on: date | None) -> tuple[str, ...]:
    """Return the bags whose bulk density serves on a day, the one found last first."""
    found = []
    for bag in record.bags:
        index = in_force(bag.determinations, on)
        gone = bag.out_of_use is not None and (on is None or bag.out_of_use.on <= on)
        if index is not None and not gone and in_date(bag.determinations[index], on):
            found.append((bag.determinations[index].on, bag.bag))
    return tuple(bag for _, bag in sorted(found, key=lambda one: one[0], reverse=True))


def in_date(made: SandDetermination, on: date | None) -> bool:
    """Whether a bulk density is not yet to be found again on a day."""
    if on is None:
        return True
    old = (on - made.on).days > sand_interval().si
    return not old and (made.next_due is None or on <= made.next_due)


def detail(case: Cone) -> Mapping[str, Any]:
    """Return cone and bags for `show --json`, in SI."""
    record = case.record
    return {
        "calibrations": [
            {"on": one.on.isoformat(), "sand_in_cone_kg": found.mean}
            for one, found in zip(record.calibrations, case.values.cone, strict=True)
        ],
        "bags": [
            {
                "bag": bag.bag,
                "determinations": [
                    {
                        "on": one.on.isoformat(),
                        "bulk_density": each.mean,
                        "spread_percent": each.spread,
                    }
                    for one, each in zip(bag.determinations, found, strict=True)
                ],
            }
            for bag, found in zip(record.bags, case.values.bags, strict=True)
        ],
    }


def cone_table(case: Cone) -> Table:
    """Return the calibrations of the cone."""
    mass = case.record.units.mass
    places = 1 if mass == "g" else 4
    cells = []
    for one, found in zip(case.record.calibrations, case.values.cone, strict=True):
        mean = None if found.mean is None else from_si(found.mean, mass)
        texts = (
            ", ".join(map(str, one.sand_in_cone)) or "—",
            to_places(mean, places),
            to_places(found.spread, 2),
            one.sand or "—",
        )
        cells.append(tuple(map(Cell, texts)))
    heads, rows = calibration_rows(
        case.record.calibrations,
        (
            Column("Sand in cone and plate", mass),
            Column("Mean", mass, number=True),
            Column("Range", "%", number=True),
            Column("Sand"),
        ),
        cells,
    )
    return Table("calibrations", "Calibrations of the cone", heads, rows, role="more")


def bag_table(case: Cone, k: int, bag: Bag, found: tuple[Determined, ...]) -> Table:
    """Return the bulk densities of the sand of a bag."""
    units = case.record.units
    cells = []
    for one, each in zip(bag.determinations, found, strict=True):
        texts = (
            str(one.container_volume),
            ", ".join(map(str, one.sand_in_container)),
            density_text(each.mean, units.density),
            to_places(each.spread, 2),
        )
        cells.append(tuple(map(Cell, texts)))
    heads, rows = calibration_rows(
        bag.determinations,
        (
            Column("Container", shown(units.volume), number=True),
            Column("Sand in it", units.mass),
            Column("Bulk density", shown(units.density), number=True),
            Column("Range", "%", number=True),
        ),
        cells,
    )
    gone = out_of_use(bag)
    parts = (bag.sand or "", f"out of service {gone}" if gone else "in use")
    about = ", ".join(part for part in parts if part)
    title = f"Sand of bag {bag.bag}"
    return Table(f"bag-{k + 1}", title, heads, rows, role="more", note=f"{about}.")


def sheet(case: Cone, flags: tuple[Flag, ...]) -> Sheet:
    """Return the sheet of a sand-cone apparatus: its cone, and each bag."""
    record = case.record
    about = fact_table(
        "about",
        "About",
        (
            ("Base plate", record.plate or ""),
            ("Out of service", out_of_use(record) or ""),
            ("Remarks", record.remarks or ""),
        ),
    )
    bags = [
        bag_table(case, k, bag, case.values.bags[k])
        for k, bag in enumerate(record.bags)
    ]
    interval = sand_interval()
    again = Note(
        "again",
        "When the sand is determined again",
        (
            f"After at most {interval} ({interval.basis}); whatever the date, after a "
            "change of humidity and before sand is used again. Fresh sand makes a new "
            "bag, and the cone is calibrated with it.",
        ),
    )
    head: list[Table | Note] = [about] if about.rows else []
    blocks = (*head, cone_table(case), *bags, again)
    return Sheet(f"Sand-cone apparatus {record.id}", record.name or "", blocks)


CONE = Ask(
    "sand_in_cone",
    "Sand that fills cone and plate, in {mass}, each determination, as in 1480 1482 "
    "1479 (Enter: none yet)",
    split=numbers,
)
SAND = Ask("sand", "Kind or lot of the sand")
CONE_ASKS = ("by", "on", "state", "certificate", "wrong_since")

OCCASIONS = (
    Occasion(
        "sand",
        "bulk density of the sand of a bag",
        "sand of bag {part} determined",
        (
            Measured(
                Ask(
                    "container_volume",
                    "Volume of the container in {volume}",
                    when=answered("on"),
                ),
                ("container_volume",),
                steady=True,
            ),
            Measured(
                Ask(
                    "sand_in_container",
                    "Sand that fills the container, in {mass}, each determination, as "
                    "in 1421 1424 1419",
                    when=answered("on"),
                    split=numbers,
                ),
                ("sand_in_container",),
            ),
        ),
        at="determinations",
        part=Ask("bag", "Bag, its label"),
        parts="bags",
        asks=("by", "on"),
        interval=sand_interval,
    ),
    Occasion(
        "cone",
        "sand that fills cone and plate",
        "cone calibrated",
        (
            Measured(CONE, ("sand_in_cone",)),
            Measured(SAND, ("sand",)),
        ),
        asks=CONE_ASKS,
    ),
)

BLANK = Blank(
    """format: 1
kind: sand-cone
id: {id}
name:
plate: {plate}
units: {{mass: {mass_unit}, volume: {volume_unit}}}
calibrations:
  - {{on: {on}, by: , next_due: {next_due}, state: as found, sand: {sand},
     sand_in_cone: {sand_in_cone}, certificate: {certificate}}}
bags:   # for each: buildsite calibrate {id} --what sand --bag LABEL
""",
    prefix="SC",
    asks=(
        Ask("plate", "Base plate used with it, its number or size"),
        ON,
        NEXT_DUE,
        CONE,
        SAND,
        CERTIFICATE,
    ),
    places=("mass_unit", "volume_unit"),
    usual=usual_units("mass", "volume"),
)

KIND = equipment_kind(
    "sand-cone",
    SandCone,
    BLANK,
    title="Sand-cone apparatus",
    answers=answers,
    compute=compute,
    sheet=sheet,
    rules=RULES,
    wrong=faults,
    wrong_part=sand_faults,
    occasions=OCCASIONS,
    detail=detail,
)
