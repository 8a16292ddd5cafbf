"""The readings of each apparatus, in the order of the hands."""

from collections.abc import Callable, Iterator, Mapping

from buildsite.kinds.bench_spec import Part, Reading
from buildsite.kinds.field_answers import GaugeFacts
from buildsite.kinds.tests.field_density.bench.place import size_reading
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.holes import apparatus_facts
from buildsite.kinds.tests.field_density.model import GAUGE, HOLE, SURFACE
from buildsite.kinds.tests.shared import bench as parts
from buildsite.kinds.tests.shared.columns import Columns


def tools(*names: tuple[str, str]) -> Part:
    """Return the part on the equipment; a field apparatus is no balance."""
    return Part(
        "Equipment",
        ("equipment",),
        tuple(
            Reading(name, words, takes="equipment", of=OF.get(name, name))
            for name, words in names
        ),
    )


HOLES = "hole_volume_at_least_1"
"""The first cell on the least hole by largest particle."""

OF = {
    "sand_cone": "sand-cone",
    "cylinder": "drive-cylinder",
    "balance": "balance",
}


def read(
    case: Test,
    columns: Columns,
    name: str,
    *,
    needed: bool = True,
    paper: bool = False,
    unless: tuple[str, ...] = (),
    after: tuple[str, ...] = (),
) -> Reading:
    """Return the question for one column."""
    column = next(one for one in columns.columns if one.name == name)
    made = parts.reading(case, column, needed=needed, unless=unless)
    return Reading(
        made.name,
        made.words,
        made.unit,
        made.resolution,
        made.basis,
        needed=needed,
        paper=paper,
        unless=unless,
        after=after,
    )


def soil(case: Test) -> tuple[Reading, ...]:
    """Return the questions for the soil dug out: on a tared balance, or in a bucket."""
    bucket = case.record.container_mass is not None
    whole = read(case, HOLE, "wet_soil", unless=("container_and_wet_soil",))
    full = read(
        case,
        HOLE,
        "container_and_wet_soil",
        unless=("wet_soil",),
        after=("container_mass",),
    )
    empty = read(case, HOLE, "container_mass", needed=False, paper=True)
    return (empty, full) if bucket else (empty, whole)


def sand_cone(case: Test) -> Iterator[Part]:
    """Yield the parts of a sand cone: full, hole and soil, what is left."""
    yield tools(("sand_cone", "Sand cone"), ("balance", "Balance"))
    rough = case.record.surface is not None
    bag = Reading("sand_bag", "Bag of sand", takes="text")
    yield Part("Sand cone", (), (size_reading(case, HOLES), bag))
    yield Part(
        "Rough ground",
        ("surface",),
        tuple(
            read(case, SURFACE, name, needed=False, paper=not rough)
            for name in ("before", "after")
        ),
    )
    yield Part(
        "Hole",
        (),
        (
            read(case, HOLE, "apparatus_before"),
            *soil(case),
            read(case, HOLE, "apparatus_after"),
        ),
    )


def balloon(case: Test) -> Iterator[Part]:
    """Yield the parts of a balloon: on the surface, soil, in the hole."""
    yield tools(("balloon", "Balloon apparatus"), ("balance", "Balance"))
    pressure = Reading("pressure", "Pressure", "kPa", needed=False)
    yield Part(
        "Hole",
        (),
        (
            size_reading(case, HOLES),
            pressure,
            read(case, HOLE, "volume_before"),
            *soil(case),
            read(case, HOLE, "volume_after"),
        ),
    )


def drive_cylinder(case: Test) -> Iterator[Part]:
    """Yield the parts of a drive cylinder."""
    yield tools(("cylinder", "Cylinder"), ("balance", "Balance"))
    yield Part(
        "Cylinder",
        (),
        (
            size_reading(case, "largest_particle"),
            read(case, HOLE, "cylinder_mass", needed=False, paper=True),
            choice("cylinder_specimen.soil", "Soil", SOILS),
            choice("cylinder_specimen.recovery", "Cylinder filled", FILLED),
            choice("cylinder_specimen.ends", "Ends", ENDS),
            read(case, HOLE, "cylinder_and_wet_soil"),
        ),
    )


SOILS = ("cohesive", "friable", "very hard")
FILLED = ("full", "short")
ENDS = ("sound", "disturbed")


def choice(name: str, words: str, choices: tuple[str, ...]) -> Reading:
    """Return a question whose first answer is the usual one: Enter takes it."""
    return Reading(name, words, takes="choice", choices=choices, usual=choices[0])


def gauge(case: Test) -> Iterator[Part]:
    """Yield the parts of a nuclear gauge: counts, rod, readings."""
    record, own = case.record, case.record.gauge
    yield tools(("gauge", "Gauge"))
    facts = apparatus_facts(record, case.inputs)
    on_file = isinstance(facts, GaugeFacts) and any(
        counts.on == record.tested.on for counts in facts.counts
    )
    source = parts.basis(case.method, "density_count_within")
    yield Part(
        "Standard counts",
        ("gauge",),
        tuple(
            Reading(
                f"standard_counts.{name}",
                f"Standard count of the day, {name}",
                "counts",
                basis=source,
                needed=not on_file,
                paper=on_file,
            )
            for name in ("density", "water")
        ),
    )
    wall = own is not None and own.near_wall is True
    unit = record.units.depth or ""
    deepest = parts.basis(case.method, "rod_deepest")
    yield Part(
        "Gauge",
        ("gauge",),
        (
            choice("mode", "Mode", ("direct", "backscatter")),
            *(
                ()
                if own is not None and own.mode == "backscatter"
                else (Reading("depth", "Depth of the rod", unit, basis=deepest),)
            ),
            choice("near_wall", "Within 0.6 m of a wall or trench face", ("no", "yes")),
            Reading(
                "trench_count", "Trench count", "counts", needed=wall, paper=not wall
            ),
            Reading(
                "offset.value",
                "Offset of the water for this soil",
                record.units.density or "",
                needed=False,
                paper=True,
            ),
        ),
    )
    yield Part(
        "Readings",
        ("gauge", "readings"),
        (read(case, GAUGE, "wet_density"), read(case, GAUGE, "water")),
        once=False,
        line="Reading",
    )


OWN: Mapping[str, Callable[[Test], Iterator[Part]]] = {
    "sand-cone": sand_cone,
    "balloon": balloon,
    "drive-cylinder": drive_cylinder,
    "nuclear-gauge": gauge,
}


def apparatus_parts(case: Test) -> Iterator[Part]:
    """Yield the parts of the apparatus that is used."""
    yield from OWN[case.record.apparatus](case)
