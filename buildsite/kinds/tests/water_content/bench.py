"""The bench of a water content: what is read, in the order in which it is read."""

from functools import cache

from buildsite.kinds.bench_spec import Bench, Part, Progress, Reading
from buildsite.kinds.reporting import shown_places
from buildsite.kinds.sizes import all_sizes, by_size
from buildsite.kinds.tests.shared.bench import (
    Listed,
    act,
    container_readings,
    entry,
    equipment,
    oven,
)
from buildsite.kinds.tests.shared.notes import LOCAL_RULES
from buildsite.kinds.tests.water_content.case import Test
from buildsite.kinds.tests.water_content.sheet import CAUTIONS
from buildsite.standards.tables import Method

AS_MUCH = "at least the mass for its largest particle"
AGREE = "two masses in turn agree"
TICKS = (
    "The lid belongs to the container: same number.",
    "Nothing was lost when the soil went in, nothing clings outside.",
    "The balance stood at zero before each weighing.",
    "Soil that holds gypsum, organics, cement or salt is named in the remarks.",
)


@cache
def steps(method: Method | None) -> tuple[str, ...]:
    """Write the steps, with the figures of the method where it is on file."""
    much, agree = AS_MUCH, AGREE
    if method is not None:
        sizes = all_sizes(method, "specimen_at_least")
        listed = ", ".join(f"{size}: {cell.printed}" for _, size, cell in sizes)
        much += f" ({listed})" if listed else ""
        loss = method.optional("constant_mass")
        further = method.optional("constant_mass_interval")
        if loss is not None and further is not None:
            agree = (
                f"{further.printed} more takes away at most {loss.printed} of the dry "
                "soil"
            )
    return (
        "Clean and dry the container; weigh it empty, with its lid.",
        f"Take soil that stands for the whole, {much}; put the lid on at once.",
        "Weigh container and wet soil.",
        f"Take the lid off and dry at 110 °C over night; shorter only if {agree}.",
        "Let it cool with its lid on until a hand can hold it, and weigh it.",
    )


def progress(case: Test) -> Progress:
    """Water content of each container, as it comes."""
    return Progress(
        lines=tuple(
            (one.number, f"water content {shown_places(one.water_content, 2)} %")
            for one in case.values.containers
            if one.water_content is not None
        )
    )


def soil(case: Test) -> Part:
    """What was taken."""
    size = case.record.largest_particle
    cell = (
        by_size(case.method, "specimen_at_least", size)
        if case.method is not None and size is not None
        else None
    )
    words = "Finest sieve that all of the soil passes"
    if cell is not None:
        words += f" (at least {cell} of soil)"
    return Part(
        "Soil",
        (),
        (
            Reading(
                "largest_particle",
                words,
                takes="text",
                basis=cell.basis if cell is not None else "",
            ),
            Reading("left_out", "Left out, if anything", takes="text", needed=False),
        ),
    )


def bench(case: Test) -> Bench:
    """Lay out the bench of one test."""
    before, after = container_readings(case.method, case.record.units.moisture or "")
    lines = Listed("containers", "Container", "container")
    return Bench(
        parts=(
            soil(case),
            equipment(("moisture_balance", "Balance"), ("oven", "Oven")),
            act("Weighing wet", "tested", "Weighed wet", needed=True),
            lines.part("Containers", before),
            oven(case.method),
            lines.part("After the oven", (after,)),
            act("Weighing dry", "dried", "Weighed dry", needed=True),
            entry(),
        ),
        steps=steps(case.method),
        ticks=TICKS,
        cautions=(*CAUTIONS, LOCAL_RULES),
        progress=lambda: progress(case),
    )
