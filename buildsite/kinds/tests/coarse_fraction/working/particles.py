"""The working of coarse particles: each specimen, each size, the oversize."""

from collections.abc import Iterator, Sequence

from buildsite.kinds.reporting import printed_unit, result_label
from buildsite.kinds.steps import Input, Line, Step
from buildsite.kinds.tests.coarse_fraction.compute import Test
from buildsite.kinds.tests.coarse_fraction.particles import ParticleValues, SizeValues
from buildsite.kinds.tests.coarse_fraction.working.results import (
    ALIKE,
    SIZES,
    mean_result,
    shares,
    symbol_of,
)
from buildsite.kinds.tests.shared.working import (
    capital,
)
from buildsite.kinds.working import digits, in_words, read, step_of
from buildsite.soil.formulas import (
    PARTICLES,
    mean,
    mean_of_alike,
    mean_of_gravities,
    mean_of_waters,
)

GRAVITIES = (
    ("bulk_specific_gravity", "bulk"),
    ("ssd_bulk_specific_gravity", "surface_dry"),
    ("apparent_specific_gravity", "apparent"),
    ("absorption", "absorption"),
)
"""Each result of the particles, and its name among their values."""


def particle_steps(case: Test) -> Iterator[Step]:
    """Yield the specific gravities and the absorption of every specimen."""
    unit = case.record.units.gravity or ""
    shown = printed_unit(unit)
    for formula, (result, name) in zip(PARTICLES, GRAVITIES, strict=True):
        lines = [
            Line(
                f"{name}-{one.number}",
                specimen_label(case, one),
                specimen_inputs(case, one, unit),
                digits(getattr(one.found, name)),
                "%" if name == "absorption" else "",
            )
            for one in case.values.particles
            if one.found is not None
        ]
        if lines:
            units = dict.fromkeys(("A", "B", "C"), shown)
            title = capital(in_words(result.replace("_", " "), {"ssd": "SSD"}))
            yield step_of(formula, f"each-{name}", title, lines, units)


def specimen_label(case: Test, one: ParticleValues) -> str:
    """Return the label of a specimen."""
    size = case.record.specimens[one.number - 1].retained_on
    parts = (f"Specimen {one.number}", size or "", "rejected" * one.rejected)
    return ", ".join(filter(None, parts))


def specimen_inputs(case: Test, one: ParticleValues, unit: str) -> tuple[Input, ...]:
    """Return the three masses of a specimen."""
    i = one.number - 1
    read_at, field = case.record.specimens[i], ("specimens", i)
    dry = read_at.oven_dry[-1] if read_at.oven_dry else None
    return (
        Input("A", read(dry), unit, (*field, "oven_dry")),
        Input("B", read(read_at.surface_dry), unit, (*field, "surface_dry")),
        Input("C", read(read_at.in_water), unit, (*field, "in_water")),
    )


def specimen_values(
    specimens: Sequence[ParticleValues], symbol: str, name: str, unit: str
) -> tuple[Input, ...]:
    """Return a value of each specimen, from its line."""
    several = len(specimens) > 1
    return tuple(
        Input(
            f"{symbol}_{i}" if several else symbol,
            digits(getattr(one.found, name)),
            unit,
            line=f"{name}-{one.number}",
        )
        for i, one in enumerate(specimens, 1)
    )


def mean_steps(case: Test) -> Iterator[Step]:
    """Yield the results of the particles: means over the sizes of the oversize."""
    for result, name in GRAVITIES:
        if result in case.results:
            yield from mean_by_sizes(case, result, name)


def mean_by_sizes(case: Test, result: str, name: str) -> Iterator[Step]:
    """Yield the mean of the specimens of each size, then of the sizes by shares."""
    sizes, unit = case.values.sizes, case.results[result].unit
    symbol = symbol_of(result)
    alike = (lambda count: mean("a", count)) if symbol == "a" else mean_of_alike
    if len(sizes) == 1:
        (only,) = sizes
        inputs = specimen_values(only.specimens, symbol, name, unit)
        several = len(inputs) > 1
        formula = alike(len(inputs)) if several else symbol
        source = ALIKE if several else ""
        yield mean_result(case, result, inputs, formula, source=source)
        return
    title = result_label(case.method, result, unit)
    terms: list[Input] = []
    for i, size in enumerate(sizes, 1):
        values = specimen_values(size.specimens, symbol, name, unit)
        value = values[0]
        if len(values) > 1:
            text = digits(getattr(size.mean, name))
            line = Line(f"{name}-size-{i}", size_label(case, size), values, text, unit)
            formula = alike(len(values))
            yield Step(
                f"step-{line.anchor}",
                f"{title}, mean of specimens",
                (line,),
                symbol,
                formula,
                source=ALIKE,
            )
            value = Input(symbol, text, unit, line=line.anchor)
        own = value._replace(symbol=f"{symbol}_{i}")
        terms.extend((share_input(case, size, i), own))
    how = mean_of_waters if symbol == "a" else mean_of_gravities
    formula = how(len(sizes))
    yield mean_result(case, result, tuple(terms), formula, shares(result), SIZES)


def size_label(case: Test, size: SizeValues) -> str:
    """Return the label of a size."""
    first = size.specimens[0]
    retained = case.record.specimens[first.number - 1].retained_on
    return f"Retained on {retained}"


def share_input(case: Test, size: SizeValues, i: int) -> Input:
    """Return the share of a size."""
    own = next(
        fraction.number
        for fraction in case.values.fractions
        if fraction.opening_mm == size.specimens[0].opening_mm
    )
    return Input(f"P_{i}", digits(size.share), "%", line=f"share-{own}")
