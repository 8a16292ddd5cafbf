"""Steps, ticks and cautions in our own words, with the method's figures."""

from collections.abc import Iterable, Iterator
from functools import cache

from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.shared.bench import overnight
from buildsite.standards.cells import Cell, Printed
from buildsite.standards.method import Method


def spelled(text: str, method: Method | None) -> str:
    """Spell mold as the standard does."""
    if method is None or "mold" not in text.lower():
        return text
    word = method.word("mold")
    return text.replace("mold", word).replace("Mold", word.capitalize())


def all_spelled(texts: Iterable[str], method: Method | None) -> tuple[str, ...]:
    """Spell mold as the standard does in several texts."""
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
    """Return the steps of the work, from drying the soil to the dry mass."""
    if case.method is None:
        return ("Follow the standard: this program has no data for it.",)
    facts = case.inputs.get(SampleFacts, case.record.sample)
    soils = (facts.soil_class, facts.soil_group) if facts is not None else ()
    return steps_of(case.method, tuple(soil for soil in soils if soil))


@cache
def steps_of(method: Method, soils: tuple[str, ...]) -> tuple[str, ...]:
    """Return the steps of a method, for a soil or for all."""
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
    "Weigh the clean empty {what}. Attach the collar. Set the mold on a rigid floor."
)
TRIM = (
    "Loosen the soil around the collar; remove it without tearing the soil. "
    "Trim flush with the rim from the middle outwards; press fine trimmings into "
    "holes. Clean the outside and weigh at once."
)


def preparation(method: Method) -> str:
    """Return the step of preparing the soil."""
    hot = method.optional("drying_before_test")
    heat = f", at most {cell_text(hot)}" if hot is not None else ""
    return (
        f"Dry damp soil until it is friable{heat}. Break up clods without breaking "
        f"grains. Pass the soil through the {method.sieve} sieve. Weigh, record "
        "and keep the material retained."
    )


AGAIN = {
    "no": "Use new soil for each point; do not reuse compacted soil.",
    "yes": "The soil may be broken up and reused.",
}
"""Reuse of soil, by the method's word for it."""

UNLESS_FRAGILE = (
    "The soil may be broken up and reused; use new soil for each point if grains break "
    "or the soil is heavy clay."
)


def portions(method: Method) -> Iterator[str]:
    """Yield the steps about the number of points, their spacing, and the soil."""
    least, wanted = method.cell("least_points"), method.optional("preferred_points")
    many = f"{least.value} points or more"
    if wanted is not None and wanted.value != least.value:
        many = f"{wanted.value} points (at least {least.value})"
    usual, most = method.optional("usual_step"), method.cell("greatest_step")
    heavy = method.cell("greatest_step_heavy_clay")
    clay = f" ({heavy.value} in heavy clay)" if heavy.value != most.value else ""
    water = method.word("water_content")
    yield (
        f"Plan {many}, about {(usual or most).value} percentage points apart in "
        f"{water}, at most {most.value}{clay}. Make the first about 4 points below the "
        "expected optimum."
    )
    yield soil_amount(method) + AGAIN.get(method.may_reuse_soil, UNLESS_FRAGILE)


def soil_amount(method: Method) -> str:
    """Return the sentence on the amount of soil: in total, and for each point."""
    each, whole = method.optional("specimen_mass"), method.optional("sample_mass")
    if method.may_reuse_soil == "no":
        if each is None:
            return ""
        return f"Weigh out about {cell_text(each)} of soil for each point. "
    if whole is None:
        return ""
    batches = method.optional("sample_mass_separate")
    new = ""
    if each is not None:
        new = f"; where each point needs new soil, about {cell_text(each)} a point"
    elif batches is not None:
        new = f"; where each point needs new soil, about {cell_text(batches)}"
    return f"Prepare about {cell_text(whole)} of soil in total{new}. "


def standing_time(method: Method, soils: tuple[str, ...]) -> str:
    """Return the step of mixing and standing, for this soil or for all."""
    known = [cell for soil in soils if (cell := method.standing(soil))]
    mix = "Mix in the water evenly and cover the soil."
    if known:
        longest = max(known, key=lambda cell: cell.si)
        rest = f"Let it stand at least {cell_text(longest)}" if longest.si else ""
        return f"{mix} {rest or 'No standing time'} ({soils[0]})."
    cells = [cell for name, cell in method.cells.items() if name.startswith("standing")]
    if not cells:
        return mix
    waits = "; ".join(f"{soil_names(cell)}: {waiting_time(cell)}" for cell in cells)
    return f"{mix} Standing time: {waits}."


def waiting_time(cell: Cell) -> str:
    """Write a standing time."""
    return f"at least {cell_text(cell)}" if cell.si else "none"


def soil_names(cell: Cell) -> str:
    """Write the soils of a cell."""
    if not cell.soils:
        return "all soils"
    named = ["others" if soil == "other" else soil for soil in cell.soils]
    return ", ".join(named)


def compaction(method: Method) -> str:
    """Return the step of compaction."""
    lean = method.optional("rammer_upright")
    rate = method.optional("rammer_rate")
    upright = f" within {lean.value}°" if lean is not None else ""
    pace = f", about {rate.value} blows per minute by hand" if rate is not None else ""
    return (
        f"Compact {method.layers} layers of equal height, {method.blows_per_layer} "
        f"blows each. Rammer: {cell_text(method.cell('rammer_mass'))}, free drop "
        f"{cell_text(method.cell('rammer_drop'))}. Guide "
        f"upright{upright}, blows evenly spread{pace}. Before the next layer, trim "
        "loose soil from the wall onto the surface."
    )


def last_layer(method: Method) -> str:
    """Return the step of the last layer."""
    cell = method.optional("last_layer_above_rim")
    most = f"at most {cell_text(cell)}" if cell is not None else "slightly"
    return (
        f"The last layer must end {most} above the rim, nowhere below it. Otherwise "
        "discard the specimen and make a new one."
    )


def moisture_specimen(method: Method) -> str:
    """Return the step of the moisture specimen."""
    cell = method.cell("moisture_specimen_least")
    whole = ", or the whole specimen" if "whole specimen" in cell.note else ""
    return (
        "Extrude the specimen and slice it through the middle. Take at least "
        f"{cell_text(cell)} from the full height{whole}, into a weighed container. "
        "Weigh it before it dries."
    )


def ending(method: Method) -> str:
    """Return the step that ends the series."""
    if method.stop_when_wet_mass_falls:
        return (
            "Add water for the next point. Continue until the mass of the wet soil in "
            "the mold no longer rises."
        )
    each = method.optional("least_points_each_side")
    if each is not None:
        return (
            f"Make points until at least {each.value} lie on each side of the optimum."
        )
    return "Make points until the optimum lies well between the driest and the wettest."


def drying(method: Method) -> str:
    """Return the step of drying."""
    return (
        f"Dry at {method.cell('oven')} {overnight(method)}. Let the covered containers "
        "cool, then weigh."
    )


def ticks(case: Test) -> tuple[str, ...]:
    """Return what to check by eye on each specimen: a tick is a yes."""
    return ticks_of(case.method)


@cache
def ticks_of(method: Method | None) -> tuple[str, ...]:
    """Return the ticks of a method."""
    cell = method.optional("last_layer_above_rim") if method is not None else None
    most = f"0 to {cell_text(cell)} " if cell is not None else ""
    return (
        "Layers of equal height",
        f"Last layer {most}above the rim",
        "Rammer upright, free drop, blows evenly spread",
        "Surface trimmed flush, holes filled",
        "No soil torn out below the rim",
        "No bleeding at the base",
    )


CAUTIONS = (
    "Rammer: keep hands clear of the drop and the turning mold. Guard a mechanical "
    "rammer, and isolate it before clearing it. Wear ear protection.",
    "Oven: hot containers burn. Use tongs and gloves. Keep flammables out.",
    "Dust: dry soil may contain silica. Use dust extraction or a mask when drying, "
    "breaking up and sieving. Treat unknown soil as contaminated.",
    "Lifting: samples and filled molds are heavy. Share the load. Hands clear of the "
    "extruder and straightedge.",
)
"""Hazards of the work, and precautions."""
