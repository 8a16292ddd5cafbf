"""The report of a specific gravity test, as blocks in reading order."""

from collections.abc import Iterator

from buildsite.kinds.answers import PycnometerFacts
from buildsite.kinds.kind import Result
from buildsite.kinds.reporting import rounded, shown_places
from buildsite.kinds.sheet import Cell, Column, Note, Plot, Row, Sheet, Table
from buildsite.kinds.tests.shared import facts, notes
from buildsite.kinds.tests.specific_gravity.case import Test
from buildsite.kinds.tests.specific_gravity.compute import Found
from buildsite.kinds.tests.specific_gravity.links import pycnometer_refs
from buildsite.record.flags import Flag
from buildsite.record.units import from_si
from buildsite.soil.rounding import plain, round_half_even, snap
from buildsite.standards.tables import Method

UNRULED_PLACES = 2
"""Decimals where no row of a standard says: common practice."""

CAUTIONS = (
    "Boiling: a pycnometer bumps and spits; boil it gently on a guard, with gloves and "
    "glasses, and let it cool before it is filled.",
    "Vacuum: glass under vacuum may fly apart; use one without a scratch, behind a "
    "shield.",
    "Oven: hot containers burn; use tongs and gloves.",
    "Dust: dry soil may hold silica; extract it or wear a mask. Treat unknown soil as "
    "contaminated.",
)


def reported(name: str, value: float, method: Method | None) -> Result:
    """Report a specific gravity to the place that the method asks for."""
    text = (
        rounded(value, method.report("specific_gravity", ""))
        if method is not None
        else plain(round_half_even(snap(value), UNRULED_PLACES))
    )
    return Result(value, "", text)


RESULTS = (
    ("specific_gravity", "mean"),
    ("combined_specific_gravity", "combined"),
)
"""Results by name, and where the values have each."""


def results(case: Test) -> dict[str, Result]:
    """Report the mean, and where coarse grains were put to it, that of the whole."""
    pairs = ((name, getattr(case.values, at)) for name, at in RESULTS)
    return {
        name: reported(name, value, case.method)
        for name, value in pairs
        if value is not None
    }


def words(case: Test, name: str) -> str:
    """Name a result as the standard does, and of what soil it is."""
    method = case.method
    said = method.word("specific_gravity") if method is not None else "specific gravity"
    said = said[:1].upper() + said[1:]
    if name.startswith("combined"):
        return f"{said}, with the coarse grains, at 20 °C"
    return f"{said} at 20 °C"


def result_table(case: Test) -> Table:
    """The results, or why there are none."""
    rows = tuple(
        Row((Cell(words(case, name)), Cell(one.reported)), mark=name)
        for name, one in results(case).items()
    )
    if not rows:
        rows = (
            Row((Cell("No result"), Cell("No determination is whole.")), mark="none"),
        )
    heads = (Column("Result"), Column("Reported"))
    return Table(
        "results", "Results", heads, rows, role="results", headed="row", note=how(case)
    )


def how(case: Test) -> str:
    """How many determinations the result is the mean of, and how far apart."""
    count, spread = len(case.values.used), case.values.spread
    if spread is None:
        return "One determination." if count else ""
    return f"Mean of {count} determinations, {shown_places(spread, 3)} apart at most."


def line(case: Test, one: Found) -> tuple[str, ...]:
    """One determination, ready to print."""
    record = case.record
    written, unit = record.determinations[one.number - 1], record.units.mass or "g"
    both = written.pycnometer_soil_and_water
    dry, full = (
        None if mass is None else from_si(mass, unit)
        for mass in (one.dry_soil, one.full_of_water)
    )
    at = written.temperature_c
    return (
        str(one.number),
        one.pycnometer or "—",
        shown_places(dry, 2),
        shown_places(full, 2),
        "—" if both is None else str(both),
        "—" if at is None else str(at),
        shown_places(one.factor, 5),
        shown_places(one.specific_gravity, 3),
    )


def columns(unit: str) -> tuple[Column, ...]:
    """Columns of the determinations."""
    slug = unit.replace("/", "_")
    return (
        Column("Determination", key="determination"),
        Column("Pycnometer", key="pycnometer"),
        Column("Dry soil", unit, number=True, key=f"dry_soil_{slug}"),
        Column("Full of water", unit, number=True, key=f"full_of_water_{slug}"),
        Column("With soil", unit, number=True, key=f"soil_and_water_{slug}"),
        Column("Water at", "°C", number=True, key="temperature_c"),
        Column("Factor K", number=True, key="temperature_factor"),
        Column("Specific gravity", number=True, key="specific_gravity"),
    )


def determination_table(case: Test) -> Table:
    """Every determination in the order of the bench, rejected ones marked."""
    heads = columns(case.record.units.mass or "g")
    lines = [line(case, one) for one in case.values.determinations]
    keep = [
        i
        for i, column in enumerate(heads)
        if column.key == "determination" or any(row[i] != "—" for row in lines)
    ]
    taken = any(one.transcribed for one in case.values.determinations)
    return Table(
        name="determinations",
        title="Determinations",
        columns=tuple(heads[i] for i in keep),
        rows=tuple(
            Row(
                tuple(Cell(row[i]) for i in keep),
                mark="rejected" if one.rejected else "",
                point=one.number,
            )
            for row, one in zip(lines, case.values.determinations, strict=True)
        ),
        role="points",
        note="Transcribed, not observed in this record: specific gravity."
        if taken
        else "",
    )


def coarse_words(case: Test) -> str:
    """The grains that were put to the others."""
    coarse = case.values.coarse
    if coarse is None:
        return ""
    return facts.joined(
        f"{shown_places(coarse.percent_retained, 1)} % retained",
        f"specific gravity {shown_places(coarse.specific_gravity, 3)} ({coarse.basis})",
        f"by {coarse.source}" if coarse.source != case.record.id else "",
    )


def method_facts(case: Test) -> Table:
    """How the test was made."""
    record, air = case.record, case.record.deaired
    variant = record.standard.variant
    return facts.facts(
        "method",
        "Method",
        [
            facts.standard_row(case),
            ("Variant", "" if variant == "none" else variant),
            ("Specimen", record.specimen or ""),
            ("Processed through", record.processed_through or ""),
            (
                "Air driven out by",
                facts.joined(air.by, f"{air.hours} h" if air.hours else "")
                if air is not None
                else "",
            ),
            ("Coarse grains", coarse_words(case)),
        ],
    )


def pycnometers(case: Test) -> Iterator[facts.Used]:
    """Every pycnometer of a test, with the calibration that held on the day."""
    seen = set()
    for ref in pycnometer_refs(case.record):
        one = case.inputs.get(PycnometerFacts, ref.id, ref.on)
        if one is None or ref.id in seen:
            continue
        seen.add(ref.id)
        volume = None if one.volume_m3 is None else one.volume_m3 * 1e6
        size = f"{shown_places(volume, 2)} cm³" if volume is not None else ""
        what = facts.joined(one.name, size)
        yield "Pycnometer", one.id, what, one.calibrated_on, one.next_due


def sheet(case: Test, flags: tuple[Flag, ...]) -> Sheet:
    """Everything that a report says, in reading order."""
    withdrawn = case.record.status == "withdrawn"
    blocks: list[Table | Plot | Note | None] = [
        notes.withdrawn(case),
        None if withdrawn else result_table(case),
        determination_table(case),
        facts.sample_facts(case),
        method_facts(case),
        facts.acts(case),
        facts.equipment([*pycnometers(case), *facts.device_rows(case)]),
        notes.flag_table(flags),
        notes.note_table(flags),
        notes.rejected(case),
        notes.departures(case),
        notes.remarks(case),
        notes.outside(case),
        notes.statements(case, "boiling, vacuum, oven and dust"),
        notes.cautions(CAUTIONS),
    ]
    title = case.method.title if case.method is not None else "Specific gravity test"
    return Sheet(
        title=title,
        subtitle=facts.standard_named(case.record.standard),
        blocks=tuple(block for block in blocks if block is not None),
        day=case.record.tested.on,
    )
