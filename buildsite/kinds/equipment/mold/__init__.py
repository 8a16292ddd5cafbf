"""A mold, its calibrations, and the volume in force on a day."""

from collections.abc import Iterator, Mapping
from functools import partial
from typing import TYPE_CHECKING, Any

from buildsite.kinds.answers import MoldFacts
from buildsite.kinds.blank import (
    Ask,
    Blank,
    Measured,
    answered,
    numbers,
    unanswered,
    usual_units,
)
from buildsite.kinds.equipment.calibrations import (
    CERTIFICATE,
    NEXT_DUE,
    ON,
    Nonconformity,
    calibration_rows,
    equipment_kind,
    found_later,
    in_force,
    out_of_use,
)
from buildsite.kinds.equipment.mold.checks import RULES, changes
from buildsite.kinds.equipment.mold.volumes import (
    Mold,
    Volume,
    cubic_centimetres,
    measured,
)
from buildsite.kinds.kind import Case, Inputs, Ref, Result
from buildsite.kinds.sheet import Cell, Column, Note, Plot, Sheet, Table
from buildsite.record.flags import Flag
from buildsite.standards.method import Method

if TYPE_CHECKING:
    from buildsite.kinds.equipment.tolerances import MoldMeasures


def compute(record: Mold, inputs: Inputs, method: Method | None) -> tuple[Volume, ...]:
    """Compute every calibration, in the order written."""
    return tuple(measured(one, record.units) for one in record.calibrations)


def answers(case: Case[Mold, tuple[Volume, ...]], ref: Ref) -> MoldFacts | None:
    """Return the facts of a mold on the date of a test."""
    if ref.asks is not MoldFacts:
        return None
    mold = case.record
    index = in_force(mold.calibrations, ref.on)
    one = None if index is None else mold.calibrations[index]
    found = None if index is None else case.values[index]
    return MoldFacts(
        id=mold.id,
        nominal=mold.nominal,
        calibrated_on=one.on if one else None,
        next_due=one.next_due if one else None,
        state=(one.state or "") if one else "",
        certificate=(one.certificate or "") if one else "",
        weighed_with=(one.weighed_with or "") if one else "",
        mass_kg=found.mass if found else None,
        volume_m3=found.used if found else None,
        how=found.how if found else "nominal",
        volume_by_water_m3=found.by_water if found else None,
        volume_by_dimensions_m3=found.by_dimensions if found else None,
        diameter_m=found.diameter if found else None,
        height_m=found.height if found else None,
        wrong_since=found_later(one, ref.on),
    )


def results(case: Case[Mold, tuple[Volume, ...]]) -> Mapping[str, Result]:
    """Return the volume of the latest calibration by water."""
    dated = [(one.on, i) for i, one in enumerate(case.values) if one.by_water]
    if not dated:
        return {}
    volume = case.values[max(dated)[1]].by_water
    if volume is None:
        return {}
    reported = f"{cubic_centimetres(volume)} cm3"
    return {"mold_volume": Result(volume, "m3", reported)}


def detail(case: Case[Mold, tuple[Volume, ...]]) -> Mapping[str, Any]:
    """Return the calibrations for `show --json`."""
    return {
        "calibrations": [
            {
                "on": one.on.isoformat(),
                "how": one.how,
                "volume_m3": one.used,
                "volume_by_water_m3": one.by_water,
                "volume_by_dimensions_m3": one.by_dimensions,
            }
            for one in case.values
        ]
    }


def measures(mold: Mold, found: Volume) -> "MoldMeasures":
    """Return the measurements that standards limit."""
    from buildsite.kinds.equipment.tolerances import MoldMeasures

    return MoldMeasures(mold.nominal, found.used, found.diameter, found.height)


def faults(
    case: Case[Mold, tuple[Volume, ...]], i: int, method: Method | None
) -> Iterator[Nonconformity]:
    """Return the faults in a calibration: a changed volume, or too much wear."""
    if method is None:
        for now, was in changes(case, i):
            yield Nonconformity(now, was)
        return
    from buildsite.kinds.equipment.tolerances import check_mold

    for one in check_mold(measures(case.record, case.values[i]), method):
        if one.verdict == "outside":
            yield Nonconformity(f"{one.what} {one.found}", one.words)


def calibrations_table(case: Case[Mold, tuple[Volume, ...]]) -> Table:
    """Return the table of calibrations and their volumes."""
    heads = (
        Column("Volume used", "cm³", number=True, key="volume_cm3"),
        Column("Determined"),
        Column("By water", "cm³", number=True, key="volume_by_water_cm3"),
        Column("By dimensions", "cm³", number=True, key="volume_by_dimensions_cm3"),
        Column("Difference", "%", number=True, key="volumes_apart_percent"),
        Column("Weighed with"),
    )
    found = [
        tuple(
            Cell(text)
            for text in (
                cubic_centimetres(volume.used),
                volume.how,
                cubic_centimetres(volume.by_water),
                cubic_centimetres(volume.by_dimensions),
                "—"
                if volume.difference_percent is None
                else f"{volume.difference_percent:.2f}",
                one.weighed_with or "—",
            )
        )
        for one, volume in zip(case.record.calibrations, case.values, strict=True)
    ]
    columns, rows = calibration_rows(case.record.calibrations, heads, found)
    return Table("calibrations", "Calibrations", columns, rows, role="more")


def sheet(case: Case[Mold, tuple[Volume, ...]], flags: tuple[Flag, ...]) -> Sheet:
    """Return the sheet of a mold: volumes over time, calibrations, limits."""
    from buildsite.kinds.equipment.mold.figure import volumes_figure
    from buildsite.kinds.equipment.tolerances import check_mold, limits_table, methods

    mold = case.record
    blocks: list[Plot | Table | Note | None] = [
        volumes_figure(mold.id, mold.calibrations, case.values),
        calibrations_table(case),
    ]
    last = in_force(mold.calibrations, None)
    if last is not None:
        found = measures(mold, case.values[last])
        blocks.append(limits_table(partial(check_mold, found), methods()))
    if mold.remarks:
        blocks.append(Note("remarks", "Remarks", (mold.remarks,)))
    gone = out_of_use(mold)
    about = f"{mold.nominal}, out of service {gone}" if gone else mold.nominal
    shown = tuple(block for block in blocks if block is not None)
    return Sheet(f"Mold {mold.id}", about, shown)


WATER = "empty_with_plates"
ACROSS = "diameters"

MEASURED = (
    Measured(
        Ask(
            "weighed_with",
            "Weighed as",
            "mold",
            ("mold", "mold and base plate"),
        ),
        ("weighed_with",),
    ),
    Measured(Ask("mass", "Mass empty, in {mass}"), ("mass",), steady=True),
    Measured(
        Ask("volume", "Certified volume in {volume} (Enter: measured here)"),
        ("volume",),
        steady=True,
    ),
    Measured(
        Ask(
            WATER,
            "By water: mold with plates, empty and dry, in {mass} (Enter: not by "
            "water)",
            when=unanswered("volume"),
        ),
        ("water", WATER),
        steady=True,
    ),
    Measured(
        Ask(
            "full_with_plates",
            "Mold with plates, full of water, in {mass}",
            when=answered(WATER),
        ),
        ("water", "full_with_plates"),
        steady=True,
    ),
    Measured(
        Ask("temperature_c", "Water temperature in °C", when=answered(WATER)),
        ("water", "temperature_c"),
    ),
    Measured(
        Ask(
            ACROSS,
            "Inside diameters in {length}: at the top, then as many at the bottom, "
            "separated by blanks (Enter: not measured)",
            when=unanswered("volume"),
            split=numbers,
        ),
        ("dimensions", ACROSS),
    ),
    Measured(
        Ask(
            "heights",
            "Inside heights in {length}, separated by blanks",
            when=answered(ACROSS),
            split=numbers,
        ),
        ("dimensions", "heights"),
    ),
)
"""The questions for a calibration of a mold; one volume is enough."""

BLANK = Blank(
    """format: 1
kind: mold
id: {id}
nominal: {nominal}
units: {{mass: {mass_unit}, length: {length_unit}, volume: {volume_unit}}}
calibrations:
  - {{on: {on}, by: , next_due: {next_due}, state: as found,
     weighed_with: {weighed_with}, mass: {mass}, volume: {volume},
     certificate: {certificate},
     # Measured here: diameters, half of them at the top, then half at the bottom, as in
     # [101.61, 101.60, 101.62, 101.60, 101.59, 101.61]; three heights.
     water: {{empty_with_plates: {empty_with_plates},
       full_with_plates: {full_with_plates}, temperature_c: {temperature_c}}},
     dimensions: {{diameters: {diameters}, heights: {heights}}}}}
""",
    prefix="M",
    asks=(
        Ask("nominal", "Nominal size", "4 in"),
        ON,
        NEXT_DUE,
        *(one.ask for one in MEASURED),
        CERTIFICATE,
    ),
    places=("mass_unit", "length_unit", "volume_unit"),
    usual=usual_units("mass", "length", "volume"),
)

KIND = equipment_kind(
    "mold",
    Mold,
    BLANK,
    answers=answers,
    compute=compute,
    sheet=sheet,
    rules=RULES,
    wrong=faults,
    measured=MEASURED,
    results=results,
    detail=detail,
)
