"""The working of the wet and dry density in place, by each apparatus."""

from collections.abc import Iterator

from buildsite.kinds.field_answers import DriveCylinderFacts, SandConeFacts
from buildsite.kinds.reporting import printed_unit
from buildsite.kinds.steps import Input, Line, Step, Symbol
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.holes import (
    apparatus_facts,
    apparatus_id,
    cone_mass,
    sand_density,
)
from buildsite.kinds.tests.field_density.working.water import (
    RESULT,
    gauge_inputs,
    gauge_symbols,
)
from buildsite.kinds.tests.shared.working import (
    capital,
    result_line,
    rounded_as,
    rounding_row,
    words_of,
)
from buildsite.kinds.working import digits, read, step_of
from buildsite.record.units import from_si
from buildsite.soil.formulas import (
    BALLOON_VOLUME,
    DRY_DENSITY,
    SAND_CONE_VOLUME,
    WET_DENSITY,
)

WET, DRY, HOLE = "wet_density", "dry_density", "hole_volume"
ROOMS = {"g": "cm3", "kg": "m3", "lb": "ft3"}
"""The unit of a volume beside a unit of mass."""


def density_steps(case: Test) -> Iterator[Step]:
    """Yield the volume, the moist soil, and the densities."""
    if WET in case.results:
        yield from wet_steps(case)
    if DRY not in case.results or case.values.dry_density is None:
        return
    words = words_of(case.method)
    inputs = (
        Input("rho", digits(case.results[WET].value), "kg/m3", line=WET),
        Input("w", digits(case.values.water.reported or 0.0), "%", line=RESULT),
    )
    yield step_of(
        DRY_DENSITY,
        f"step-{DRY}",
        title(case, "dry density"),
        [result_line(case, DRY)._replace(inputs=inputs)],
        {"rho": "kg/m³", "w": "%"},
        words,
        rounded_as(case, DRY),
        rounding_row(case, DRY),
    )


def title(case: Test, name: str) -> str:
    """Return the standard's term for a density, in the unit of the report."""
    return capital(words_of(case.method, case.values.density_unit)[name])


def wet_steps(case: Test) -> Iterator[Step]:
    """Yield the steps to the wet density."""
    record, dug = case.record, case.values.dug
    if record.apparatus == "nuclear-gauge" and gauge_inputs(
        record, WET, "rho", record.units.density or ""
    ):
        yield gauge_step(case)
    elif not dug.transcribed:
        yield from volume_steps(case)
        yield from soil_steps(case)
        yield mass_over_volume(case)
    else:
        yield transcribed_step(case)


def transcribed_step(case: Test) -> Step:
    """Return the wet density as it was taken over, from the dry one if need be."""
    record, unit = case.record, case.record.units.density or ""
    made = result_line(case, WET)
    inputs: tuple[Input, ...]
    name = f"{title(case, 'wet density')}, transcribed"
    if record.wet_density is not None:
        inputs = (Input("rho", read(record.wet_density), unit, (WET,)),)
        line = made._replace(inputs=inputs)
        return Step(f"step-{WET}", name, (line,), "rho", "rho")
    words = words_of(case.method)
    inputs = (
        Input("rho_d", read(record.dry_density), unit, (DRY,)),
        Input("w", digits(case.values.water.reported or 0.0), "%", line=RESULT),
    )
    return Step(
        f"step-{WET}",
        name,
        (made._replace(inputs=inputs),),
        "rho",
        "rho_d * (1 + w / 100)",
        (
            Symbol("rho_d", words["dry density"], printed_unit(unit)),
            Symbol("w", words["water content"], "%"),
        ),
        DRY_DENSITY.source,
    )


def gauge_step(case: Test) -> Step:
    """Return the mean of a gauge's readings."""
    unit = case.record.units.density or ""
    readings = gauge_inputs(case.record, WET, "rho", unit)
    total = " + ".join(one.symbol for one in readings)
    return Step(
        f"step-{WET}",
        title(case, "wet density"),
        (result_line(case, WET)._replace(inputs=tuple(readings)),),
        "rho",
        f"({total}) / {len(readings)}" if len(readings) > 1 else total,
        gauge_symbols(readings, unit, words_of(case.method)["wet density"]),
        "AASHTO T 310 and ASTM D6938: mean of the readings",
        notes=rounded_as(case, WET),
        to=rounding_row(case, WET),
    )


def room_of(case: Test) -> str:
    """Return the unit in which a volume is put in."""
    return case.record.units.volume or ROOMS.get(case.record.units.mass or "", "m3")


def volume_input(case: Test) -> Input:
    """Return the volume, from its own line or the apparatus's page."""
    room = room_of(case)
    text = digits(from_si(case.values.dug.volume or 0.0, room))
    if case.record.apparatus != "drive-cylinder":
        return Input("V", text, room, line=HOLE)
    facts = apparatus_facts(case.record, case.inputs)
    if facts is not None:
        return Input("V", text, room, to=("equipment", facts.id))
    stated = case.record.cylinder.volume if case.record.cylinder else None
    return Input("V", read(stated), room, ("cylinder", "volume"))


def mass_over_volume(case: Test) -> Step:
    """Return the step of the wet density."""
    unit = case.record.units.mass or ""
    words = {
        **words_of(case.method),
        "wet soil in the mold": "wet soil",
        "volume of the mold": "its volume",
    }
    soil = case.values.dug.soil or 0.0
    inputs = (soil_input(case, digits(from_si(soil, unit)), unit), volume_input(case))
    return step_of(
        WET_DENSITY,
        f"step-{WET}",
        title(case, "wet density"),
        [result_line(case, WET)._replace(inputs=inputs)],
        {"m": printed_unit(unit), "V": printed_unit(room_of(case))},
        words,
        rounded_as(case, WET),
        rounding_row(case, WET),
    )


def soil_input(case: Test, text: str, unit: str) -> Input:
    """Return the moist soil: weighed alone, or from its own line."""
    alone = (
        case.record.apparatus != "drive-cylinder" and case.record.wet_soil is not None
    )
    if alone:
        return Input("m", read(case.record.wet_soil), unit, ("wet_soil",))
    return Input("m", text, unit, line="wet-soil")


def soil_steps(case: Test) -> Iterator[Step]:
    """Yield the moist soil, where it was weighed in something."""
    record, unit = case.record, case.record.units.mass or ""
    text = digits(from_si(case.values.dug.soil or 0.0, unit))
    if record.apparatus == "drive-cylinder":
        facts = apparatus_facts(record, case.inputs)
        mass = facts.mass_kg if isinstance(facts, DriveCylinderFacts) else None
        if record.cylinder_mass is not None:
            empty = Input("m_4", read(record.cylinder_mass), unit, ("cylinder_mass",))
        elif mass is not None and facts is not None:
            own = digits(from_si(mass, unit))
            empty = Input("m_4", own, unit, to=("equipment", facts.id))
        else:
            stated = record.cylinder.mass if record.cylinder is not None else None
            empty = Input("m_4", read(stated), unit, ("cylinder", "mass"))
        field, what = "cylinder_and_wet_soil", "cylinder"
    elif record.wet_soil is None:
        empty = Input("m_4", read(record.container_mass), unit, ("container_mass",))
        field, what = "container_and_wet_soil", "container"
    else:
        return
    full = Input("m_3", read(getattr(record, field)), unit, (field,))
    shown = printed_unit(unit)
    yield Step(
        "step-wet-soil",
        "Wet soil",
        (Line("wet-soil", "", (full, empty), text, unit),),
        "m",
        "m_3 - m_4",
        (
            Symbol("m_3", f"{what} and wet soil", shown),
            Symbol("m_4", f"empty {what}", shown),
        ),
        "A definition",
    )


def volume_steps(case: Test) -> Iterator[Step]:
    """Yield the volume of a hole."""
    record, unit = case.record, case.record.units.mass or ""
    if HOLE not in case.results:
        return
    room = room_of(case)
    value = case.values.dug.volume or 0.0
    made = result_line(case, HOLE)._replace(
        value=digits(from_si(value, room)), unit=room, also=""
    )
    notes, to = rounded_as(case, HOLE), rounding_row(case, HOLE)
    shown = printed_unit(unit)
    inputs: tuple[Input, ...]
    if record.apparatus == "balloon":
        inputs = (
            Input("V_2", read(record.volume_after), room, ("volume_after",)),
            Input("V_1", read(record.volume_before), room, ("volume_before",)),
        )
        units = dict.fromkeys(("V_1", "V_2"), printed_unit(room))
        line = made._replace(inputs=inputs)
        formula = BALLOON_VOLUME
    else:
        yield from surface_steps(case)
        inputs = (
            Input("m_1", read(record.apparatus_before), unit, ("apparatus_before",)),
            Input("m_2", read(record.apparatus_after), unit, ("apparatus_after",)),
            cone_input(case, unit),
            sand_input(case),
        )
        units = dict.fromkeys(("m_1", "m_2", "m_3"), shown) | {"rho_s": "kg/m³"}
        line = made._replace(inputs=inputs)
        formula = SAND_CONE_VOLUME
    name = "Volume of the hole"
    yield step_of(formula, f"step-{HOLE}", name, [line], units, {}, notes, to)


def surface_steps(case: Test) -> Iterator[Step]:
    """Yield the sand under the plate on rough ground."""
    rough, unit = case.record.surface, case.record.units.mass or ""
    if rough is None or rough.before is None or rough.after is None:
        return
    inputs = (
        Input("m_5", read(rough.before), unit, ("surface", "before")),
        Input("m_6", read(rough.after), unit, ("surface", "after")),
    )
    text = digits(from_si(cone_mass(case.record, None) or 0.0, unit))
    shown = printed_unit(unit)
    yield Step(
        "surface",
        "Sand in cone and plate, on this surface",
        (Line("surface-1", "", inputs, text, unit),),
        "m_3",
        "m_5 - m_6",
        (
            Symbol("m_5", "apparatus with sand, before the surface", shown),
            Symbol("m_6", "apparatus with sand, after the surface", shown),
        ),
    )


def cone_input(case: Test, unit: str) -> Input:
    """Return the sand in cone and plate: measured there, calibrated, or stated."""
    facts = apparatus_facts(case.record, case.inputs)
    own = facts if isinstance(facts, SandConeFacts) else None
    text = digits(from_si(cone_mass(case.record, own) or 0.0, unit))
    rough = case.record.surface
    if rough is not None and rough.before is not None and rough.after is not None:
        return Input("m_3", text, unit, line="surface-1")
    if own is not None and own.cone_mass_kg is not None:
        return Input("m_3", text, unit, to=("equipment", apparatus_id(case.record)))
    return Input("m_3", text, unit, ("sand", "cone"))


def sand_input(case: Test) -> Input:
    """Return the bulk density of the sand: of its bag, or as stated."""
    facts = apparatus_facts(case.record, case.inputs)
    own = facts if isinstance(facts, SandConeFacts) else None
    if own is not None and own.sand_density is not None:
        to = ("equipment", apparatus_id(case.record))
        return Input("rho_s", digits(own.sand_density), "kg/m3", to=to)
    stated = case.record.sand.bulk_density if case.record.sand is not None else None
    if stated is not None:
        unit = case.record.units.density or ""
        return Input("rho_s", read(stated), unit, ("sand", "bulk_density"))
    value = sand_density(case.record, own)
    return Input("rho_s", digits(value or 0.0), "kg/m3")
