"""The report of a coarse fraction, as blocks in reading order."""

from buildsite.kinds.reporting import gram_places, grams, to_places
from buildsite.kinds.sheet import Cell, Column, Row, Sheet, Table
from buildsite.kinds.tests.coarse_fraction.compute import Test
from buildsite.kinds.tests.shared.facts import join_known
from buildsite.kinds.tests.shared.report import (
    NUMBER,
    line_table,
    report,
    result_table,
    word_for,
)
from buildsite.record.flags import Flag

CAUTIONS = (
    "Lifting: samples and wet baskets are heavy; share the load. Keep hands clear of a "
    "mechanical sieve shaker, and wear ear protection beside it.",
    "Dust: dry soil may hold silica; sieve it under extraction or wear a mask. Treat "
    "unknown soil as contaminated.",
    "Water on the floor is slippery, and no friend of a balance's plug: wipe it up.",
    "Oven: hot pans burn; use gloves, and put nothing flammable in. Wet stones may "
    "burst when they are heated fast.",
)

WORDS = {
    "percent_retained": "Retained on {sieve}",
    "oversize_water_content": "Water content of the oversize",
}


def result_words(case: Test, name: str) -> str:
    """Name a result."""
    if name in WORDS:
        return WORDS[name].format(sieve=case.record.sieve)
    return word_for(case, name)


NOTE = "Of the oversize: what the sieve named above held back. Percent by dry mass."


def split_columns(unit: str) -> tuple[Column, ...]:
    """Columns of the split, its masses in the unit they were weighed in."""
    return (
        NUMBER,
        Column("Retained on", key="retained_on"),
        Column("As weighed", unit, number=True, key=f"mass_{unit}".rstrip("_")),
        Column("Water content", "%", number=True, key="water_content_percent"),
        Column("Dry mass", "g", number=True, key="dry_mass_g"),
        Column("Of the whole", "%", number=True, key="retained_percent"),
    )


STONES = (
    Column("Retained on", key="retained_on"),
    Column("Dry mass", "g", number=True, key="dry_mass_g"),
    Column("Bulk, oven-dry", number=True, key="bulk_specific_gravity"),
    Column("Bulk, SSD", number=True, key="ssd_bulk_specific_gravity"),
    Column("Apparent", number=True, key="apparent_specific_gravity"),
    Column("Absorption", "%", number=True, key="absorption_percent"),
)


def split_table(case: Test) -> Table | None:
    """One row a fraction."""
    record, unit = case.record, case.record.units.split or ""
    places = gram_places((one.mass for one in record.fractions), unit or None)
    rows = [
        Row(
            (
                Cell(str(found.number)),
                Cell(one.retained_on),
                Cell("—" if one.mass is None else str(one.mass)),
                Cell(to_places(found.water_content, 1)),
                Cell(grams(found.dry_mass, places)),
                Cell(to_places(found.retained, 1)),
            )
        )
        for one, found in zip(record.fractions, case.values.fractions, strict=True)
    ]
    whole = record.total_mass
    note = f"Before sieving: {whole} {unit}." if whole is not None else ""
    if not rows:
        return None
    columns = split_columns(unit)
    return Table("split", "Split", columns, tuple(rows), role="points", note=note)


OF_STONES = (("bulk", 3), ("surface_dry", 3), ("apparent", 3), ("absorption", 2))
"""What follows from a specimen of stones, and decimals."""


def stone_table(case: Test) -> Table | None:
    """One row a specimen of stones."""
    record = case.record
    read = (dry for one in record.specimens for dry in one.oven_dry or ())
    places = gram_places(read, record.units.gravity)
    lines = [
        (
            made,
            (
                one.retained_on or "—",
                grams(made.dry_mass, places),
                *(
                    to_places(getattr(made.found, name, None), decimals)
                    for name, decimals in OF_STONES
                ),
            ),
        )
        for one, made in zip(record.specimens, case.values.stones, strict=True)
    ]
    return line_table("specimens", "Stones", STONES, lines)


def soaking_text(case: Test) -> str:
    """How long the stones lay in water, and how warm it was."""
    soak = case.record.soak
    if soak is None:
        return ""
    moments = [
        f"{lead} {moment:%Y-%m-%d %H:%M}"
        for lead, moment in (("in", soak.in_), ("out", soak.out))
        if moment is not None
    ]
    heat = soak.water_temperature_c
    return join_known(*moments, f"water at {heat} °C" if heat is not None else "")


BEFORE_SOAKING = {
    None: "",
    "dried": "dried before they soaked",
    "natural": "in their natural state, not dried before they soaked",
}


def sheet(case: Test, flags: tuple[Flag, ...]) -> Sheet:
    """Everything that a report says, in reading order."""
    record = case.record
    note = NOTE if "bulk_specific_gravity" in case.results else ""
    weighed = f"weighed {record.split_masses}" if record.split_masses else ""
    return report(
        case,
        flags,
        title="Coarse fraction",
        results=[result_table(case, "Readings are wanting.", note, result_words)],
        lines=[split_table(case), stone_table(case)],
        method=[
            ("Oversize sieve", record.sieve),
            ("Nominal maximum size", record.nominal_maximum or ""),
            ("Fractions", weighed),
            ("Stones", BEFORE_SOAKING[record.before_soaking]),
            ("Soaked", soaking_text(case)),
        ],
        hazards="lifting, dust, wet floors and hot pans",
        cautions=CAUTIONS,
    )
