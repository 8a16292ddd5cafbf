"""The report of a specific gravity test, as blocks in reading order."""

from collections.abc import Iterator

from buildsite.kinds.reporting import to_places
from buildsite.kinds.sheet import Cell, Column, Row, Sheet, Table
from buildsite.kinds.tests.shared import facts
from buildsite.kinds.tests.shared.report import report, result_table, word_for
from buildsite.kinds.tests.specific_gravity.compute import DeterminationValues, Test
from buildsite.kinds.tests.specific_gravity.links import each_pycnometer
from buildsite.record.flags import Flag
from buildsite.record.units import from_si

CAUTIONS = (
    "Boiling: a pycnometer bumps and spits; boil it gently on a guard, with gloves and "
    "glasses, and let it cool before it is filled.",
    "Vacuum: glass under vacuum may fly apart; use one without a scratch, behind a "
    "shield.",
    "Oven: hot containers burn; use tongs and gloves.",
    "Dust: dry soil may hold silica; extract it or wear a mask. Treat unknown soil as "
    "contaminated.",
)


def result_words(case: Test, name: str) -> str:
    """Name a result as the standard does, and of what soil it is."""
    whole = ", with the coarse grains," if name.startswith("combined") else ""
    return f"{word_for(case, 'specific_gravity')}{whole} at 20 °C"


def mean_note(case: Test) -> str:
    """How many determinations the result is the mean of, and how far apart."""
    count, spread = len(case.values.used), case.values.spread
    if spread is None:
        return "One determination." if count else ""
    return f"Mean of {count} determinations, {to_places(spread, 3)} apart at most."


def determination_texts(case: Test, one: DeterminationValues) -> tuple[str, ...]:
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
        to_places(dry, 2),
        to_places(full, 2),
        "—" if both is None else str(both),
        "—" if at is None else str(at),
        to_places(one.factor, 5),
        to_places(one.specific_gravity, 3),
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
    found = case.values.determinations
    heads = columns(case.record.units.mass or "g")
    lines = [determination_texts(case, one) for one in found]
    keep = [i for i in range(len(heads)) if not i or any(x[i] != "—" for x in lines)]
    rows = [
        Row(
            tuple(Cell(texts[i]) for i in keep),
            mark="rejected" if one.rejected else "",
            point=one.number,
        )
        for texts, one in zip(lines, found, strict=True)
    ]
    taken = any(one.transcribed for one in found)
    return Table(
        name="determinations",
        title="Determinations",
        columns=tuple(heads[i] for i in keep),
        rows=tuple(rows),
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
    return facts.join_known(
        f"{to_places(coarse.percent_retained, 1)} % retained",
        f"specific gravity {to_places(coarse.specific_gravity, 3)} ({coarse.basis})",
        f"by {coarse.source}" if coarse.source != case.record.id else "",
    )


def pycnometers(case: Test) -> Iterator[facts.EquipmentRow]:
    """Every pycnometer of a test, with the calibration that held on the day."""
    for _, one in each_pycnometer(case):
        volume = None if one.volume_m3 is None else one.volume_m3 * 1e6
        size = f"{to_places(volume, 2)} cm³" if volume is not None else ""
        what = facts.join_known(one.name, size)
        yield "Pycnometer", one.id, what, one.calibrated_on, one.next_due


def sheet(case: Test, flags: tuple[Flag, ...]) -> Sheet:
    """Everything that a report says, in reading order."""
    record, air = case.record, case.record.deaired
    hours = f"{air.hours} h" if air is not None and air.hours else ""
    results = result_table(
        case, "No determination is whole.", mean_note(case), result_words
    )
    return report(
        case,
        flags,
        title="Specific gravity test",
        results=[] if record.status == "withdrawn" else [results],
        lines=[determination_table(case)],
        method=[
            ("Specimen", record.specimen or ""),
            ("Processed through", record.processed_through or ""),
            ("Air driven out by", facts.join_known(air.by, hours) if air else ""),
            ("Coarse grains", coarse_words(case)),
        ],
        hazards="boiling, vacuum, oven and dust",
        cautions=CAUTIONS,
        equipment=pycnometers(case),
    )
