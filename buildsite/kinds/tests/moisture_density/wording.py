"""The work in our own words: steps, ticks and cautions, with the method's figures."""

from collections.abc import Iterable, Iterator
from functools import cache

from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.standards.cells import Cell, Printed
from buildsite.standards.method import Method


def spelled(text: str, method: Method | None) -> str:
    """Write words for a person; names of the record's fields stay what they are."""
    if method is None or "mold" not in text.lower():
        return text
    word = method.word("mold")
    return text.replace("mold", word).replace("Mold", word.capitalize())


def all_spelled(texts: Iterable[str], method: Method | None) -> tuple[str, ...]:
    """Write several sentences."""
    return tuple(spelled(text, method) for text in texts)


def cell_text(cell: Cell | None, otherwise: str = "") -> str:
    """Write a cell in both systems of units, without tolerances."""
    if cell is None:
        return otherwise
    first = str(Printed(cell.value, cell.unit))
    if cell.also is None:
        return first
    return f"{first} ({Printed(cell.also.value, cell.also.unit)})"


def steps(case: Test) -> tuple[str, ...]:
    """What is done, from the drying of the soil to the mass of what was dried."""
    if case.method is None:
        return ("Work by the standard: this program holds no rows of it.",)
    facts = case.inputs.get(SampleFacts, case.record.sample)
    soils = (facts.soil_class, facts.soil_group) if facts is not None else ()
    return steps_of(case.method, tuple(soil for soil in soils if soil))


@cache
def steps_of(method: Method, soils: tuple[str, ...]) -> tuple[str, ...]:
    """Write the steps of a method for a soil, by its classes; for any, without."""
    return (
        preparation(method),
        *portions(method),
        standing_time(method, soils),
        WEIGH_MOLD.format(what=" or ".join(method.weighed_with)),
        compaction(method),
        last_layer(method),
        TRIM,
        moisture_specimen(method),
        ending(method),
        drying(method),
    )


WEIGH_MOLD = (
    "Weigh the clean empty {what}. Fix the collar, and set the mold on a firm floor "
    "that does not give way under the blows."
)
TRIM = (
    "Take the collar off without tearing the soil; free it round the edge first. Trim "
    "flush with the rim from the middle outwards, fill holes with finer trimmings and "
    "press them in. Clean the outside and weigh at once."
)


def preparation(method: Method) -> str:
    """How the soil is made ready."""
    hot = method.optional("drying_before_test")
    heat = f", at {cell_text(hot)} at most" if hot is not None else ""
    return (
        f"Let damp soil dry until it is friable{heat}. Break up clods, not grains, and "
        f"pass it through the {method.sieve} sieve. Keep, weigh and note what is held "
        "back."
    )


AGAIN = {
    "no": "Take new soil for each: soil once compacted is not used again.",
    "yes": "The soil may be broken up and used again.",
}
"""Whether soil may be compacted twice, by the method's word for it."""

UNLESS_FRAGILE = (
    "The soil may be broken up and used again, but take new soil for each where grains "
    "break or clay is heavy."
)


def portions(method: Method) -> Iterator[str]:
    """How much soil, how many specimens, how far apart."""
    least, wanted = method.cell("least_points"), method.optional("preferred_points")
    many = f"{least.value} points or more"
    if wanted is not None and wanted.value != least.value:
        many = f"{wanted.value} points, {least.value} at least"
    usual, most = method.optional("usual_step"), method.cell("greatest_step")
    heavy = method.cell("greatest_step_heavy_clay")
    clay = f" ({heavy.value} in heavy clay)" if heavy.value != most.value else ""
    water = method.word("water_content")
    yield (
        f"Plan {many}, about {usual.value if usual is not None else most.value} apart "
        f"in percent of {water}, never more than {most.value}{clay}; the first about 4 "
        "below the expected optimum."
    )
    each, whole = method.optional("specimen_mass"), method.optional("sample_mass")
    soil = ""
    if each is not None:
        soil = f"Weigh out about {cell_text(each)} of soil for each. "
    elif whole is not None:
        soil = f"Have about {cell_text(whole)} of soil in all. "
    yield soil + AGAIN.get(method.may_reuse_soil, UNLESS_FRAGILE)


def standing_time(method: Method, soils: tuple[str, ...]) -> str:
    """How long wetted soil stands: for this soil, or for all that the row names."""
    known = [cell for soil in soils if (cell := method.standing(soil))]
    mix = "Mix the water in evenly and cover the soil."
    if known:
        longest = max(known, key=lambda cell: cell.si)
        rest = f"Let it stand for {cell_text(longest)} at least" if longest.si else ""
        return f"{mix} {rest or 'It need not stand'} ({soils[0]})."
    cells = [cell for name, cell in method.cells.items() if name.startswith("standing")]
    if not cells:
        return mix
    waits = "; ".join(f"{waiting_time(cell)} {soil_names(cell)}" for cell in cells)
    return f"{mix} Let it stand: {waits}."


def waiting_time(cell: Cell) -> str:
    """How long, in words."""
    return f"{cell_text(cell)} at least for" if cell.si else "not at all for"


def soil_names(cell: Cell) -> str:
    """The soils of a cell, in words."""
    if not cell.soils:
        return "all soils"
    named = ["others" if soil == "other" else soil for soil in cell.soils]
    return ", ".join(named)


def compaction(method: Method) -> str:
    """Layers, blows, rammer, drop."""
    lean = method.optional("rammer_upright")
    rate = method.optional("rammer_rate")
    upright = f" within {lean.value}°" if lean is not None else ""
    pace = f", about {rate.value} blows a minute by hand" if rate is not None else ""
    return (
        f"Compact {method.layers} layers of even height, {method.blows_per_layer} "
        f"blows on each: rammer {cell_text(method.cell('rammer_mass'))}, free drop "
        f"{cell_text(method.cell('rammer_drop'))}. Hold the guide upright{upright}, "
        f"spread the blows evenly{pace}. Before each next layer cut loose soil from "
        "the wall and lay it on top."
    )


def last_layer(method: Method) -> str:
    """Where the last layer may end."""
    cell = method.optional("last_layer_above_rim")
    most = f" by {cell_text(cell)} at most" if cell is not None else " a little"
    return (
        f"The last layer ends above the rim{most}, nowhere below it: else throw the "
        "specimen away and make it again."
    )


def moisture_specimen(method: Method) -> str:
    """What goes into the oven."""
    least = cell_text(method.cell("moisture_specimen_least"))
    return (
        "Push the specimen out, slice it through the middle, and take at least "
        f"{least} from the full height into a container weighed empty. Weigh it before "
        "it dries."
    )


def ending(method: Method) -> str:
    """When there are points enough."""
    if method.stop_when_wet_mass_falls:
        return (
            "Add water for the next point and go on until the mass of the wet soil in "
            "the mold falls or rises no more."
        )
    each = method.optional("least_points_each_side")
    if each is not None:
        return (
            f"Make points until at least {each.value} lie on each side of the optimum."
        )
    return "Make points until the optimum lies well between the driest and wettest."


def drying(method: Method) -> str:
    """How long in the oven."""
    hours = method.optional("oven_ample")
    ample = f"for {cell_text(hours)} or more, or " if hours is not None else ""
    return (
        f"Dry at {method.cell('oven')} {ample}until two weighings agree. Let the "
        "containers cool covered, then weigh."
    )


def ticks(case: Test) -> tuple[str, ...]:
    """What only eyes can see of each specimen, worded so that a tick is a yes."""
    return ticks_of(case.method)


@cache
def ticks_of(method: Method | None) -> tuple[str, ...]:
    """Write the ticks of a method."""
    cell = method.optional("last_layer_above_rim") if method is not None else None
    most = f", {cell_text(cell)} at most" if cell is not None else ""
    return (
        "Layers of even height",
        f"Last layer above the rim{most}",
        "Blows free, upright, evenly spread",
        "Surface trimmed flush, holes filled",
        "Nothing torn out below the rim",
        "No water ran out of the base",
    )


CAUTIONS = (
    "Rammer: keep hands clear of the drop and the turning mold; guard a mechanical "
    "rammer and isolate it before clearing it. Wear ear protection.",
    "Oven: hot containers burn; use tongs and gloves, and put nothing flammable in.",
    "Dust: dry soil may hold silica; extract it or wear a mask when drying, breaking "
    "up and sieving. Treat unknown soil as contaminated.",
    "Lifting: samples and filled molds are heavy; share the load. Keep hands clear of "
    "the extruder and the straightedge.",
)
"""Where the work can hurt, and what to do about it."""
