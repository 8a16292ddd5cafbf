"""The report of a specific gravity test, as blocks in reading order."""

from collections.abc import Iterator

from buildsite.kinds.answers import given
from buildsite.kinds.reporting import to_places
from buildsite.kinds.sheet import Cell, Column, Row, Sheet, Table
from buildsite.kinds.tests.shared import facts
from buildsite.kinds.tests.shared.report import report, result_table
from buildsite.kinds.tests.specific_gravity.compute import DeterminationValues, Test
from buildsite.kinds.tests.specific_gravity.links import each_pycnometer
from buildsite.record.flags import Flag
from buildsite.record.units import from_si

CAUTIONS = (
    "Boiling: a pycnometer may bump and spit; boil gently, wear gloves and safety "
    "glasses, and let it cool before filling.",
    "Vacuum: glass under vacuum may implode; use unscratched glass behind a shield.",
    "Oven: hot containers burn. Use tongs and gloves.",
    "Dust: dry soil may contain silica. Use dust extraction or a mask. Treat unknown "
    "soil as contaminated.",
)


def result_words(case: Test, name: str) -> str:
    """Return the standard's word for a result, and the soil it is of."""
    whole = " including coarse particles" if name.startswith("combined") else ""
    return f"{case.word('specific_gravity')}{whole} at 20 °C"


def mean_note(case: Test) -> str:
    """Return the number of determinations behind the result, and their range."""
    count, spread = len(case.values.used), case.values.spread
    if spread is None:
        return "One determination." if count else ""
    return f"Mean of {count} determinations; range {to_places(spread, 3)}."


def determination_texts(case: Test, one: DeterminationValues) -> tuple[str, ...]:
    """Return the texts of one determination."""
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
    """Return the columns of the determinations."""
    slug = unit.replace("/", "_")
    return (
        Column("Determination", key="determination"),
        Column("Pycnometer", key="pycnometer"),
        Column("Dry soil", unit, number=True, key=f"dry_soil_{slug}", steps="dry-soil"),
        Column(
            "Pycnometer and water",
            unit,
            number=True,
            key=f"full_of_water_{slug}",
            steps="full-of-water",
        ),
        Column(
            "Pycnometer, soil and water",
            unit,
            number=True,
            key=f"soil_and_water_{slug}",
        ),
        Column("Water temperature", "°C", number=True, key="temperature_c"),
        Column("Factor K", number=True, key="temperature_factor", steps="factor"),
        Column(
            "Specific gravity",
            number=True,
            key="specific_gravity",
            steps="specific-gravity",
        ),
    )


def determination_table(case: Test) -> Table:
    """Return the table of determinations, rejected ones marked."""
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
    """Describe the coarse particles included in the combined result."""
    coarse = case.values.coarse
    if coarse is None:
        return ""
    text = facts.join_known(
        f"{to_places(coarse.percent_retained, 1)} % retained",
        f"specific gravity {to_places(coarse.specific_gravity, 3)} ({coarse.basis})",
        f"by {coarse.source}" if coarse.source != case.record.id else "",
    )
    return given(text, coarse_given_by(case))


def coarse_given_by(case: Test) -> str:
    """Return who supplied what is stated of the coarse particles; blank: found here."""
    stated = case.record.coarse
    own = stated is not None and stated.test is None
    return (stated.given_by or "") if stated is not None and own else ""


def pycnometers(case: Test) -> Iterator[facts.EquipmentRow]:
    """Return every pycnometer of a test, with its calibration in force that day."""
    for _, one in each_pycnometer(case):
        volume = None if one.volume_m3 is None else one.volume_m3 * 1e6
        size = f"{to_places(volume, 2)} cm³" if volume is not None else ""
        what = facts.join_known(one.name, size, facts.as_found(one))
        yield "Pycnometer", one.id, what, one.calibrated_on, one.next_due


def sheet(case: Test, flags: tuple[Flag, ...]) -> Sheet:
    """Return the report, its blocks in reading order."""
    record, air = case.record, case.record.deaired
    hours = f"{air.hours} h" if air is not None and air.hours else ""
    results = result_table(
        case, "No determination is complete.", mean_note(case), result_words
    )
    return report(
        case,
        flags,
        title="Specific gravity test",
        results=[] if record.status == "withdrawn" else [results],
        lines=[determination_table(case)],
        method=[
            ("Specimen", record.specimen or ""),
            ("Material passing", record.processed_through or ""),
            ("De-aired by", facts.join_known(air.by, hours) if air else ""),
            ("Coarse particles", coarse_words(case)),
        ],
        hazards="boiling, vacuum, oven and dust",
        cautions=CAUTIONS,
        equipment=pycnometers(case),
        from_customer=["coarse particles"] if coarse_given_by(case) else [],
    )
