"""The report of a water content test, and its bench sheet."""

from functools import cache

from buildsite.kinds.bench_spec import LOCAL_RULES, Bench, Part, Reading
from buildsite.kinds.reporting import gram_places, grams, to_places
from buildsite.kinds.sheet import Column, Sheet, Table
from buildsite.kinds.sieves import all_sizes
from buildsite.kinds.tests.shared import bench as parts
from buildsite.kinds.tests.shared import report as blocks
from buildsite.kinds.tests.shared.columns import readings
from buildsite.kinds.tests.water_content.model import CONTAINERS, Test
from buildsite.kinds.tests.water_content.rules import for_size
from buildsite.record.flags import Flag
from buildsite.standards.method import Method

CAUTIONS = (
    "Oven: hot containers burn. Use tongs and gloves. Keep flammables out. Let the "
    "containers cool under a lid before weighing.",
    "Gravel may burst and organic soil may smoke in a hot oven: keep to the "
    "temperature and ventilate the room. Treat unknown soil as contaminated.",
    "Dust: dry soil may contain silica. Use dust extraction or a mask when emptying "
    "the containers.",
)


def container_table(case: Test) -> Table | None:
    """Return the table of containers."""
    record, water = case.record, case.word("water_content").capitalize()
    columns = (
        Column("Container", key="container"),
        Column("Moist soil", "g", number=True, key="moist_soil_g"),
        Column("Dry soil", "g", number=True, key="dry_soil_g"),
        Column(
            water,
            "%",
            number=True,
            key="water_content_percent",
            steps="water_content",
        ),
    )
    read = [one for _, one in readings(CONTAINERS.lines(record), CONTAINERS.names)]
    places = gram_places(read, record.units.moisture)
    lines = [
        (
            found,
            (
                one.container or "—",
                grams(found.moist_soil, places),
                grams(found.dry_soil, places),
                to_places(found.water_content, 2),
            ),
        )
        for one, found in zip(record.containers, case.values.containers, strict=True)
    ]
    return blocks.line_table("containers", "Containers", columns, lines)


def sheet(case: Test, flags: tuple[Flag, ...]) -> Sheet:
    """Return the report, its blocks in reading order."""
    size, many = case.record.largest_particle, len(case.values.waters)
    mean = f"Mean of {many} containers." if many > 1 else ""
    none = "No container has all its masses."
    return blocks.report(
        case,
        flags,
        title="Water content",
        results=[blocks.result_table(case, none, mean)],
        lines=[container_table(case)],
        method=[
            ("Largest particle", f"passes {size}" if size else ""),
            ("Material excluded", case.record.left_out or "none stated"),
        ],
        hazards="oven, hot containers and dust",
        cautions=CAUTIONS,
    )


TICKS = (
    "Lid and container have the same number",
    "No soil was lost while filling, and none is on the outside",
    "The balance read zero before each weighing",
    "Gypsum, organics, cement or salt in the soil are noted in the remarks",
)


@cache
def steps(method: Method | None) -> tuple[str, ...]:
    """Return the steps, with the figures of the method where it is on file."""
    much, agree = "at least the mass for its largest particle", ""
    if method is not None:
        sizes = all_sizes(method, "specimen_at_least")
        listed = ", ".join(f"{size}: {cell.printed}" for _, size, cell in sizes)
        much += f" ({listed})" if listed else ""
        loss = method.optional("constant_mass")
        further = method.optional("constant_mass_interval")
        if loss is not None and further is not None:
            agree = (
                f" ({further.printed} more loses at most {loss.printed} of the dry "
                "soil)"
            )
    return (
        "Clean and dry the container; weigh it empty, with its lid.",
        f"Take a representative specimen, {much}; put the lid on at once.",
        "Weigh container and wet soil.",
        f"Take the lid off and dry at 110 °C {parts.overnight(method)}{agree}.",
        "Let it cool with its lid on until it can be held by hand, and weigh it.",
    )


def soil(case: Test) -> Part:
    """Return the part on the specimen."""
    cell = for_size(case, "specimen_at_least")
    least = f" (at least {cell} of soil)" if cell is not None else ""
    size = Reading(
        "largest_particle",
        f"Finest sieve that all of the soil passes{least}",
        takes="text",
        basis=cell.basis if cell is not None else "",
    )
    left_out = Reading(
        "left_out", "Material excluded, if any", takes="text", needed=False
    )
    return Part("Soil", (), (size, left_out))


def bench(case: Test) -> Bench:
    """Return the bench sheet of one test."""
    before, after = parts.container_readings(case)
    lines = parts.LineList("containers", "Container", "container")
    return Bench(
        parts=(
            soil(case),
            parts.equipment(("moisture_balance", "Balance"), ("oven", "Oven")),
            parts.act("Weighing wet", "tested", "Weighed wet", needed=True),
            *parts.tared(case, CONTAINERS.lines),
            lines.part("Containers", before),
            parts.oven(case.method),
            lines.part("After the oven", (after,)),
            parts.act("Weighing dry", "dried", "Weighed dry", needed=True, last=True),
            parts.entry(),
        ),
        steps=steps(case.method),
        ticks=TICKS,
        cautions=(*CAUTIONS, LOCAL_RULES),
        progress=parts.progress(
            case.values.containers,
            "water_content",
            case.word("water_content"),
            2,
            " %",
        ),
    )
