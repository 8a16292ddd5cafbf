"""The working of the water content of a field test, and of its coarse fraction."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from buildsite.kinds.answers import OversizeFact
from buildsite.kinds.reporting import printed_unit
from buildsite.kinds.steps import Input, Line, Step, Symbol
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.water import (
    InContainer,
    gauge_readings,
    stated_water,
)
from buildsite.kinds.tests.shared.working import (
    Portion,
    capital,
    mean_step,
    portion_steps,
    result_line,
    rounded_as,
    rounding_row,
    words_of,
)
from buildsite.kinds.working import digits, read, step_of
from buildsite.record.flags import Field
from buildsite.soil.formulas import (
    COARSE_PERCENT,
    FINE_WATER_CONTENT,
    ON_DRY_BASIS,
    TOTAL_WATER_CONTENT,
)

RESULT = "water_content"
FIELD, OVEN, FINE, SHARE = "water-field", "water-oven", "water-fine", "coarse-percent"


def water_steps(case: Test) -> Iterator[Step]:
    """Yield every step to the water content that is reported."""
    water = case.values.water
    yield from found_steps(case)
    yield from oven_steps(case)
    yield from split_steps(case)
    yield from fraction_steps(case)
    if RESULT in case.results and water.total in (None, water.counts):
        made = result_line(case, RESULT)
        source = made._replace(anchor=counts_line(case), label="", reported="")
        yield mean_step(
            [source],
            made,
            "w",
            f"{name_of(case)} as reported",
            rounded_as(case, RESULT),
            rounding_row(case, RESULT),
        )


def name_of(case: Test) -> str:
    """Return the standard's term for water content."""
    return capital(words_of(case.method)["water content"])


def counts_line(case: Test) -> str:
    """Return the line of the water content that counts."""
    return OVEN if case.values.water.oven is not None else FIELD


def portions_of(
    field: Field, containers: Sequence[Any], found: Sequence[InContainer]
) -> list[Portion]:
    """Return containers with their values."""
    return [
        Portion((*field, i), one, made.water_content, made.rejected)
        for i, (one, made) in enumerate(zip(containers, found, strict=True))
    ]


def found_steps(case: Test) -> Iterator[Step]:
    """Yield the water content as found in the field."""
    record, water = case.record, case.values.water
    if water.field is None:
        return
    made = Line(FIELD, "", (), digits(water.field), "%")
    name = name_of(case)
    if any(one.water_content is not None for one in water.containers):
        every = portions_of(("containers",), record.containers, water.containers)
        yield from portion_steps(case.method, record.units.moisture, every, made, name)
    elif water.gauge is not None:
        yield from gauge_steps(case, made)
    elif stated_water(record) is not None:
        yield stated_step(case, made)


def stated_step(case: Test, made: Line) -> Step:
    """Return the step of a water content that was stated."""
    record, name = case.record, name_of(case)
    stated = read(record.water_content)
    if record.water_basis == "wet":
        line = made._replace(inputs=(Input("r", stated, "%", (RESULT,)),))
        units = {"r": "%"}
        return step_of(ON_DRY_BASIS, "dry-basis", f"{name} by dry mass", [line], units)
    line = made._replace(inputs=(Input("w", stated, "%", (RESULT,)),))
    return Step("stated", f"{name} as stated", (line,), "w", "w")


def gauge_steps(case: Test, made: Line) -> Iterator[Step]:
    """Yield the water by a gauge, with its offset."""
    record, found = case.record, case.values.water.gauge
    unit = record.units.density or ""
    if found is None:
        return
    readings = gauge_inputs(record, "water", "M", unit)
    offset = record.gauge.offset if record.gauge is not None else None
    added: tuple[Input, ...] = ()
    if offset is not None and offset.value and offset.applied != "in-gauge":
        of = offset.unit or unit
        added = (Input("k", read(offset.value), of, ("gauge", "offset", "value")),)
    in_mass = added and added[0].unit != "%"
    total = " + ".join(one.symbol for one in readings)
    formula = f"({total}) / {len(readings)}" if len(readings) > 1 else total
    yield Step(
        "gauge-water",
        "Water by the gauge",
        (
            Line(
                "gauge-water-1",
                "",
                (*readings, *(added if in_mass else ())),
                digits(found.water),
                "kg/m3",
            ),
        ),
        "M",
        f"{formula} + k" if in_mass else formula,
        gauge_symbols(readings, unit, "mass of water over total volume", in_mass),
        "AASHTO T 310 and ASTM D6938: mean of the readings",
    )
    inputs = (
        Input("M", digits(found.water), "kg/m3", line="gauge-water-1"),
        Input("rho", digits(found.wet_density), "kg/m3", line="wet_density"),
        *(added if added and not in_mass else ()),
    )
    formula = "100 * M / (rho - M)"
    yield Step(
        "gauge-water-content",
        name_of(case),
        (made._replace(inputs=inputs),),
        "w",
        formula if in_mass or not added else f"{formula} + k",
        (
            Symbol("M", "mass of water over total volume", "kg/m³"),
            Symbol("rho", words_of(case.method)["wet density"], "kg/m³"),
            *((Symbol("k", "offset for this soil", "%"),) if len(inputs) > 2 else ()),
        ),
        "AASHTO T 310 and ASTM D6938: w = 100 M / DD",
    )


def gauge_symbols(
    readings: Sequence[Input], unit: str, words: str, offset: object = False
) -> tuple[Symbol, ...]:
    """Return the symbols of a mean of a gauge's readings."""
    shown = printed_unit(unit)
    own = (Symbol("k", "offset for this soil", shown),) if offset else ()
    first = readings[0].symbol
    which = f", readings 1 to {len(readings)}" if len(readings) > 1 else ""
    return (Symbol(first, f"{words}{which}", shown), *own)


def gauge_inputs(record: Any, name: str, symbol: str, unit: str) -> list[Input]:
    """Return a reading of every position of a gauge that counts."""
    every = record.gauge.readings if record.gauge is not None else ()
    counted = gauge_readings(record)
    found = [
        (i, getattr(one, name))
        for i, one in enumerate(every)
        if one in counted and one.rejected is None and getattr(one, name) is not None
    ]
    return [
        Input(
            f"{symbol}_{n}" if len(found) > 1 else symbol,
            read(value),
            unit,
            ("gauge", "readings", i, name),
        )
        for n, (i, value) in enumerate(found, 1)
    ]


def oven_steps(case: Test) -> Iterator[Step]:
    """Yield the oven's check, which counts where there is one."""
    check, water = case.record.oven_check, case.values.water
    if check is None or water.oven is None:
        return
    made = Line(OVEN, "", (), digits(water.oven), "%")
    name = f"{name_of(case)} by the oven's check"
    if any(one.water_content is not None for one in water.checked):
        field: Field = ("oven_check", "containers")
        every = portions_of(field, check.containers, water.checked)
        unit = case.record.units.moisture
        yield from portion_steps(case.method, unit, every, made, name)
        return
    field = ("oven_check", RESULT)
    line = made._replace(inputs=(Input("w", read(check.water_content), "%", field),))
    yield Step("oven-stated", name, (line,), "w", "w")


def coarse_water_input(case: Test, symbol: str) -> Input:
    """Return the water content of the coarse particles: read, told, or assumed."""
    split, reference = case.values.split, case.values.reference
    source = split.water_source if split is not None else ""
    text = digits(split.water if split is not None else 0.0)
    if source == "measured":
        stated = read(case.record.coarse.water_retained if case.record.coarse else None)
        return Input(symbol, stated, "%", ("coarse", "water_retained"))
    if source == "reference" and reference is not None:
        return Input(symbol, text, "%", to=("test", reference.id))
    return Input(symbol, text, "%")


def split_steps(case: Test) -> Iterator[Step]:
    """Yield the coarse fraction by dry mass, of the moist masses of the split."""
    record, split = case.record, case.values.split
    coarse = record.coarse
    if coarse is None or split is None or split.percent is None:
        return
    words = words_of(case.method)
    note = (
        ("The water content of the coarse particles is assumed.",)
        if split.water_source == "assumed"
        else ()
    )
    name = f"Coarse fraction, retained on {split.sieve or 'the sieve'}"
    made = Line(SHARE, "", (), digits(split.percent), "%")
    if coarse.percent_retained is not None:
        stated = read(coarse.percent_retained)
        given = Input("P", stated, "%", ("coarse", "percent_retained"))
        line = made._replace(inputs=(given,))
        yield Step(SHARE, f"{name}, as stated", (line,), "P", "P", notes=note)
        return
    unit = record.units.mass or ""
    shown = printed_unit(unit)
    masses = (
        Input("m_r", read(coarse.wet_retained), unit, ("coarse", "wet_retained")),
        Input("m_p", read(coarse.wet_passing), unit, ("coarse", "wet_passing")),
    )
    kept = coarse_water_input(case, "w_r")
    fine = fine_input(case)
    units = {"m_r": shown, "m_p": shown, "w_r": "%", "w_p": "%"}
    if fine is not None:
        line = made._replace(inputs=(*masses, kept, fine))
        yield step_of(COARSE_PERCENT, f"step-{SHARE}", name, [line], units, words, note)
        return
    whole = Input(
        "w", digits(case.values.water.counts or 0.0), "%", line=counts_line(case)
    )
    symbols = tuple(
        Symbol(one.symbol, one.words, units[one.symbol])
        for one in COARSE_PERCENT.terms
        if one.symbol != "w_p"
    )
    yield Step(
        f"step-{SHARE}",
        name,
        (made._replace(inputs=(*masses, kept, whole)),),
        "P",
        "100 * (m_r / (1 + w_r / 100)) / ((m_r + m_p) / (1 + w / 100))",
        (*symbols, Symbol("w", f"{words['water content']} of the whole soil", "%")),
        COARSE_PERCENT.source,
        notes=note,
    )


def fine_input(case: Test) -> Input | None:
    """Return the water content of what passed the sieve, where it was measured."""
    coarse, water = case.record.coarse, case.values.water
    if coarse is not None and coarse.water_passing is not None:
        return Input(
            "w_p", read(coarse.water_passing), "%", ("coarse", "water_passing")
        )
    if case.record.water_fraction == "fine" and water.counts is not None:
        return Input("w_p", digits(water.counts), "%", line=counts_line(case))
    return None


def fraction_steps(case: Test) -> Iterator[Step]:
    """Yield the water content of the whole soil, or of its fines, from the other."""
    water, split = case.values.water, case.values.split
    if split is None or split.percent is None:
        return
    share = Input("P", digits(split.percent), "%", line=SHARE)
    if water.total is not None and water.total != water.counts:
        fine = fine_input(case)
        if fine is None or RESULT not in case.results:
            return
        inputs = (fine._replace(symbol="w_f"), share, coarse_water_input(case, "w_c"))
        line = result_line(case, RESULT)._replace(inputs=inputs)
        units = {"w_f": "%", "P": "%", "w_c": "%"}
        yield step_of(
            TOTAL_WATER_CONTENT,
            f"step-{RESULT}",
            f"{name_of(case)} of the whole soil",
            [line],
            units,
            words_of(case.method),
            rounded_as(case, RESULT),
            rounding_row(case, RESULT),
        )
        return
    passing = case.record.coarse.water_passing if case.record.coarse else None
    if water.fine is None or passing is not None or water.total is None:
        return
    whole = Input("w_t", digits(water.total), "%", line=counts_line(case))
    inputs = (whole, share, coarse_water_input(case, "w_c"))
    units = {"w_t": "%", "P": "%", "w_c": "%"}
    line = Line(FINE, "", inputs, digits(water.fine), "%")
    name = f"{name_of(case)} of what passes the sieve"
    yield step_of(
        FINE_WATER_CONTENT, f"step-{FINE}", name, [line], units, words_of(case.method)
    )


def gravity_source(
    case: Test, of_reference: OversizeFact | None, value: Decimal | None
) -> Input:
    """Return the bulk specific gravity of the coarse particles: own, or the test's."""
    own = case.record.coarse.specific_gravity if case.record.coarse else None
    if own is not None and own.value is not None:
        field: Field = ("coarse", "specific_gravity", "value")
        return Input("G_b", read(own.value), field=field)
    reference = case.values.reference
    to = ("test", reference.id) if reference is not None else None
    known = of_reference.bulk_specific_gravity if of_reference is not None else value
    return Input("G_b", read(known), to=to)
