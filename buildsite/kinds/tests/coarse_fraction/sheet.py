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
)
from buildsite.record.flags import Flag

CAUTIONS = (
    "Lifting: samples and wet baskets are heavy. Share the load. Keep hands clear of a "
    "mechanical sieve shaker, and wear ear protection beside it.",
    "Dust: dry soil may contain silica. Use dust extraction or a mask when sieving. "
    "Treat unknown soil as contaminated.",
    "Water: a wet floor is slippery, and water near electrical plugs is a hazard; wipe "
    "up spills.",
    "Oven: hot pans burn. Use gloves. Keep flammables out. Wet particles may "
    "burst when heated fast.",
)

WORDS = {
    "percent_retained": "Retained on {sieve}",
    "oversize_water_content": "{water} of the oversize",
}


def result_words(case: Test, name: str) -> str:
    """Return the words for a result."""
    water = case.word("water_content").capitalize()
    words = WORDS.get(name, case.word(name))
    return words.format(sieve=case.record.sieve, water=water)


NOTE = "Properties of the oversize, retained on the sieve above. Percent by dry mass."


def split_columns(unit: str, water: str) -> tuple[Column, ...]:
    """Return the columns of the split, its masses in the unit they were weighed in."""
    return (
        NUMBER,
        Column("Retained on", key="retained_on"),
        Column("As weighed", unit, number=True, key=f"mass_{unit}".rstrip("_")),
        Column(
            water.capitalize(),
            "%",
            number=True,
            key="water_content_percent",
            steps="water-content",
        ),
        Column("Dry mass", "g", number=True, key="dry_mass_g", steps="dry-mass"),
        Column(
            "Share by dry mass",
            "%",
            number=True,
            key="retained_percent",
            steps="share",
        ),
    )


def particle_column(label: str, key: str, steps: str, unit: str = "") -> Column:
    """Return the column of what was computed of the masses of a specimen."""
    return Column(label, unit, number=True, key=key, steps=steps)


PARTICLE_COLUMNS = (
    Column("Retained on", key="retained_on"),
    Column("Dry mass", "g", number=True, key="dry_mass_g"),
    particle_column("Specific gravity, oven-dry", "bulk_specific_gravity", "bulk"),
    particle_column(
        "Specific gravity, SSD", "ssd_bulk_specific_gravity", "surface_dry"
    ),
    particle_column(
        "Specific gravity, apparent", "apparent_specific_gravity", "apparent"
    ),
    particle_column("Absorption", "absorption_percent", "absorption", "%"),
)


def split_table(case: Test) -> Table | None:
    """Return the table of fractions."""
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
            ),
            point=found.number,
        )
        for one, found in zip(record.fractions, case.values.fractions, strict=True)
    ]
    whole = record.total_mass
    note = f"Mass before sieving: {whole} {unit}." if whole is not None else ""
    if not rows:
        return None
    columns = split_columns(unit, case.word("water_content"))
    return Table("split", "Split", columns, tuple(rows), role="points", note=note)


PARTICLE_PLACES = (("bulk", 3), ("surface_dry", 3), ("apparent", 3), ("absorption", 2))
"""Values of a specimen, and their decimals."""


def particle_table(case: Test) -> Table | None:
    """Return the table of specimens."""
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
                    for name, decimals in PARTICLE_PLACES
                ),
            ),
        )
        for one, made in zip(record.specimens, case.values.particles, strict=True)
    ]
    return line_table("specimens", "Coarse particles", PARTICLE_COLUMNS, lines)


def soaking_text(case: Test) -> str:
    """Return the times of the soaking, and the temperature of the water."""
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
    "dried": "dried",
    "natural": "natural moisture condition, not dried",
}


def sheet(case: Test, flags: tuple[Flag, ...]) -> Sheet:
    """Return the report, its blocks in reading order."""
    record = case.record
    note = NOTE if "bulk_specific_gravity" in case.results else ""
    weighed = f"weighed {record.split_masses}" if record.split_masses else ""
    return report(
        case,
        flags,
        title="Coarse fraction",
        results=[result_table(case, "Readings are missing.", note, result_words)],
        lines=[split_table(case), particle_table(case)],
        method=[
            ("Oversize sieve", record.sieve),
            ("Nominal maximum size", record.nominal_maximum or ""),
            ("Fractions", weighed),
            ("Before soaking", BEFORE_SOAKING[record.before_soaking]),
            ("Soaked", soaking_text(case)),
        ],
        hazards="lifting, dust, wet floors and hot pans",
        cautions=CAUTIONS,
    )
