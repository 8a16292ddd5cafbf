"""The table of points: readings and computed values."""

from buildsite.kinds.reporting import (
    point_density,
    result_label,
    result_word,
    to_places,
)
from buildsite.kinds.sheet import Cell, Column, Row, Table
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.kinds.tests.moisture_density.wording import spelled
from buildsite.record.units import unit

SLUGS = {
    "kg/m3": "kg_m3",
    "Mg/m3": "Mg_m3",
    "lb/ft3": "lb_ft3",
    "lbf/ft3": "lbf_ft3",
    "kN/m3": "kN_m3",
}


def computed(label: str, unit: str, key: str, steps: str) -> Column:
    """Return the column of a computed value."""
    return Column(label, unit, number=True, key=key, steps=steps)


def point_columns(case: Test) -> tuple[Column, ...]:
    """Return the columns, in the words of the standard."""
    method, name = case.method, case.values.density_unit
    shown, slug = unit(name).shown, SLUGS[name]
    compacted = case.record.units.compacted or ""
    water = result_label(method, "water_content", name)
    wet = result_label(method, "wet_density", name)
    dry = result_label(method, "dry_density", name)
    return (
        Column("Point", key="point"),
        Column(water_added_label(case), "mL", number=True, key="water_added_ml"),
        Column(
            spelled("Mold and wet soil", method),
            compacted,
            number=True,
            key=f"mold_and_wet_soil_{compacted}",
        ),
        Column("Container", key="container"),
        computed(water, "%", "water_content_percent", "water-content"),
        computed(wet, shown, f"wet_density_{slug}", "wet-density"),
        computed(dry, shown, f"dry_density_{slug}", "dry-density"),
        computed("Saturation", "%", "saturation_percent", "saturation"),
        computed("Air voids", "%", "air_voids_percent", "air-voids"),
    )


def water_added_label(case: Test) -> str:
    """Return the column title, with whether each amount or the total was recorded."""
    how = case.record.water_added
    words = {"each": "for each point"}.get(how or "", how)
    return f"Water added, {words}" if words else "Water added"


def point_cells(case: Test, index: int, values: PointValues) -> tuple[str, ...]:
    """Return the texts of one point."""
    point, name = case.record.points[index], case.values.density_unit
    labels = ", ".join(one.container for one in point.all_containers if one.container)
    return (
        str(values.number),
        str(point.water_added_ml) if point.water_added_ml is not None else "—",
        str(point.mold_and_wet_soil) if point.mold_and_wet_soil is not None else "—",
        labels or "—",
        to_places(values.water_content, 1),
        point_density(values.wet_density, name),
        point_density(values.dry_density, name),
        to_places(values.saturation, 0),
        to_places(values.air_voids, 1),
    )


def point_table(case: Test) -> Table:
    """Return all points, rejected ones marked, without empty columns."""
    rows = [point_cells(case, i, one) for i, one in enumerate(case.values.points)]
    keep = [
        i
        for i, column in enumerate(point_columns(case))
        if column.key == "point" or any(row[i] != "—" for row in rows)
    ]
    everything = point_columns(case)
    return Table(
        name="points",
        title="Points",
        columns=tuple(everything[i] for i in keep),
        rows=tuple(
            Row(
                tuple(Cell(row[i]) for i in keep),
                mark="rejected" if one.rejected else "",
                point=one.number,
            )
            for row, one in zip(rows, case.values.points, strict=True)
        ),
        role="points",
        note=transcribed_note(case),
    )


def transcribed_note(case: Test) -> str:
    """Return the note about transcribed values."""
    names = sorted({name for one in case.values.points for name in one.transcribed})
    if not names:
        return ""
    unit_name = case.values.density_unit
    words = " and ".join(result_word(case.method, name, unit_name) for name in names)
    return f"Transcribed, not observed in this record: {words}."
