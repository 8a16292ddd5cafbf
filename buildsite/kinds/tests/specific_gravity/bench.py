"""The bench of a specific gravity test: what is read, in the order it is read."""

from decimal import Decimal

from buildsite.kinds.bench_spec import LOCAL_RULES, Bench, Part, Reading
from buildsite.kinds.tests.shared.bench import (
    LineList,
    act,
    basis,
    equipment,
    progress,
    reading,
)
from buildsite.kinds.tests.specific_gravity.compute import Test
from buildsite.kinds.tests.specific_gravity.model import (
    DRY_SOIL,
    PYCNOMETER_MASS,
    SOIL_AND_WATER,
)
from buildsite.kinds.tests.specific_gravity.sheet import CAUTIONS

LINES = LineList("determinations", "Determination", "pycnometer", times=2)
"""Two pycnometers to fill: common practice."""

TRANSCRIBED = ("specific_gravity",)
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
    dry = reading(case, DRY_SOIL, unless=(*TRANSCRIBED, "container_and_dry"))
    return Bench(
        parts=(
            act("Preparing", "prepared", "Prepared", needed=False),
            specimen(case),
            air(),
            equipment(
                ("balance", "Balance"),
                ("oven", "Oven"),
                ("sieve", "Sieve"),
                spare=("oven", "sieve"),
            ),
            act("Testing", "tested", "Tested", needed=True),
            LINES.part("Determinations", in_water(case)),
            LINES.part("Dry soil", (dry,)),
            act("Weighed dry", "dried", "Weighed dry", needed=False),
        ),
        steps=STEPS,
        ticks=TICKS,
        cautions=(*CAUTIONS, LOCAL_RULES),
        progress=progress(
            case.values.determinations, "specific_gravity", "specific gravity", 3
        ),
    )


def specimen(case: Test) -> Part:
    """What is settled before soil goes into a pycnometer."""
    cell = case.method.optional("specimen") if case.method is not None else None
    choices = cell.choices if cell is not None else ()
    sieve = case.method.optional("sieve") if case.method is not None else None
    readings = (
        Reading(
            "specimen",
            "Specimen",
            takes="choice",
            choices=("moist", "oven-dry"),
            usual=choices[0] if len(choices) == 1 else "",
            basis=basis(case.method, "specimen"),
        ),
        Reading(
            "processed_through",
            "Soil passed through sieve",
            takes="text",
            usual=sieve.value if sieve is not None else "",
            basis=basis(case.method, "sieve"),
        ),
    )
    return Part("Soil", (), readings)


def air() -> Part:
    """How the air is driven out."""
    ways = ("boiling", "vacuum", "heat and vacuum")
    by = Reading("by", "Air driven out by", takes="choice", choices=ways)
    hours = Reading("hours", "Air driven out for", unit="h")
    return Part("Air driven out", ("deaired",), (by, hours))


def in_water(case: Test) -> tuple[Reading, ...]:
    """Each pycnometer: what is weighed, and how warm the water is."""
    cell = case.method.optional("resolution_temperature") if case.method else None
    return (
        Reading("pycnometer", "Pycnometer", takes="equipment", of="pycnometer"),
        reading(case, PYCNOMETER_MASS, needed=False, unless=TRANSCRIBED),
        reading(case, SOIL_AND_WATER, unless=TRANSCRIBED),
        Reading(
            "temperature_c",
            "Water at",
            "°C",
            Decimal(cell.value) if cell is not None else None,
            basis(case.method, "resolution_temperature"),
            unless=TRANSCRIBED,
        ),
    )
