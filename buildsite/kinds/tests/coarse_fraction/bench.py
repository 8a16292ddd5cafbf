"""The bench of a coarse fraction: what is read, in the order in which it is read."""

from decimal import Decimal

from buildsite.kinds.bench_spec import LOCAL_RULES, Bench, Part, Progress, Reading
from buildsite.kinds.reporting import to_places
from buildsite.kinds.tests.coarse_fraction.compute import Test
from buildsite.kinds.tests.coarse_fraction.model import FRACTIONS, STONES, WHOLE
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
)
from buildsite.kinds.tests.shared.columns import Column

STEPS = (
    "Weigh the whole sample, then split it on the sieves; break up clods, not grains.",
    "Weigh what each sieve held back, and the pan; take a water content of each.",
    "Wash the stones and let them lie in water at room temperature for the time that "
    "the standard asks.",
    "Roll them in a damp cloth until no film of water is seen; wipe large ones one by "
    "one. Weigh at once: saturated, surface-dry.",
    "Weigh them in the basket under water, the balance at zero with the empty basket "
    "hanging as deep. Shake the air out first.",
    "Dry in the oven to constant mass, cool, and weigh.",
)
TICKS = (
    "No grain was left in the meshes of a sieve.",
    "Stones look damp but do not shine: surface-dry.",
    "No bubbles on stones or basket; the basket touches neither wall nor floor.",
    "The water stood at its overflow in both weighings.",
    "No stone was lost between the three weighings.",
)
SIEVED = ("dry", "moist")
MASS_UNLESS = ("water_content",)


def stone_reading(case: Test, column: Column, *, several: bool = False) -> Reading:
    """A mass of the stones, to the step that the method asks for."""
    unit, method = case.record.units.gravity or "", case.method
    cell = method.optional("resolution_gravity") if method is not None else None
    step = Decimal(cell.value) if cell is not None and unit == cell.unit else None
    source = basis(method, "resolution_gravity") if step is not None else ""
    return Reading(column.name, column.words, unit, step, source, several=several)


def progress(case: Test) -> Progress:
    """Bulk specific gravity of each specimen, as it comes."""
    return Progress(
        lines=tuple(
            (
                one.number,
                f"bulk specific gravity {to_places(one.found.bulk, 3)}, "
                f"absorption {to_places(one.found.absorption, 2)} %",
            )
            for one in case.values.stones
            if one.found is not None
        )
    )


def split(case: Test) -> tuple[Part, ...]:
    """The sieves, and the water in what they held back."""
    before, after = container_readings(case, unless=MASS_UNLESS)
    names = Reading("retained_on", "Sieve, or pan", takes="text")
    mass = reading(case, FRACTIONS.columns[0])
    lines = LineList("fractions", "Fraction", "retained_on", times=2)
    whole = (
        Reading("split_masses", "Fractions", takes="choice", choices=SIEVED[::-1]),
        reading(case, WHOLE.columns[0], needed=False),
    )
    dried = case.record.split_masses == "dry"
    readings = (names, mass) if dried else (names, mass, *before)
    parts = (
        Part("Sample", (), whole),
        lines.part("Fractions", readings),
    )
    if dried:
        return parts
    return (*parts, lines.part("Water in them", (after,)))


def soaking(case: Test) -> tuple[Part, ...]:
    """Stones into the water, and out of it."""
    method = case.method
    into = (
        Reading(
            "before_soaking",
            "Stones before they soak",
            takes="choice",
            choices=("dried", "natural"),
        ),
        Reading("nominal_maximum", "Nominal maximum size, a sieve", takes="text"),
    )
    times = (
        Reading("in", "Into the water at", takes="time", basis=basis(method, "soak")),
        Reading("out", "Out of the water at", takes="time"),
        Reading(
            "water_temperature_c",
            "Water",
            unit="°C",
            basis=basis(method, "water_temperature"),
        ),
    )
    return Part("Stones", (), into), Part("Soaking", ("soak",), times)


def bench(case: Test) -> Bench:
    """Lay out the bench of one test."""
    lines = LineList("specimens", "Specimen", "retained_on")
    wet = (
        Reading("retained_on", "Retained on", takes="text", needed=False),
        *(stone_reading(case, column) for column in STONES.columns[:2]),
    )
    dry = (stone_reading(case, STONES.columns[2], several=True),)
    return Bench(
        parts=(
            act("Sieving", "tested", "Sieved", needed=True),
            equipment(
                ("balance", "Balance for the split"),
                ("moisture_balance", "Balance for the containers"),
                ("gravity_balance", "Balance for the stones"),
                ("oven", "Oven"),
                ("sieve", "Oversize sieve"),
            ),
            *split(case),
            *soaking(case),
            lines.part("Stones, wet", wet),
            oven(case.method),
            lines.part("Stones, dry", dry),
            act("Weighing dry", "dried", "Weighed dry", needed=True),
            entry(),
        ),
        steps=STEPS,
        ticks=TICKS,
        cautions=(*CAUTIONS, LOCAL_RULES),
        progress=lambda: progress(case),
    )
