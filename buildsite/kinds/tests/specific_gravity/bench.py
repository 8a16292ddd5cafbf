"""The bench of a specific gravity test: what is read, in the order it is read."""

from decimal import Decimal

from buildsite.kinds.bench_spec import LOCAL_RULES, Bench, Part, Progress, Reading
from buildsite.kinds.reporting import shown_places
from buildsite.kinds.tests.shared.bench import act
from buildsite.kinds.tests.specific_gravity.case import Test
from buildsite.kinds.tests.specific_gravity.sheet import CAUTIONS
from buildsite.record.units import from_si

USUAL_DETERMINATIONS = 2
"""Pycnometers to fill: common practice."""

STEPS = (
    "Pass the soil through the sieve, and take from it what each pycnometer needs; "
    "moist soil is made into a slurry first.",
    "Put the soil into the clean pycnometer and wash down every grain; fill it a third "
    "to a half with water that was boiled.",
    "Drive the air out by boiling, by vacuum or by both; turn or shake it so that no "
    "grain dries on the glass.",
    "Fill up with de-aired water without stirring the soil, and let it come to the "
    "temperature of the room.",
    "Bring the water to the mark, dry neck and outside, weigh, and read the "
    "temperature in the middle of the water.",
    "Wash all of the soil into a pan, dry it in the oven and weigh it, where it was "
    "not dried before.",
)
TICKS = (
    "No bubble rises and none hangs in the neck",
    "The water stands at the mark, the neck above it is dry",
    "The water over the soil is clear, or its surface can be read",
    "No soil was lost in washing it out",
)


def bench(case: Test) -> Bench:
    """Lay out the bench of one test."""
    return Bench(
        parts=(
            act("Preparing", "prepared", "Prepared", needed=False),
            before(case),
            air(case),
            *pycnometers(case),
            after(case),
            act("Weighed dry", "dried", "Weighed dry", needed=False),
        ),
        steps=STEPS,
        ticks=TICKS,
        cautions=(*CAUTIONS, LOCAL_RULES),
        progress=lambda: progress(case),
    )


def before(case: Test) -> Part:
    """What is settled before soil goes into a pycnometer."""
    cell = case.method.optional("specimen") if case.method is not None else None
    choices = cell.choices if cell is not None else ()
    sieve = case.method.optional("sieve") if case.method is not None else None
    return Part(
        "Soil",
        (),
        (
            Reading(
                "specimen",
                "Specimen",
                takes="choice",
                choices=("moist", "oven-dry"),
                usual=choices[0] if len(choices) == 1 else "",
                basis=cell.basis if cell is not None else "",
            ),
            Reading(
                "processed_through",
                "Soil passed through sieve",
                takes="text",
                usual=sieve.value if sieve is not None else "",
                basis=sieve.basis if sieve is not None else "",
            ),
        ),
    )


def air(case: Test) -> Part:
    """How the air is driven out."""
    ways = ("boiling", "vacuum", "heat and vacuum")
    return Part(
        "Air driven out",
        ("deaired",),
        (
            Reading("by", "Air driven out by", takes="choice", choices=ways),
            Reading("hours", "Air driven out for", unit="h"),
        ),
    )


def mass(case: Test, name: str, words: str, *, needed: bool = True) -> Reading:
    """A mass in the unit of the balance, to the step that the method asks for."""
    unit = case.record.units.mass or ""
    cell = case.method.optional("resolution_mass_g") if case.method else None
    step = Decimal(f"{from_si(cell.si, unit):g}") if cell is not None and unit else None
    basis = cell.basis if cell is not None else ""
    taken = ("specific_gravity",)
    return Reading(name, words, unit, step, basis, needed=needed, unless=taken)


def pycnometers(case: Test) -> tuple[Part, ...]:
    """Each pycnometer: what is weighed, and how warm the water is."""
    cell = case.method.optional("resolution_temperature") if case.method else None
    equipment = Part(
        "Equipment",
        ("equipment",),
        (
            Reading("balance", "Balance", takes="equipment", of="balance"),
            Reading("oven", "Oven", takes="equipment", of="oven", needed=False),
            Reading("sieve", "Sieve", takes="equipment", of="sieve", needed=False),
        ),
    )
    readings = (
        Reading("pycnometer", "Pycnometer", takes="equipment", of="pycnometer"),
        mass(case, "pycnometer_mass", "Empty pycnometer", needed=False),
        mass(case, "pycnometer_soil_and_water", "Pycnometer, soil and water"),
        Reading(
            "temperature_c",
            "Water at",
            "°C",
            Decimal(cell.value) if cell is not None else None,
            cell.basis if cell is not None else "",
            unless=("specific_gravity",),
        ),
    )
    return (
        equipment,
        act("Testing", "tested", "Tested", needed=True),
        Part(
            "Determinations",
            ("determinations",),
            readings,
            times=USUAL_DETERMINATIONS,
            once=False,
            line="Determination",
            label="pycnometer",
        ),
    )


def after(case: Test) -> Part:
    """The soil of each pycnometer, dry."""
    dry = mass(case, "dry_soil", "Dry soil")
    held = (*dry.unless, "container_and_dry")
    readings = (
        Reading(
            "dry_soil", dry.words, dry.unit, dry.resolution, dry.basis, unless=held
        ),
    )
    return Part(
        "Dry soil",
        ("determinations",),
        readings,
        times=USUAL_DETERMINATIONS,
        once=False,
        line="Determination",
        label="pycnometer",
    )


def progress(case: Test) -> Progress:
    """What follows from the readings so far."""
    lines = tuple(
        (one.number, f"specific gravity {shown_places(one.specific_gravity, 3)}")
        for one in case.values.determinations
        if one.specific_gravity is not None
    )
    return Progress(lines)
