"""The report of a coarse fraction, as blocks in reading order."""

from buildsite.kinds.reporting import gram_places, shown_places
from buildsite.kinds.sheet import Cell, Column, Note, Plot, Row, Sheet, Table
from buildsite.kinds.tests.coarse_fraction.case import Test
from buildsite.kinds.tests.coarse_fraction.reported import reported
from buildsite.kinds.tests.shared import facts as shared
from buildsite.kinds.tests.shared import notes as said
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


def label(case: Test, name: str) -> str:
    """Name a result, as a line begins."""
    if name in WORDS:
        return WORDS[name].format(sieve=case.record.sieve)
    method = case.method
    text = method.word(name) if method is not None else name.replace("_", " ")
    return text[:1].upper() + text[1:]


def results(case: Test) -> Table:
    """The results, or that there are none."""
    found = reported(case)
    rows = tuple(
        Row((Cell(label(case, name)), Cell(result.reported)), mark=name)
        for name, result in found.items()
    )
    none = Row((Cell("No result"), Cell("Readings are wanting.")), mark="none")
    return Table(
        "results",
        "Results",
        (Column("Result"), Column("Reported")),
        rows or (none,),
        role="results",
        headed="row",
        note=NOTE if "bulk_specific_gravity" in found else "",
    )


NOTE = "Of the oversize: what the sieve named above held back. Percent by dry mass."


def split_columns(unit: str) -> tuple[Column, ...]:
    """Columns of the split, its masses in the unit they were weighed in."""
    return (
        Column("No.", number=True, key="number"),
        Column("Retained on", key="retained_on"),
        Column("As weighed", unit, number=True, key=f"mass_{unit}".rstrip("_")),
        Column("Water content", "%", number=True, key="water_content_percent"),
        Column("Dry mass", "g", number=True, key="dry_mass_g"),
        Column("Of the whole", "%", number=True, key="retained_percent"),
    )


STONES = (
    Column("No.", number=True, key="number"),
    Column("Retained on", key="retained_on"),
    Column("Dry mass", "g", number=True, key="dry_mass_g"),
    Column("Bulk, oven-dry", number=True, key="bulk_specific_gravity"),
    Column("Bulk, SSD", number=True, key="ssd_bulk_specific_gravity"),
    Column("Apparent", number=True, key="apparent_specific_gravity"),
    Column("Absorption", "%", number=True, key="absorption_percent"),
)
GRAMS = 1000.0


def grams(mass: float | None, decimals: int) -> str:
    """A mass for the table, to the place that was read."""
    return shown_places(None if mass is None else mass * GRAMS, decimals)


def split_table(case: Test) -> Table | None:
    """One row a fraction."""
    unit = case.record.units.split or ""
    decimals = gram_places((one.mass for one in case.record.fractions), unit or None)
    rows = tuple(
        Row(
            tuple(
                Cell(text)
                for text in (
                    str(found.number),
                    one.retained_on,
                    "—" if one.mass is None else str(one.mass),
                    shown_places(found.water_content, 1),
                    grams(found.dry_mass, decimals),
                    shown_places(found.retained, 1),
                )
            )
        )
        for one, found in zip(case.record.fractions, case.values.fractions, strict=True)
    )
    whole = case.record.total_mass
    note = f"Before sieving: {whole} {unit}." if whole is not None else ""
    if not rows:
        return None
    columns = split_columns(unit)
    return Table("split", "Split", columns, rows, role="points", note=note)


def stone_table(case: Test) -> Table | None:
    """One row a specimen of stones."""
    read = (dry for one in case.record.specimens for dry in one.oven_dry or ())
    decimals = gram_places(read, case.record.units.gravity)
    rows = tuple(
        Row(
            tuple(
                Cell(text)
                for text in (
                    str(made.number),
                    one.retained_on or "—",
                    grams(made.dry_mass, decimals),
                    *(
                        shown_places(getattr(made.found, name, None), places)
                        for name, places in OF_STONES
                    ),
                )
            ),
            mark="rejected" if made.rejected else "",
            point=made.number,
        )
        for one, made in zip(case.record.specimens, case.values.stones, strict=True)
    )
    if not rows:
        return None
    return Table("specimens", "Stones", STONES, rows, role="points")


OF_STONES = (("bulk", 3), ("surface_dry", 3), ("apparent", 3), ("absorption", 2))


def soaked(case: Test) -> str:
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
    return shared.joined(*moments, f"water at {heat} °C" if heat is not None else "")


def method_facts(case: Test) -> Table:
    """How the test was made."""
    record = case.record
    variant = record.standard.variant
    before = {
        "dried": "dried before they soaked",
        "natural": "in their natural state, not dried before they soaked",
    }
    return shared.facts(
        "method",
        "Method",
        [
            shared.standard_row(case),
            ("Variant", "" if variant == "none" else variant),
            ("Oversize sieve", record.sieve),
            ("Nominal maximum size", record.nominal_maximum or ""),
            (
                "Fractions",
                f"weighed {record.split_masses}" if record.split_masses else "",
            ),
            (
                "Stones",
                before[record.before_soaking] if record.before_soaking else "",
            ),
            ("Soaked", soaked(case)),
        ],
    )


def sheet(case: Test, flags: tuple[Flag, ...]) -> Sheet:
    """Everything that a report says, in reading order."""
    blocks: list[Table | Plot | Note | None] = [
        said.withdrawn(case),
        results(case),
        split_table(case),
        stone_table(case),
        shared.sample_facts(case),
        method_facts(case),
        shared.acts(case),
        shared.equipment(shared.device_rows(case)),
        said.flag_table(flags),
        said.note_table(flags),
        said.rejected(case),
        said.departures(case),
        said.remarks(case),
        said.outside(case),
        said.statements(case, "lifting, dust, wet floors and hot pans"),
        said.cautions(CAUTIONS),
    ]
    return Sheet(
        title=case.method.title if case.method is not None else "Coarse fraction",
        subtitle=shared.standard_named(case.record.standard),
        blocks=tuple(block for block in blocks if block is not None),
        day=case.record.tested.on,
    )
