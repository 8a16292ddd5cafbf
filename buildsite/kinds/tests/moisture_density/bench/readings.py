"""The bench sheet of a compaction test: readings in the order of the work."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from buildsite.kinds.answers import MoldFacts
from buildsite.kinds.bench_spec import Bench, Part, Reading
from buildsite.kinds.particulars.asking import GRAVITY, oversize
from buildsite.kinds.sieves import gradation_field
from buildsite.kinds.tests.moisture_density.bench.odd_readings import odd_readings
from buildsite.kinds.tests.moisture_density.bench.progress import progress
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.model import (
    CONTAINERS,
    EMPTY_MOLD,
    FILLED_MOLD,
    SOIL_IN_PAN,
)
from buildsite.kinds.tests.moisture_density.rules.oversize import least_percent
from buildsite.kinds.tests.moisture_density.specimens import dried_apart
from buildsite.kinds.tests.moisture_density.wording import (
    CAUTIONS,
    all_spelled,
    spelled,
    steps,
    ticks,
)
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
)
from buildsite.kinds.tests.shared.completeness import sample_of
from buildsite.standards.method import Method

FEWEST_POINTS = 4
"""Least number of points where the method is not on file: common practice."""


def bench(case: Test) -> Bench:
    """Return the bench sheet of one test."""
    return Bench(
        parts=parts(case),
        steps=all_spelled(steps(case), case.method),
        ticks=ticks(case),
        cautions=all_spelled(CAUTIONS, case.method),
        progress=progress(case),
        odd=odd_readings(case),
    )


_PARTS: dict[tuple[object, ...], tuple[Part, ...]] = {}
"""Parts of the bench sheet by what they depend on."""


def parts(case: Test) -> tuple[Part, ...]:
    """Return the parts, computed once for all tests alike in method and units."""
    record, units = case.record, case.record.units
    key = (
        case.method,
        units.compacted,
        units.moisture,
        record.mold_volume is None,
        record.water_added,
        record.weighed_with,
        bool(tared(case, CONTAINERS.lines)),
        calibrated_with(case),
        lacks_gravity(case),
        oversize_sieve(case),
        dried_apart(record),
    )
    if key not in _PARTS:
        laid_out = (*preparation_parts(case), *point_parts(case))
        _PARTS[key] = spelled_parts(laid_out, case.method)
    return _PARTS[key]


def preparation_parts(case: Test) -> tuple[Part, ...]:
    """Return the parts before the first blow: soil, people, equipment."""
    method = case.method
    return (
        act("Preparing", "prepared", "Prepared", needed=False),
        Part("Soil", (), soil_readings(method)),
        *soil_facts(case),
        act("Compacting", "compacted", "Compacted", needed=True),
        Part(
            "Effort",
            (),
            (count_reading("layers", method), count_reading("blows_per_layer", method)),
        ),
        Part("Rammer", ("rammer",), rammer_readings(method)),
        equipment(
            ("mold", "Mold"),
            ("rammer", "Rammer no."),
            ("balance", "Balance for mold and soil"),
            ("moisture_balance", "Balance for containers"),
            ("oven", "Oven"),
            ("sieve", "Sieve"),
            # A test that states the volume need not name the mold.
            spare=("sieve", "mold") if case.record.mold_volume else ("sieve",),
        ),
        Part("Empty mold", (), empty_mold_readings(case)),
        *tared(case, CONTAINERS.lines),
    )


def soil_readings(method: Method | None) -> tuple[Reading, ...]:
    """Return the questions on the preparation of the soil."""
    once = method is not None and method.may_reuse_soil == "no"
    return (
        choice_reading("preparation", "Soil preparation", ("moist", "dry")),
        Reading(
            "processed_through",
            "Material passing",
            takes="text",
            usual=method.sieve if method is not None else "",
            basis=basis(method, "sieve"),
        ),
        choice_reading(
            "specimens",
            "Soil for each point",
            ("separate", "reused"),
            ("separate",) if once else (),
        ),
    )


def rammer_readings(method: Method | None) -> tuple[Reading, ...]:
    """Return the questions on the rammer: by hand or machine, and its face."""
    faces = method.rammer_faces if method is not None else ()
    return (
        choice_reading("operation", "Rammer type", ("manual", "mechanical")),
        choice_reading(
            "face",
            "Rammer face",
            ("round", "sector"),
            faces,
            basis(method, "rammer_faces"),
        ),
    )


def on_paper(name: str, words: str, unit: str = "", takes: str = "number") -> Reading:
    """Return a place on the printed sheet that `enter` does not ask for in turn."""
    return Reading(name, words, unit, takes=takes, needed=False, paper=True)


def retained(case: Test) -> Part:
    """Return the part on the material retained: the oversize, as the record has it."""
    water = case.word("water_content")
    return Part(
        "Oversize",
        ("oversize",),
        (
            on_paper("sieve", "Retained on (sieve)", takes="text"),
            on_paper("percent_retained", "Retained, by dry mass", "%"),
            on_paper("bulk_specific_gravity", "Bulk specific gravity, retained"),
            on_paper("bulk_basis", "Oven-dry or SSD", takes="text"),
            on_paper("water_content", f"{water.capitalize()}, retained", "%"),
        ),
    )


def soil_facts(case: Test) -> Iterator[Part]:
    """Yield what the result needs of the soil and its sample's log-in doesn't say."""
    if lacks_gravity(case):
        yield GRAVITY
    sieve = oversize_sieve(case)
    asked = oversize(sieve)
    brief = tuple(one for one in asked.readings if one.name not in SELDOM)
    yield replace(asked, readings=brief) if sieve else retained(case)


SELDOM = ("absorption", "given_by")
"""What is seldom known of an oversize at the bench: asked with all particulars."""


def lacks_gravity(case: Test) -> bool:
    """Return whether the sample is on file without a specific gravity."""
    sample = sample_of(case)
    return sample is not None and sample.specific_gravity is None


def oversize_sieve(case: Test) -> str:
    """Return the sieve of an oversize that only the sample's gradation shows."""
    method, sample = case.method, sample_of(case)
    if method is None or sample is None or sample.oversize is not None:
        return ""
    field = gradation_field(method.oversize_sieve)
    retained = getattr(sample, field) if field is not None else None
    if retained is None or float(retained) <= least_percent(case, method):
        return ""
    return method.oversize_sieve


def choice_reading(
    name: str,
    words: str,
    choices: tuple[str, ...],
    allowed: tuple[str, ...] = (),
    source: str = "",
) -> Reading:
    """Return a choice; where only one is allowed, it is the default."""
    usual = allowed[0] if len(allowed) == 1 else ""
    return Reading(
        name, words, takes="choice", choices=choices, usual=usual, basis=source
    )


def count_reading(name: str, method: Method | None) -> Reading:
    """Return a count, with the method's number to confirm."""
    usual = "" if method is None else method.cell(name).value
    words = "Blows per layer" if name == "blows_per_layer" else "Layers"
    return Reading(name, words, usual=usual, basis=basis(method, name))


def with_plate(case: Test) -> bool:
    """Return whether the mold is weighed with its base plate."""
    return case.record.weighed_with == "mold and base plate"


def calibrated_with(case: Test) -> str:
    """Return how the mold was weighed at its calibration, if that says so."""
    used = case.record.equipment
    mold = used.mold if used is not None else None
    if mold is None:
        return ""
    facts = case.inputs.get(MoldFacts, mold, case.record.compacted.on)
    return facts.weighed_with if facts is not None else ""


def empty_mold_readings(case: Test) -> tuple[Reading, ...]:
    """Return the readings of the empty mold, weighed as it will be with soil."""
    method = case.method
    allowed = method.weighed_with if method is not None else ()
    ways = ("mold", "mold and base plate")
    source = basis(method, "weighed_with")
    words = "Empty mold and base plate" if with_plate(case) else EMPTY_MOLD.words
    how = choice_reading("weighed_with", "Soil weighed with", ways, allowed, source)
    return (
        replace(how, usual=how.usual or calibrated_with(case)),
        reading(case, replace(EMPTY_MOLD, words=words)),
    )


TAKEN_OVER = ("wet_density", "dry_density")
"""Transcribed densities: such a point has no bench readings."""


def point_parts(case: Test) -> tuple[Part, ...]:
    """Return the parts of the points: before the oven, the oven, after the oven."""
    cumulative = case.record.water_added == "cumulative"
    added = "Water added in total" if cumulative else "Water added for this point"
    filled = "Mold, base plate and wet soil" if with_plate(case) else FILLED_MOLD.words
    moist, dry = container_readings(
        case, unless=("water_content",), within="containers"
    )
    method = case.method
    many = method.least_points if method is not None else FEWEST_POINTS
    points = LineList("points", "Point", "container", many)
    times = (("wetted_at", "Wetted at"), ("compacted_at", "Compacted at"))
    readings = (
        reading(case, SOIL_IN_PAN, needed=False, unless=TAKEN_OVER),
        Reading("water_added_ml", added, unit="mL", needed=False, unless=TAKEN_OVER),
        *(on_paper(name, words, takes="time") for name, words in times),
        replace(
            reading(case, replace(FILLED_MOLD, words=filled), unless=TAKEN_OVER),
            acts="compacted",
        ),
        *moist,
    )
    by_itself: dict[str, tuple[Part, ...]] = {"oven": (), "dried": ()}
    if dried_apart(case.record):
        by_itself = {at: (own_part(case, points, at),) for at in by_itself}
    return (
        points.part("Points", readings),
        oven(method),
        *by_itself["oven"],
        points.part("After the oven", (dry,)),
        *by_itself["dried"],
        act("Weighed dry", "dried", "Weighed dry", needed=True, last=True),
        entry(),
    )


def own_part(case: Test, points: LineList, at: str) -> Part:
    """Return the part on the oven, or on the weighing, of points dried apart."""
    whole = oven(case.method)
    after: tuple[str, ...] = ()
    if at == "dried":
        whole = act("", "", "Weighed dry", needed=True)
        after = ("container_and_dry", "containers")
    readings = tuple(
        replace(one, name=f"{at}.{one.name}", after=after) for one in whole.readings
    )
    title = f"{OWN_PARTS[at]}, points dried by themselves"
    return replace(points.part(title, readings), only=dried_apart(case.record))


OWN_PARTS = {"oven": "Oven", "dried": "Weighed dry"}
"""Parts that a point dried by itself has for itself: field and title."""


def spelled_parts(parts: Iterable[Part], method: Method | None) -> tuple[Part, ...]:
    """Spell mold as the standard does; choices stay as in the record."""
    return tuple(
        replace(
            part,
            title=spelled(part.title, method),
            readings=tuple(
                replace(one, words=spelled(one.words, method)) for one in part.readings
            ),
        )
        for part in parts
    )
