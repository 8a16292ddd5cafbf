"""The working of a specific gravity: pycnometers, determinations, mean, whole soil."""

from collections.abc import Iterator

from buildsite.kinds.reporting import printed_unit
from buildsite.kinds.steps import Input, Line, Step, Steps, Symbol
from buildsite.kinds.tests.shared.working import (
    mean_step,
    result_line,
    rounded_as,
    rounding_row,
)
from buildsite.kinds.tests.specific_gravity.compute import (
    DeterminationValues,
    Test,
    facts_of,
)
from buildsite.kinds.working import constants, digits, read, step_of
from buildsite.record.units import from_si
from buildsite.soil.formulas import (
    FILLED_MASS,
    GRAVITY_OF_TWO,
    SOLIDS_GRAVITY,
    TEMPERATURE_FACTOR,
    VOLUME_BY_WATER,
    WATER_DENSITY,
)

RESULT, WHOLE = "specific_gravity", "combined_specific_gravity"
VOLUMES = {"g": "cm3", "kg": "m3", "lb": "ft3"}
"""The unit of a volume beside a unit of mass."""

TANAKA = {
    "t": "°C",
    "a_1": "°C",
    "a_2": "°C",
    "a_3": "°C²",
    "a_4": "°C",
    "a_5": "kg/m³",
}


def working(case: Test) -> tuple[Steps, ...]:
    """Return every step from the masses to the results."""
    if RESULT not in case.results:
        return ()
    parts = (
        Steps("water", "Water and pycnometer", tuple(water_steps(case))),
        Steps("determinations", "Determinations", tuple(gravity_steps(case))),
        Steps("worked", "From readings to results", tuple(result_steps(case))),
    )
    return tuple(one for one in parts if one.steps)


def measured(case: Test) -> list[tuple[int, DeterminationValues]]:
    """Return the determinations that were computed from masses."""
    return [
        (i, one)
        for i, one in enumerate(case.values.determinations)
        if one.specific_gravity is not None and not one.transcribed
    ]


def label(one: DeterminationValues) -> str:
    """Return the label of a determination's lines."""
    rejected = ", rejected" if one.rejected else ""
    return f"Determination {one.number}{rejected}"


def water_steps(case: Test) -> Iterator[Step]:
    """Yield density of water, factor, volume and mass of each pycnometer."""
    record, found = case.record, measured(case)
    if not found:
        return
    unit = record.units.mass or ""
    room = VOLUMES.get(unit, "m3")
    lines = []
    for i, one in found:
        t = Input(
            "t",
            read(record.determinations[i].temperature_c),
            "°C",
            ("determinations", i, "temperature_c"),
        )
        lines.append(
            Line(
                f"water-density-{one.number}",
                label(one),
                (t, *constants(WATER_DENSITY)),
                digits(one.water_density or 0.0),
                "kg/m3",
            )
        )
    name = "Density of water at the temperature of the test"
    yield step_of(WATER_DENSITY, "water-density", name, lines, TANAKA)
    (rho_20,) = constants(TEMPERATURE_FACTOR)
    yield step_of(
        TEMPERATURE_FACTOR,
        "factor",
        "Factor to water at 20 °C",
        [
            Line(
                f"factor-{one.number}",
                label(one),
                (density_input(one), Input(rho_20.symbol, rho_20.value, "kg/m3")),
                digits(one.factor or 0.0),
            )
            for _, one in found
        ],
        {"rho_w": "kg/m³", "rho_20": "kg/m³"},
    )
    own = [(i, one) for i, one in found if not one.calibrated]
    if own:
        yield from own_volumes(case, own, unit, room)
    yield step_of(
        FILLED_MASS,
        "full-of-water",
        "Pycnometer full of water at that temperature",
        [
            Line(
                f"full-of-water-{one.number}",
                label(one),
                (
                    empty_input(case, i, one, unit),
                    volume_input(case, i, one, room),
                    density_input(one),
                ),
                digits(from_si(one.full_of_water or 0.0, unit)),
                unit,
            )
            for i, one in found
        ],
        {"m_p": printed_unit(unit), "V_p": printed_unit(room), "rho_w": "kg/m³"},
    )


def density_input(one: DeterminationValues) -> Input:
    """Return the density of water at the temperature of a determination."""
    text = digits(one.water_density or 0.0)
    return Input("rho_w", text, "kg/m3", line=f"water-density-{one.number}")


def empty_input(case: Test, i: int, one: DeterminationValues, unit: str) -> Input:
    """Return the empty pycnometer: as read, else as calibrated."""
    if not one.calibrated:
        text = read(case.record.determinations[i].pycnometer_mass)
        return Input("m_p", text, unit, ("determinations", i, "pycnometer_mass"))
    facts = facts_of(case.record, case.record.determinations[i], case.inputs)
    mass = facts.mass_kg if facts is not None else None
    text = digits(from_si(mass or 0.0, unit))
    return Input("m_p", text, unit, to=("equipment", one.pycnometer))


def volume_input(case: Test, i: int, one: DeterminationValues, room: str) -> Input:
    """Return the volume of a pycnometer: by its own masses, else as calibrated."""
    text = digits(from_si(one.volume or 0.0, room))
    if one.calibrated:
        return Input("V_p", text, room, to=("equipment", one.pycnometer))
    return Input("V_p", text, room, line=f"volume-{one.number}")


def own_volumes(
    case: Test, own: list[tuple[int, DeterminationValues]], unit: str, room: str
) -> Iterator[Step]:
    """Yield the volumes by the determinations' own masses of the filled pycnometer."""
    waters, volumes = [], []
    for i, one in own:
        read_at = case.record.determinations[i]
        field = ("determinations", i)
        at = "water_temperature_c"
        if read_at.water_temperature_c is None:
            at = "temperature_c"
        density = digits(one.calibration_water_density or 0.0)
        waters.append(
            Line(
                f"calibration-water-{one.number}",
                label(one),
                (
                    Input("t", read(getattr(read_at, at)), "°C", (*field, at)),
                    *constants(WATER_DENSITY),
                ),
                density,
                "kg/m3",
            )
        )
        full = read(read_at.pycnometer_and_water)
        volumes.append(
            Line(
                f"volume-{one.number}",
                label(one),
                (
                    empty_input(case, i, one, unit),
                    Input("m_f", full, unit, (*field, "pycnometer_and_water")),
                    Input("rho_w", density, "kg/m3", line=waters[-1].anchor),
                ),
                digits(from_si(one.volume or 0.0, room)),
                room,
            )
        )
    name = "Density of water that filled the pycnometer"
    yield step_of(WATER_DENSITY, "calibration-water", name, waters, TANAKA)
    shown = printed_unit(unit)
    units = {"m_p": shown, "m_f": shown, "rho_w": "kg/m³"}
    yield step_of(VOLUME_BY_WATER, "volume", "Volume of the pycnometer", volumes, units)


def gravity_steps(case: Test) -> Iterator[Step]:
    """Yield the dry soil and the specific gravity of each determination."""
    record, unit = case.record, case.record.units.mass or ""
    shown = printed_unit(unit)
    soils, lines = [], []
    for i, one in measured(case):
        weighed, field = record.determinations[i], ("determinations", i)
        dry = digits(from_si(one.dry_soil or 0.0, unit))
        soil = Input("m_s", dry, unit, (*field, "dry_soil"))
        if weighed.dry_soil is None and weighed.container_and_dry:
            full, empty = weighed.container_and_dry[-1], weighed.container_mass
            soils.append(
                Line(
                    f"dry-soil-{one.number}",
                    label(one),
                    (
                        Input("m_2", read(full), unit, (*field, "container_and_dry")),
                        Input("m_0", read(empty), unit, (*field, "container_mass")),
                    ),
                    dry,
                    unit,
                )
            )
            soil = Input("m_s", dry, unit, line=soils[-1].anchor)
        both = read(weighed.pycnometer_soil_and_water)
        lines.append(
            Line(
                f"specific-gravity-{one.number}",
                label(one),
                (
                    Input("K", digits(one.factor or 0.0), line=f"factor-{one.number}"),
                    soil,
                    Input(
                        "m_w",
                        digits(from_si(one.full_of_water or 0.0, unit)),
                        unit,
                        line=f"full-of-water-{one.number}",
                    ),
                    Input("m_ws", both, unit, (*field, "pycnometer_soil_and_water")),
                ),
                digits(one.specific_gravity or 0.0),
            )
        )
    symbols: tuple[Symbol, ...]
    if soils:
        symbols = (
            Symbol("m_2", "container and dry soil", shown),
            Symbol("m_0", "empty container", shown),
        )
        yield Step("dry-soil", "Dry soil", tuple(soils), "m_s", "m_2 - m_0", symbols)
    if lines:
        words = {term.symbol: term.words for term in SOLIDS_GRAVITY.terms}
        symbols = (
            Symbol("K", "factor to water at 20 °C"),
            *(Symbol(name, text, shown) for name, text in words.items()),
        )
        yield Step(
            "specific-gravity",
            "Specific gravity at 20 °C",
            tuple(lines),
            "G_s",
            f"K * {SOLIDS_GRAVITY.text}",
            symbols,
            SOLIDS_GRAVITY.source,
        )
    taken = [
        Line(
            f"specific-gravity-{one.number}",
            label(one),
            (
                Input(
                    "G_s",
                    read(record.determinations[i].specific_gravity),
                    "",
                    ("determinations", i, "specific_gravity"),
                ),
            ),
            digits(one.specific_gravity or 0.0),
        )
        for i, one in enumerate(case.values.determinations)
        if one.transcribed
    ]
    if taken:
        name = "Specific gravity, transcribed"
        yield Step("transcribed", name, tuple(taken), "G_s", "G_s")


def result_steps(case: Test) -> Iterator[Step]:
    """Yield the mean of the determinations, and the whole soil's value."""
    lines = [
        Line(
            f"specific-gravity-{one.number}",
            "",
            (),
            digits(one.specific_gravity or 0.0),
        )
        for one in case.values.used
    ]
    yield mean_step(
        lines,
        result_line(case, RESULT),
        "G",
        "Specific gravity",
        rounded_as(case, RESULT),
        rounding_row(case, RESULT),
    )
    coarse = case.values.coarse
    if coarse is None or WHOLE not in case.results:
        return
    share = coarse.percent_retained
    own = coarse.source == case.record.id
    to = None if own else ("test", coarse.source)
    inputs = (
        Input(
            "P_1", digits(share), "%", ("coarse", "percent_retained") if own else (), to
        ),
        Input(
            "G_1",
            digits(coarse.specific_gravity),
            "",
            ("coarse", "specific_gravity") if own else (),
            to,
        ),
        Input("G_2", digits(case.values.mean or 0.0), line=RESULT),
    )
    yield Step(
        f"step-{WHOLE}",
        "Specific gravity of the whole soil",
        (result_line(case, WHOLE)._replace(inputs=inputs),),
        "G",
        GRAVITY_OF_TWO,
        (
            Symbol("P_1", "coarse particles, by dry mass of the whole", "%"),
            Symbol("G_1", f"their specific gravity, {coarse.basis}"),
            Symbol("G_2", "specific gravity of the soil in the pycnometer"),
        ),
        "ASTM C127, average of several sizes: volumes are added",
        notes=rounded_as(case, WHOLE),
        to=rounding_row(case, WHOLE),
    )
