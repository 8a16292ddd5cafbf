"""The bench of a compaction test: what is read, in the order in which it is read."""

from collections.abc import Iterable
from dataclasses import replace

from buildsite.kinds.bench_spec import Bench, Part, Reading
from buildsite.kinds.tests.moisture_density.bench.remarks import odd, progress
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.wording import (
    CAUTIONS,
    all_written,
    steps,
    ticks,
    written,
)
from buildsite.kinds.tests.shared.bench import act, basis, entry, oven, resolution
from buildsite.standards.tables import Method

FEWEST_POINTS = 4
"""Points to make where the method is not on file: common practice."""


def bench(case: Test) -> Bench:
    """Lay out the bench of one test."""
    return Bench(
        parts=parts(case),
        steps=all_written(steps(case), case.method),
        ticks=ticks(case),
        cautions=all_written(CAUTIONS, case.method),
        progress=progress(case),
        odd=odd(case),
    )


_PARTS: dict[tuple[object, ...], tuple[Part, ...]] = {}
"""Parts as laid out. They are the same for all tests that are alike in the key."""


def parts(case: Test) -> tuple[Part, ...]:
    """Lay out the parts, once for all tests of one method and one set of units."""
    record, units = case.record, case.record.units
    key = (
        case.method,
        units.compacted,
        units.moisture,
        record.mold_volume is None,
        record.water_added,
        record.weighed_with,
    )
    if key not in _PARTS:
        laid_out = (*before(case), *at_the_mold(case), *after_the_oven(case))
        _PARTS[key] = parts_written(laid_out, case.method)
    return _PARTS[key]


def before(case: Test) -> tuple[Part, ...]:
    """What is settled before the first blow: soil, people, equipment."""
    reused = Reading(
        "specimens",
        "Specimens",
        takes="choice",
        choices=("separate", "reused"),
        usual="separate" if case.method and case.method.may_reuse_soil == "no" else "",
    )
    preparation = Reading(
        "preparation",
        "Soil prepared",
        takes="choice",
        choices=("moist", "dry"),
    )
    method = case.method
    return (
        act("Preparing", "prepared", "Prepared", needed=False),
        Part("Soil", (), (preparation, sieve(method), reused)),
        act("Compacting", "compacted", "Compacted", needed=True),
        Part("Effort", (), (count("layers", method), count("blows_per_layer", method))),
        Part("Rammer", ("rammer",), (operation(), face(method))),
        equipment(case),
        Part("Empty mold", (), empty_mold(case)),
    )


def sieve(method: Method | None) -> Reading:
    """The sieve through which the soil goes into the mold."""
    return Reading(
        "processed_through",
        "Soil passed through sieve",
        takes="text",
        usual=method.sieve if method is not None else "",
        basis=basis(method, "sieve"),
    )


def count(name: str, method: Method | None) -> Reading:
    """How often: as the method has it, for the technician to confirm."""
    usual = "" if method is None else method.cell(name).value
    words = "Blows on each layer" if name == "blows_per_layer" else "Layers"
    return Reading(name, words, usual=usual, basis=basis(method, name))


def operation() -> Reading:
    """Who lifts the rammer."""
    return Reading(
        "operation", "Rammer", takes="choice", choices=("manual", "mechanical")
    )


def face(method: Method | None) -> Reading:
    """The face that strikes."""
    faces = method.rammer_faces if method is not None else ("round", "sector")
    return Reading(
        "face",
        "Rammer face",
        takes="choice",
        choices=("round", "sector"),
        usual=faces[0] if len(faces) == 1 else "",
        basis=basis(method, "rammer_faces"),
    )


def equipment(case: Test) -> Part:
    """Equipment by its id. A test that states its volume need not name the mold."""
    own = case.record.mold_volume is None
    names = (
        ("mold", "mold", "Mold", own),
        ("rammer", "rammer", "Rammer", True),
        ("balance", "balance", "Balance for mold and soil", True),
        ("moisture_balance", "balance", "Balance for the containers", True),
        ("oven", "oven", "Oven", True),
        ("sieve", "sieve", "Sieve", False),
    )
    return Part(
        "Equipment",
        ("equipment",),
        tuple(
            Reading(name, words, takes="equipment", of=kind, needed=needed)
            for name, kind, words, needed in names
        ),
    )


def empty_mold(case: Test) -> tuple[Reading, ...]:
    """The mold before any soil, as it will be weighed with it."""
    method = case.method
    ways = ("mold", "mold and base plate")
    allowed = method.weighed_with if method is not None else ways
    with_what = Reading(
        "weighed_with",
        "Weighed with",
        takes="choice",
        choices=ways,
        usual=allowed[0] if len(allowed) == 1 else "",
        basis=basis(method, "weighed_with"),
    )
    plate = case.record.weighed_with == "mold and base plate"
    words = "Empty mold and base plate" if plate else "Empty mold"
    return (with_what, mass("mold_mass", words, "compacted", case))


def at_the_mold(case: Test) -> tuple[Part, ...]:
    """Each point, up to the container that goes into the oven."""
    cumulative = case.record.water_added == "cumulative"
    plate = case.record.weighed_with == "mold and base plate"
    added = "Water added so far" if cumulative else "Water added to this specimen"
    points = (
        mass(
            "specimen_mass",
            "Soil in the pan, before the water",
            "compacted",
            case,
            unless=TAKEN_OVER,
            needed=False,
        ),
        Reading("water_added_ml", added, unit="mL", needed=False, unless=TAKEN_OVER),
        mass(
            "mold_and_wet_soil",
            "Mold, base plate and wet soil" if plate else "Mold and wet soil",
            "compacted",
            case,
            unless=("wet_density", "dry_density"),
        ),
        Reading(
            "container",
            "Container no.",
            takes="text",
            needed=False,
            within="containers",
            unless=("water_content",),
        ),
        in_container("container_mass", "Empty container", case),
        in_container("container_and_wet", "Container and wet soil", case),
    )
    return (
        Part(
            "Points",
            ("points",),
            points,
            times=points_wanted(case.method),
            once=False,
            line="Point",
            label="container",
        ),
    )


TAKEN_OVER = ("wet_density", "dry_density")
"""Forms of a density that come from a report: nobody stands at that bench."""


def after_the_oven(case: Test) -> tuple[Part, ...]:
    """The oven's times, then each container again."""
    dry = in_container(
        "container_and_dry", "Container and dry soil", case, several=True
    )
    return (
        oven(case.method),
        Part(
            "After the oven",
            ("points",),
            (dry,),
            times=points_wanted(case.method),
            once=False,
            line="Point",
            label="container",
        ),
        act("Weighed dry", "dried", "Weighed dry", needed=True),
        entry(),
    )


def points_wanted(method: Method | None) -> int:
    """How many specimens to make at least."""
    return method.least_points if method is not None else FEWEST_POINTS


def mass(
    name: str,
    words: str,
    column: str,
    case: Test,
    *,
    unless: tuple[str, ...] = (),
    needed: bool = True,
) -> Reading:
    """
    A mass in the unit of its column, to the step that the method asks for.

    What only guides the work, and no density rests on, may be read as it comes.
    """
    unit = getattr(case.record.units, column) or ""
    step, source = resolution(case.method, f"resolution_{column}", unit)
    if not needed:
        step, source = None, ""
    return Reading(name, words, unit, step, source, needed=needed, unless=unless)


def in_container(
    name: str, words: str, case: Test, *, several: bool = False
) -> Reading:
    """A mass of a moisture container, wherever the point has it."""
    unit = case.record.units.moisture or ""
    step, source = resolution(case.method, "resolution_moisture", unit)
    return Reading(
        name,
        words,
        unit,
        step,
        source,
        within="containers",
        unless=("water_content",),
        several=several,
    )


def parts_written(parts: Iterable[Part], method: Method | None) -> tuple[Part, ...]:
    """Write what a bench asks for. What may be answered is as a record has it."""
    return tuple(
        replace(
            part,
            title=written(part.title, method),
            readings=tuple(
                replace(one, words=written(one.words, method)) for one in part.readings
            ),
        )
        for part in parts
    )
