"""The point, its curves, place and procedure on the report of a one-point."""

from buildsite.kinds.answers import given
from buildsite.kinds.reporting import (
    gram_places,
    grams,
    point_density,
    result_label,
    to_places,
)
from buildsite.kinds.sheet import Cell, Column, Row, Table, fact_table
from buildsite.kinds.tests.field_density.places import position_words
from buildsite.kinds.tests.moisture_density.sheet.points import SLUGS, computed
from buildsite.kinds.tests.one_point.compute import Test
from buildsite.kinds.tests.shared.facts import join_known
from buildsite.record.units import unit


def point_table(case: Test) -> Table | None:
    """Return the specimen: readings and computed values."""
    point, record = case.values.point, case.record
    if point is None:
        return None
    name = case.values.density_unit
    shown, slug = unit(name).shown, SLUGS[name]
    mass = record.point.mold_and_wet_soil if record.point is not None else None
    places = gram_places([mass, record.mold_mass], record.units.compacted)
    water = result_label(case.method, "water_content", name)
    dry = result_label(case.method, "dry_density", name)
    columns = (
        Column("No.", number=True, key="number"),
        Column("Wet soil in mold", "g", number=True, key="wet_soil_g"),
        computed("Wet density", shown, f"wet_density_{slug}", "wet-density"),
        computed(water, "%", "water_content_percent", "water-content"),
        computed(dry, shown, f"dry_density_{slug}", "dry-density"),
        computed("Saturation", "%", "saturation_percent", "saturation"),
    )
    texts = (
        "1",
        grams(point.wet_soil, places),
        point_density(point.wet_density, name),
        to_places(point.water_content, 2),
        point_density(point.dry_density, name),
        to_places(point.saturation, 1),
    )
    rows = (Row(tuple(map(Cell, texts)), point=1),)
    return Table("points", "Point", columns, rows, role="points")


def curve_facts(case: Test) -> Table | None:
    """Return the curves that the point was held against, as last reported."""
    curves, found = case.values.curves, case.values.found
    if not curves:
        return None
    name = case.values.density_unit
    rows = []
    for one in sorted(curves, key=lambda one: one.peak.optimum_water_content):
        stated = not one.revision and bool(case.record.members)
        to = None if stated else ("test", one.id)
        rows.append(
            Row(
                (
                    Cell(one.id, to),
                    Cell(
                        one.revision.removeprefix(one.id).strip()
                        or ("stated" if stated else "not issued")
                    ),
                    Cell(point_density(one.peak.maximum_dry_density, name)),
                    Cell(to_places(one.peak.optimum_water_content, 1)),
                    Cell("used" if one.id in found.members else ""),
                )
            )
        )
    columns = (
        Column("Curve"),
        Column("Revision"),
        Column("Maximum dry density", unit(name).shown, number=True),
        Column("Optimum moisture content", "%", number=True),
        Column("Found"),
    )
    return Table("curves", "Curves", columns, tuple(rows), role="more")


def place_facts(case: Test) -> Table | None:
    """Return where the soil was taken, and the family; None where neither is named."""
    record = case.record
    rows: list[tuple[str, Cell | str]] = [("Position", position_words(record))]
    if record.family is not None:
        to = ("family", f"{record.project}/{record.family}")
        rows.append(("Family of curves", Cell(record.family, to)))
    if record.reference is not None:
        to = ("test", record.reference)
        rows.append(("Reference curve", Cell(record.reference, to)))
    table = fact_table("place", "Place and curves", rows)
    return table if table.rows else None


DRYING = {
    "oven": "oven",
    "microwave": "microwave oven, in the field",
    "stove": "stove, in the field",
    "gas-pressure": "gas-pressure tester, in the field",
}


def method_rows(case: Test) -> list[tuple[str, Cell | str]]:
    """Return the rows of the procedure."""
    record, effort = case.record, case.values.effort
    rammer = record.rammer
    blows = face = ""
    if record.layers and record.blows_per_layer:
        blows = f"{record.layers} layers, {record.blows_per_layer} blows each"
    if rammer is not None and rammer.face:
        face = f"{rammer.face} face"
    by = f"{effort.designation}, Method {effort.name}" if effort is not None else ""
    return [
        ("Compacted as", by or (record.standard.effort or "")),
        ("Preparation", record.preparation or ""),
        ("Material passing", record.processed_through or ""),
        ("Compaction", blows),
        ("Rammer", join_known(rammer.operation, face) if rammer is not None else ""),
        ("Water content by", DRYING.get(record.water_content_by or "", "")),
        ("Specific gravity", gravity_text(case)),
        ("Oversize", oversize_text(case)),
    ]


def gravity_text(case: Test) -> str:
    """Return the specific gravity of the zero-air-voids line."""
    gravity = case.values.gravity
    if gravity is None:
        return "not stated"
    stated = given(str(gravity.value), gravity.given_by, gravity.laboratory)
    own = gravity.source in (case.record.id, case.record.sample)
    return join_known(stated, gravity.basis, "" if own else f"by {gravity.source}")


def oversize_text(case: Test) -> str:
    """Return the oversize excluded from the mold."""
    coarse = case.values.oversize
    if coarse is None:
        return ""
    bulk = coarse.bulk_specific_gravity
    text = join_known(
        f"{to_places(float(coarse.percent_retained), 1)} % retained on "
        f"{coarse.sieve or 'the sieve'}",
        f"bulk specific gravity {bulk} ({coarse.bulk_basis or 'basis not stated'})"
        if bulk
        else "",
    )
    return given(text, coarse.given_by, coarse.laboratory)
