"""The working of a split: water content, dry mass and share of each fraction."""

from collections.abc import Iterator, Sequence

from buildsite.kinds.reporting import printed_unit
from buildsite.kinds.steps import Input, Line, Step, Symbol
from buildsite.kinds.tests.coarse_fraction.compute import Test
from buildsite.kinds.tests.coarse_fraction.split import is_oversize
from buildsite.kinds.tests.coarse_fraction.working.results import (
    SIZES,
    mean_result,
    shares,
)
from buildsite.kinds.tests.shared.containers import possible_masses
from buildsite.kinds.tests.shared.working import (
    capital,
    mass_inputs,
    result_line,
    rounded_as,
    rounding_row,
    words_of,
)
from buildsite.kinds.working import digits, read, step_of
from buildsite.record.units import from_si
from buildsite.soil.formulas import (
    WATER_CONTENT,
    mean_of_waters,
)


def size_of(case: Test, i: int) -> str:
    """Return the label of a fraction."""
    name = case.record.fractions[i].retained_on
    return "In the pan" if name.casefold() == "pan" else f"Retained on {name}"


def split_steps(case: Test) -> Iterator[Step]:
    """Yield water content, dry mass and share of every fraction."""
    record, unit = case.record, case.record.units.split or ""
    words = words_of(case.method)
    waters = tuple(water_lines(case))
    if waters:
        shown = printed_unit(record.units.moisture or "")
        masses = dict.fromkeys(("m_0", "m_1", "m_2"), shown)
        name = f"{capital(words['water content'])} of each fraction"
        yield step_of(WATER_CONTENT, "water-content", name, waters, masses, words)
    found = case.values.fractions
    moist = record.split_masses != "dry"
    lines = [
        Line(
            f"dry-mass-{one.number}",
            size_of(case, i),
            (
                Input(
                    "m", read(record.fractions[i].mass), unit, ("fractions", i, "mass")
                ),
                *((fraction_water(case, i),) if moist and one.dry_mass else ()),
            ),
            digits(from_si(one.dry_mass, unit)),
            unit,
        )
        for i, one in enumerate(found)
        if one.dry_mass
    ]
    symbols: tuple[Symbol, ...]
    if lines and moist:
        symbols = (
            Symbol("m", "moist mass of the fraction", printed_unit(unit)),
            Symbol("w", words["water content"], "%"),
        )
        formula = "m / (1 + w / 100)"
    else:
        symbols, formula = (Symbol("m", "dry mass", printed_unit(unit)),), "m"
    if lines:
        source = "A definition: the mass of the solids"
        yield Step(
            "dry-mass", "Dry mass", tuple(lines), "m_d", formula, symbols, source
        )
    yield from share_steps(case, lines, unit)


def water_lines(case: Test) -> Iterator[Line]:
    """Yield the water content of each fraction with a container."""
    for i, one in enumerate(case.values.fractions):
        masses = possible_masses(case.record.fractions[i])
        if masses is None or one.water_content is None:
            continue
        if case.record.split_masses == "dry":
            continue
        unit = case.record.units.moisture or ""
        yield Line(
            f"water-content-{one.number}",
            size_of(case, i),
            mass_inputs(("fractions", i), masses, unit),
            digits(one.water_content),
            "%",
        )


def fraction_water(case: Test, i: int) -> Input:
    """Return the water content of a fraction: by its container, else transcribed."""
    one, fraction = case.values.fractions[i], case.record.fractions[i]
    if possible_masses(fraction) is not None:
        text = digits(one.water_content or 0.0)
        return Input("w", text, "%", line=f"water-content-{one.number}")
    field = ("fractions", i, "water_content")
    return Input("w", read(fraction.water_content), "%", field)


def share_steps(case: Test, masses: Sequence[Line], unit: str) -> Iterator[Step]:
    """Yield the share of each fraction in the whole."""
    found = case.values.fractions
    if not masses or any(one.retained is None for one in found):
        return
    inputs = [
        Input(f"m_{i}", one.value, unit, line=one.anchor)
        for i, one in enumerate(masses, 1)
    ]
    whole = " + ".join(one.symbol for one in inputs)
    by_anchor = {line.anchor: i for i, line in enumerate(masses, 1)}
    lines = []
    for i, one in enumerate(found):
        place = by_anchor.get(f"dry-mass-{one.number}")
        if place is None or one.retained is None:
            continue
        own = inputs[place - 1]._replace(symbol="m_d")
        lines.append(
            Line(
                f"share-{one.number}",
                size_of(case, i),
                (own, *inputs),
                digits(one.retained),
                "%",
            )
        )
    symbols = (
        Symbol("m_d", "dry mass of the fraction", printed_unit(unit)),
        *(
            Symbol(one.symbol, f"{line.label[:1].lower()}{line.label[1:]}")
            for one, line in zip(inputs, masses, strict=True)
        ),
    )
    yield Step(
        "share",
        "Share in the whole, by dry mass",
        tuple(lines),
        "P",
        f"m_d / ({whole}) * 100",
        symbols,
        "A definition, used for the oversize by AASHTO T 224 and ASTM D4718",
    )


def retained_steps(case: Test) -> Iterator[Step]:
    """Yield the percent retained, and the water content of the oversize."""
    least = case.values.opening_mm
    kept = [
        one
        for one in case.values.fractions
        if is_oversize(one.opening_mm, least) and one.retained
    ]
    if "percent_retained" in case.results and kept:
        inputs = tuple(
            Input(
                f"P_{i}", digits(one.retained or 0.0), "%", line=f"share-{one.number}"
            )
            for i, one in enumerate(kept, 1)
        )
        yield Step(
            "step-percent_retained",
            f"Percent retained on {case.record.sieve}",
            (result_line(case, "percent_retained")._replace(inputs=inputs),),
            "P",
            " + ".join(one.symbol for one in inputs),
            notes=rounded_as(case, "percent_retained"),
            to=rounding_row(case, "percent_retained"),
        )
    name = "oversize_water_content"
    wet = [one for one in kept if one.water_content is not None]
    if name in case.results and wet:
        inputs = tuple(
            one
            for i, kept_on in enumerate(wet, 1)
            for one in (
                Input(
                    f"P_{i}",
                    digits(kept_on.retained or 0.0),
                    "%",
                    line=f"share-{kept_on.number}",
                ),
                fraction_water(case, kept_on.number - 1)._replace(symbol=f"a_{i}"),
            )
        )
        formula, symbols = mean_of_waters(len(wet)), shares(name)
        if len(wet) == 1:
            formula, symbols, inputs = "a_1", (), inputs[1:]
        source = SIZES if symbols else ""
        yield mean_result(case, name, inputs, formula, symbols, source)
