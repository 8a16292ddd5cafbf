"""The bench sheet of a coarse fraction, in the order of the work."""

from decimal import Decimal

from buildsite.kinds.bench_spec import LOCAL_RULES, Bench, Part, Progress, Reading
from buildsite.kinds.reporting import to_places
from buildsite.kinds.tests.coarse_fraction.compute import Test
from buildsite.kinds.tests.coarse_fraction.model import (
    CONTAINERS,
    FRACTIONS,
    PARTICLES,
    WHOLE,
)
from buildsite.kinds.tests.coarse_fraction.sheet import CAUTIONS
from buildsite.kinds.tests.shared.bench import (
    LineList,
    act,
    basis,
    container_readings,
    entry,
    equipment,
    oven,
    reading,
    tared,
    to_be_named,
)
from buildsite.kinds.tests.shared.columns import Column

STEPS = (
    "Record the mass of the sample as it came. Crumble its clods by hand and sieve it; "
    "grains stay whole.",
    "Record the mass of every fraction, and set a part of each aside for its {water}.",
    "Rinse the dust off the coarse particles and leave them under water for the time "
    "that the standard gives.",
    "Get the balance ready first: hang the empty basket in water and set the reading "
    "to zero, so that no particle waits while it dries.",
    "Blot the particles in a cloth, a handful at a time and big ones singly, until "
    "they look dull. Record this surface-dry mass before they dry further.",
    "Lower them into the basket without delay, jog it until no bubble rises, and "
    "record the mass in water with the basket as deep as before.",
    "Leave them in the oven until the mass is constant, let them cool, and record the "
    "dry mass.",
)
TICKS = (
    "No particles were left in the sieve openings",
    "Surface-dry: particles damp but not shiny",
    "No air bubbles on particles or basket; the basket hangs free",
    "Water level was at the overflow in both weighings",
    "No particles were lost between the three weighings",
)
SIEVED = ("moist", "dry")
MASS_UNLESS = ("water_content",)


def particle_reading(case: Test, column: Column, *, several: bool = False) -> Reading:
    """Return the reading of a mass, to the step required by the method."""
    unit, method = case.record.units.gravity or "", case.method
    cell = method.optional("resolution_gravity") if method is not None else None
    step = Decimal(cell.value) if cell is not None and unit == cell.unit else None
    source = basis(method, "resolution_gravity") if step is not None else ""
    return Reading(column.name, column.words, unit, step, source, several=several)


def progress(case: Test) -> Progress:
    """Return the results of each specimen so far."""
    return Progress(
        lines=tuple(
            (
                one.number,
                f"{case.word('bulk_specific_gravity')} {to_places(one.found.bulk, 3)}, "
                f"{case.word('absorption')} {to_places(one.found.absorption, 2)} %",
            )
            for one in case.values.particles
            if one.found is not None
        )
    )


def split(case: Test) -> tuple[Part, ...]:
    """Return the parts of the sieving, and of the water contents."""
    before, after = container_readings(case, unless=MASS_UNLESS)
    names = Reading("retained_on", "Retained on (sieve or pan)", takes="text")
    mass = reading(case, FRACTIONS.columns[0])
    lines = LineList("fractions", "Fraction", "retained_on", times=2)
    whole = (
        Reading("split_masses", "Fractions weighed", takes="choice", choices=SIEVED),
        reading(case, WHOLE.columns[0], needed=False),
    )
    dried = case.record.split_masses == "dry"
    readings = (names, mass) if dried else (names, mass, *before)
    parts = (
        Part("Sample", (), whole),
        *tared(case, CONTAINERS.lines),
        lines.part("Fractions", readings),
    )
    if dried:
        return parts
    title = case.word("water_content").capitalize()
    return (*parts, lines.part(title, (after,)))


def soaking(case: Test) -> tuple[Part, ...]:
    """Return the parts of the soaking."""
    method = case.method
    into = (
        Reading(
            "before_soaking",
            "Particles before soaking",
            takes="choice",
            choices=("dried", "natural"),
        ),
        Reading("nominal_maximum", "Nominal maximum size (sieve)", takes="text"),
    )
    times = (
        Reading("in", "Into the water at", takes="time", basis=basis(method, "soak")),
        Reading("out", "Out of the water at", takes="time"),
        Reading(
            "water_temperature_c",
            "Water temperature",
            unit="°C",
            basis=basis(method, "water_temperature"),
        ),
    )
    return Part("Coarse particles", (), into), Part("Soaking", ("soak",), times)


def bench(case: Test) -> Bench:
    """Return the bench sheet of one test."""
    lines = LineList("specimens", "Specimen", "retained_on")
    wet = (
        Reading("retained_on", "Retained on", takes="text", needed=False),
        *(particle_reading(case, column) for column in PARTICLES.columns[:2]),
    )
    dry = (particle_reading(case, PARTICLES.columns[2], several=True),)
    return Bench(
        parts=(
            act("Sieving", "tested", "Sieved", needed=True),
            equipment(
                ("balance", "Balance for the split"),
                ("moisture_balance", "Balance for containers"),
                ("gravity_balance", "Balance for the coarse particles"),
                ("oven", "Oven"),
                ("sieve", "Oversize sieve"),
            ),
            *split(case),
            *soaking(case),
            lines.part("Coarse particles, wet", wet),
            oven(case.method),
            lines.part("Coarse particles, dry", dry),
            act("Weighing dry", "dried", "Weighed dry", needed=True, last=True),
            entry(),
        ),
        steps=tuple(step.format(water=case.word("water_content")) for step in STEPS),
        ticks=TICKS,
        cautions=(*CAUTIONS, LOCAL_RULES),
        when_complete=to_be_named(case, "oversize"),
        progress=lambda: progress(case),
    )
