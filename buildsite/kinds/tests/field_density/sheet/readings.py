"""The readings of a field density in tables: gauge, containers, apparatus."""

from collections.abc import Iterator

from buildsite.kinds.field_answers import GaugeFacts, SandConeFacts
from buildsite.kinds.reporting import grams, point_density, printed_unit, to_places
from buildsite.kinds.sheet import Column, Table
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.holes import apparatus_facts
from buildsite.kinds.tests.shared import facts
from buildsite.kinds.tests.shared import report as blocks
from buildsite.record.units import to_si
from buildsite.values import dataclass


@dataclass(frozen=True)
class Numbered:
    """A line of a table by its number."""

    number: int
    rejected: bool


def density_column(label: str, unit: str, name: str) -> Column:
    """Return the column of a density in the unit of the report."""
    key = f"{name}_{unit.replace('/', '_')}"
    return Column(label, printed_unit(unit), number=True, key=key)


def gauge_table(case: Test) -> Table | None:
    """Return every reading of a gauge, rotated ones too."""
    gauge, unit = case.record.gauge, case.record.units.density
    if gauge is None or unit is None:
        return None
    shown = case.values.density_unit
    columns = (
        density_column("Wet density", shown, "wet_density"),
        density_column("Water, as read", shown, "water"),
    )
    lines = [
        (
            Numbered(i, one.rejected is not None),
            [
                point_density(None if value is None else to_si(value, unit), shown)
                for value in (one.wet_density, one.water)
            ],
        )
        for i, one in enumerate(gauge.readings, 1)
    ]
    return blocks.line_table("readings", "Gauge readings", columns, lines)


def container_table(case: Test) -> Table | None:
    """Return the containers of the field, and those of the oven's check."""
    record, water = case.record, case.word("water_content").capitalize()
    columns = (
        Column("Container", key="container"),
        Column("Moist soil", "g", number=True, key="moist_soil_g"),
        Column(water, "%", number=True, key="water_content_percent"),
        Column("Dried by", key="dried_by"),
    )
    check = record.oven_check.containers if record.oven_check is not None else ()
    way = record.water_content_by or "oven"
    found = case.values.water
    lines = [
        (
            one,
            (
                part.container or "—",
                grams(one.moist_soil, 1),
                to_places(one.water_content, 2),
                by,
            ),
        )
        for parts, values, by in (
            (record.containers, found.containers, way.replace("-", " ")),
            (check, found.checked, "oven, as a check"),
        )
        for part, one in zip(parts, values, strict=True)
    ]
    return blocks.line_table("containers", "Containers", columns, lines)


NAMES = {
    "sand-cone": "Sand cone",
    "drive-cylinder": "Drive cylinder",
    "nuclear-gauge": "Nuclear gauge",
    "balloon": "Rubber balloon",
}


def apparatus_rows(case: Test) -> Iterator[facts.EquipmentRow]:
    """Yield the apparatus with its calibration in force, and the sand of its bag."""
    record, found = case.record, apparatus_facts(case.record, case.inputs)
    if found is None:
        return
    name = NAMES[record.apparatus]
    yield name, found.id, found.name, found.calibrated_on, found.next_due
    if isinstance(found, SandConeFacts):
        what = f"bag {found.bag}" if found.bag else "no bag named"
        yield "Sand", found.id, what, found.sand_on, found.sand_next_due


def in_house(case: Test) -> bool:
    """Whether the apparatus is a gauge: its serial number and licence stay in-house."""
    return isinstance(apparatus_facts(case.record, case.inputs), GaugeFacts)
