"""
The uncertainty budget of a compaction test, by the GUM's law of propagation.

Computed only where required: by the record, or by the laboratory's procedures.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from buildsite.kinds.answers import UncertaintyFacts
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.links import asks_uncertainty
from buildsite.kinds.tests.moisture_density.repeats import (
    repeatability_cell,
    soil_class_of,
)
from buildsite.kinds.tests.moisture_density.uncertainty.inputs import (
    NORMAL,
    RECTANGULAR,
    Input,
    ModelInputs,
)
from buildsite.kinds.tests.moisture_density.uncertainty.model import (
    NoPeakWithin,
    model_of,
)
from buildsite.kinds.tests.shared.repeats import greatest_difference, other_soils
from buildsite.soil.uncertainty import (
    COVERAGE,
    combined,
    expanded,
    rectangular,
    sensitivities,
)
from buildsite.values import dataclass

RESULTS = ("maximum_dry_density", "optimum_water_content")
UNITS = ("kg/m3", "%")

TWO_RESULTS = 2.8
"""Repeatability limit over one standard deviation: ASTM E177, d2s (from memory)."""

Pair = tuple[float, float]
"""Maximum dry density [kg/m³] and optimum [%]."""


@dataclass(frozen=True)
class Component:
    """
    One line of the budget.

    `repeats`: it changes from one repeat test to the next, so that the standard
    deviation of repeat tests contains it. `is_repeatability`: the line of that
    deviation itself.
    """

    quantity: str
    value: float | None
    unit: str
    count: int
    standard: tuple[float, float]
    distribution: str
    sensitivity: Pair
    contribution: Pair
    source: str
    repeats: bool = False
    is_repeatability: bool = False


@dataclass(frozen=True)
class Budget:
    """The components of a budget, and those that are missing."""

    values: Pair
    components: tuple[Component, ...]
    missing: tuple[str, ...]

    def counts(self, one: Component, which: int) -> bool:
        """
        Return whether a line counts in one result.

        What changes from one repeat test to the next is contained in their standard
        deviation: of the two, the larger counts.
        """
        if not one.repeats and not one.is_repeatability:
            return True
        readings = combined(c.contribution[which] for c in self.components if c.repeats)
        whole = combined(
            c.contribution[which] for c in self.components if c.is_repeatability
        )
        return one.is_repeatability == (whole >= readings)

    @property
    def standard(self) -> Pair:
        """Return the combined standard uncertainties. [kg/m³, %]"""
        density, water = (
            combined(
                one.contribution[which]
                for one in self.components
                if self.counts(one, which)
            )
            for which in (0, 1)
        )
        return density, water

    @property
    def expanded(self) -> Pair:
        """Return the expanded uncertainties, with coverage factor 2. [kg/m³, %]"""
        density, water = self.standard
        return expanded(density), expanded(water)


def uncertainty_facts(case: Test) -> UncertaintyFacts | None:
    """Return the laboratory's facts, where a test is to state its uncertainty."""
    record = case.record
    if not asks_uncertainty(record, case.inputs):
        return None
    facts = case.inputs.get(UncertaintyFacts, "lab", record.compacted.on)
    # A record alone has no laboratory to ask.
    return facts or UncertaintyFacts(asked=True, repeatability=None)


def budget(case: Test) -> Budget | str | None:
    """Return the budget, computed once a case; None if not required; or why none."""
    kept = vars(case)
    if "budget" not in kept:
        kept["budget"] = computed_budget(case)
    found: Budget | str | None = kept["budget"]
    return found


def computed_budget(case: Test) -> Budget | str | None:
    """Compute the budget."""
    facts, values = uncertainty_facts(case), case.values
    if facts is None:
        return None
    density, optimum = values.maximum_dry_density, values.optimum_water_content
    if density is None or optimum is None:
        return "There is no result to state an uncertainty for."
    try:
        components = list(reading_components(case))
    except NoPeakWithin as lost:
        return f"No budget: when a reading changes by its uncertainty, {lost}."
    missing = []
    curve = curve_component(case, (density, optimum))
    if curve is not None:
        components.append(curve)
    else:
        missing.append("the choice of curve, as no second curve type fits")
    repeats = repeatability_component(case, facts, (density, optimum))
    if repeats is not None:
        components.append(repeats)
    else:
        missing.append(
            "the repeatability of compaction and splitting, as neither the standard "
            "nor the laboratory states one"
        )
    return Budget((density, optimum), tuple(components), tuple(missing))


def reading_components(case: Test) -> Iterator[Component]:
    """Yield the components of the readings, through the test's own computation."""
    readings = ModelInputs(case)
    model = model_of(readings)
    inputs = readings.inputs
    slopes = sensitivities(model, [one.quantity for one in inputs])
    groups: dict[str, list[int]] = {}
    for i, one in enumerate(inputs):
        groups.setdefault(one.group, []).append(i)
    for members in groups.values():
        some = [inputs[i] for i in members]
        made = group_component(some, [slopes[i] for i in members])
        if any(made.contribution):  # the specific gravity affects few curve types
            yield made


def group_component(
    inputs: Sequence[Input], slopes: Sequence[Sequence[float]]
) -> Component:
    """Return one line for independent inputs of one group."""
    most = max(one.quantity.standard for one in inputs)
    shares = [
        [abs(slope) * one.quantity.standard for slope in moved]
        for one, moved in zip(inputs, slopes, strict=True)
    ]
    density, water = (combined(column) for column in zip(*shares, strict=True))
    first = inputs[0]
    return Component(
        quantity=first.group,
        value=first.quantity.value if len(inputs) == 1 else None,
        unit=first.unit,
        count=len(inputs),
        standard=(most, most),
        distribution=first.distribution,
        sensitivity=(density / most, water / most) if most else (0.0, 0.0),
        contribution=(density, water),
        source=first.source,
        repeats=first.repeats,
    )


def result_component(
    quantity: str,
    standard: Pair,
    distribution: str,
    source: str,
    *,
    is_repeatability: bool = False,
) -> Component:
    """Return a component that is an uncertainty of the results themselves."""
    return Component(
        quantity,
        None,
        "",
        1,
        standard,
        distribution,
        (1.0, 1.0),
        standard,
        source,
        is_repeatability=is_repeatability,
    )


def curve_component(case: Test, peak: Pair) -> Component | None:
    """Return the component of the choice of curve, a drawn peak included."""
    found = case.values.spread
    if found is None or found.count < 2:
        return None
    peaks = [(density, water) for water, density in found.peaks.values()]
    halves = []
    for values, own in zip(zip(*peaks, strict=True), peak, strict=True):
        halves.append((max(*values, own) - min(*values, own)) / 2)
    density, water = map(rectangular, halves)
    source = f"peaks by {found.count} curve types: half of their range"
    return result_component("Choice of curve", (density, water), RECTANGULAR, source)


def repeatability_component(
    case: Test, facts: UncertaintyFacts, peak: Pair
) -> Component | None:
    """Return the repeatability: the laboratory's own, else the method's."""
    name, own = "Compaction and splitting", facts.repeatability
    if own is not None:
        repeats = f", {own.repeats} repeats" if own.repeats is not None else ""
        source = f"standard deviation of the laboratory's own repeat tests{repeats}"
        return result_component(
            name,
            (own.dry_density, own.water_content),
            NORMAL,
            source,
            is_repeatability=True,
        )
    if case.method is None:
        return None
    cells = [
        repeatability_cell(case.method, soil_class_of(case), result)
        for result in RESULTS
    ]
    known = [cell for cell in cells if cell is not None]
    if len(known) < len(RESULTS):
        return None
    density, water = (
        greatest_difference(cell, value) / TWO_RESULTS
        for cell, value in zip(known, peak, strict=True)
    )
    soils = other_soils(known[0], soil_class_of(case))
    source = f"{known[0].basis}: repeatability limit ÷ 2.8{soils}"
    return result_component(
        name, (density, water), NORMAL, source, is_repeatability=True
    )


def as_json(case: Test) -> Mapping[str, Any]:
    """Return the expanded uncertainties for `show --json`; empty if not required."""
    made = budget(case)
    if not isinstance(made, Budget):
        return {}
    values = {
        name: {
            "expanded": value,
            "k": COVERAGE,
            "unit": unit,
            "complete": not made.missing,
        }
        for name, unit, value in zip(RESULTS, UNITS, made.expanded, strict=True)
    }
    return {"uncertainty": values}
