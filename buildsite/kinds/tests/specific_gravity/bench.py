"""The bench sheet of a specific gravity test, in the order of the work."""

from dataclasses import replace
from decimal import Decimal

from buildsite.kinds.bench_spec import LOCAL_RULES, Bench, Part, Reading
from buildsite.kinds.tests.shared.bench import (
    LineList,
    act,
    basis,
    equipment,
    progress,
    reading,
    tared,
    to_be_named,
)
from buildsite.kinds.tests.specific_gravity.compute import Test
from buildsite.kinds.tests.specific_gravity.model import (
    CONTAINER_AND_DRY,
    CONTAINER_MASS,
    DETERMINATIONS,
    DRY_SOIL,
    PYCNOMETER_AND_WATER,
    PYCNOMETER_MASS,
    SOIL_AND_WATER,
)
from buildsite.kinds.tests.specific_gravity.sheet import CAUTIONS

LINES = LineList("determinations", "Determination", "pycnometer", times=2)
"""At least two pycnometers: common practice."""

TRANSCRIBED = ("specific_gravity",)
STEPS = (
    "Pass the soil through the sieve and take the mass needed for each pycnometer; "
    "make wet soil into a slurry first.",
    "Put the soil into the clean pycnometer and wash down every grain; fill it to a "
    "third or a half with de-aired water.",
    "De-air by boiling, by vacuum or by both; turn or shake the pycnometer so that no "
    "soil dries on the glass.",
    "Fill with de-aired water without stirring the soil, and let it come to room "
    "temperature.",
    "Bring the water to the mark, dry the neck and the outside, weigh, and read the "
    "temperature at mid-depth of the water.",
    "If the soil was not dried before, wash all of it into a pan, oven-dry it and "
    "weigh it.",
)
TICKS = (
    "No bubbles rise, and none are left in the neck",
    "Water is at the mark, and the neck above it is dry",
    "Water over the soil is clear enough to read its surface",
    "No soil was lost in washing it out",
)


def bench(case: Test) -> Bench:
    """Return the bench sheet of one test."""
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
            *tared(case, DETERMINATIONS.lines),
            LINES.part("Determinations", in_water(case)),
            LINES.part("Dry soil", dry_soil(case)),
            act("Weighing dry", "dried", "Weighed dry", needed=False, last=True),
        ),
        steps=STEPS,
        ticks=TICKS,
        cautions=(*CAUTIONS, LOCAL_RULES),
        when_complete=to_be_named(case, "gravity"),
        progress=progress(
            case.values.determinations,
            "specific_gravity",
            case.word("specific_gravity"),
            3,
        ),
    )


def specimen(case: Test) -> Part:
    """Return the part on the condition of the soil."""
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
            "Material passing",
            takes="text",
            usual=sieve.value if sieve is not None else "",
            basis=basis(case.method, "sieve"),
        ),
    )
    return Part("Soil", (), readings)


def air() -> Part:
    """Return the part on de-airing."""
    ways = ("boiling", "vacuum", "heat and vacuum")
    by = Reading("by", "De-aired by", takes="choice", choices=ways)
    hours = Reading("hours", "De-aired for", unit="h")
    return Part("De-airing", ("deaired",), (by, hours))


def in_water(case: Test) -> tuple[Reading, ...]:
    """Return the readings of each pycnometer."""
    cell = case.method.optional("resolution_temperature") if case.method else None
    return (
        Reading(
            "pycnometer", "Pycnometer", takes="equipment", of="pycnometer", needed=False
        ),
        *own_masses(case),
        reading(case, SOIL_AND_WATER, unless=TRANSCRIBED),
        Reading(
            "temperature_c",
            "Water temperature",
            "°C",
            Decimal(cell.value) if cell is not None else None,
            basis(case.method, "resolution_temperature"),
            unless=TRANSCRIBED,
        ),
    )


NAMED = (*TRANSCRIBED, "pycnometer")
"""With these a determination needs no masses of the pycnometer of its own."""


def own_masses(case: Test) -> tuple[Reading, ...]:
    """Return the pycnometer's masses, needed where no calibration states its volume."""
    record = case.record
    named = record.equipment is not None and record.equipment.pycnometer is not None
    named |= any(one.pycnometer is not None for one in record.determinations)
    empty = reading(case, PYCNOMETER_MASS, needed=not named, unless=TRANSCRIBED)
    if record.equipment is not None and record.equipment.pycnometer is not None:
        return (empty,)
    return (
        empty,
        reading(case, PYCNOMETER_AND_WATER, unless=NAMED),
        Reading("water_temperature_c", "Its water temperature", "°C", unless=NAMED),
    )


def dry_soil(case: Test) -> tuple[Reading, ...]:
    """Return the dry soil: weighed alone, else in a container."""
    alone = reading(case, DRY_SOIL, unless=(*TRANSCRIBED, "container_and_dry"))
    held = (*TRANSCRIBED, "dry_soil")
    label = Reading("container", "Container no.", takes="text", needed=False)
    return (
        alone,
        replace(label, unless=held),
        reading(case, CONTAINER_MASS, needed=False, unless=held),
        reading(case, CONTAINER_AND_DRY, needed=False, several=True, unless=held),
    )
