"""Whether another peak matters: beside the precision, and for targets of the fill."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import partial
from typing import Any

from buildsite.kinds.answers import ProjectFacts, UncertaintyFacts
from buildsite.kinds.bounds import PERCENT, WATER
from buildsite.kinds.criteria import Target, target_from
from buildsite.kinds.field_answers import ReferenceFacts, RequirementFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.reporting import point_density, printed_unit, result_word
from buildsite.kinds.significance import (
    MovedTarget,
    Precision,
    Significance,
    Uncertainty,
)
from buildsite.kinds.targets import Window, bound_of, nominal_density, window
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.reference import (
    PEAK,
    answer_from_result,
)
from buildsite.kinds.tests.moisture_density.repeats import (
    DENSITY,
    difference_text,
    repeatability_cell,
    soil_class_of,
)
from buildsite.kinds.tests.moisture_density.targets import (
    asked_of,
    words_of,
    zone_text,
)
from buildsite.kinds.tests.moisture_density.uncertainty.budget import TWO_RESULTS
from buildsite.kinds.tests.shared.repeats import (
    Pair,
    greatest_difference,
    other_soils,
    told_apart,
)
from buildsite.record.units import UNITS, to_si
from buildsite.soil.rounding import plain
from buildsite.standards.cells import short_basis

OWN = "repeat tests of the laboratory: 2.8 × their standard deviation"

Kept = Mapping[str, Any]


def reported_of(result: Kept, name: str) -> float | None:
    """
    Return a result of a test as it is reported, in SI.

    A reader holds what two reports state against each other, not what they rounded.
    """
    one = result.get("results", {}).get(name)
    if one is None:
        return None
    number, _, unit_name = str(one["reported"]).partition(" ")
    return to_si(Decimal(number), unit_name) if unit_name in UNITS else float(number)


def limit_of(case: Test, name: str, mean: float) -> tuple[float, str] | None:
    """
    Return by how much two results of one operator may differ, and where that is from.

    The laboratory's own repeat tests, where it has them; else what the method states.
    """
    facts = next(
        (
            one
            for one in case.inputs.answers.values()
            if isinstance(one, UncertaintyFacts) and one.repeatability is not None
        ),
        None,
    )
    if facts is not None and facts.repeatability is not None:
        own = facts.repeatability
        deviation = own.dry_density if name == DENSITY else own.water_content
        return TWO_RESULTS * deviation, OWN
    soil = soil_class_of(case)
    cell = repeatability_cell(case.method, soil, name) if case.method else None
    if cell is None:
        return None
    basis = f"{short_basis(cell.basis)}{other_soils(cell, soil)}"
    return greatest_difference(cell, mean), basis


POINTS = "points"

TOLERANCE = 1e-9
"""Of a float: a difference as large as its limit is within it."""


def precision(old: Kept, new: Kept, case: Test) -> Iterator[Precision]:
    """Yield each part of the peak that changed, beside its repeatability."""
    for name, pair in changed_peak(old, new, case):
        found = limit_of(case, name, (pair.one + pair.other) / 2)
        if found is None:
            continue
        limit, basis = found
        apart = abs(pair.other - pair.one)
        texts = told_apart(pair, apart, limit, 2)
        within = apart <= limit * (1 + TOLERANCE)
        yield Precision(name, pair.label, *texts, basis, within)


def changed_peak(old: Kept, new: Kept, case: Test) -> Iterator[tuple[str, Pair]]:
    """Yield each part of the peak that is reported otherwise, with both figures."""
    for name in PEAK:
        one, other = reported_of(old, name), reported_of(new, name)
        if one is not None and other is not None and one != other:
            label = result_word(case.method, name, case.values.density_unit)
            text = partial(difference_text, case, name)
            yield name, Pair(label, one, other, None, text)


def uncertainties(old: Kept, new: Kept, case: Test) -> Iterator[Uncertainty]:
    """Yield each part of the peak that changed, beside its expanded uncertainty."""
    stated = new.get("uncertainty") or old.get("uncertainty")
    if not stated:
        return
    from buildsite.kinds.tests.moisture_density.uncertainty.report import expanded_text

    shown = case.values.density_unit
    for name, pair in changed_peak(old, new, case):
        if name not in stated:
            continue
        apart = abs(pair.other - pair.one)
        value, complete = stated[name]["expanded"], stated[name].get("complete", True)
        text = expanded_text(case.method, name, value, shown)
        within = apart <= stated_size(text, shown) * (1 + TOLERANCE)
        difference = pair.difference_text(apart, 0)
        yield Uncertainty(name, pair.label, difference, text, within, complete)


def stated_size(text: str, density_unit: str) -> float:
    """
    Return an expanded uncertainty as stated, in SI.

    >>> stated_size("0.8 points", "lb/ft3"), stated_size("17 kg/m³", "kg/m3")
    (0.8, 17.0)
    """
    number, _, shown = text.partition(" ")
    return float(number) if shown == POINTS else to_si(Decimal(number), density_unit)


def facts_of(result: Kept, case: Test) -> ReferenceFacts | None:
    """Return what field tests were told by a result as kept."""
    return answer_from_result(result, Ref(ReferenceFacts, (), str(case.record.id), ()))


def moved_targets(old: Kept, new: Kept, case: Test) -> Iterator[MovedTarget]:
    """Yield the targets of each zone by both results, under one requirement."""
    asked = asked_of(case)
    facts = [facts_of(one, case) for one in (old, new)]
    if asked is None or facts[0] is None or facts[1] is None:
        return
    project = case.inputs.get(ProjectFacts, case.record.project)
    against = (project.field_tests_against if project is not None else None) or ""
    for one in asked.requirements:
        pair = [target_from(fact, one, against) for fact in facts if fact is not None]
        if pair[0] is not None and pair[1] is not None:
            yield from of_zone(one, pair[0], pair[1], case)


def of_zone(
    requirement: RequirementFacts, old: Target, new: Target, case: Test
) -> Iterator[MovedTarget]:
    """Yield the density and the water contents that a zone asks for, by both."""
    words, zone = words_of(case), zone_text(requirement)
    bound = bound_of(requirement, PERCENT, "least")
    if bound is not None:
        before, after = (
            f"{point_density(nominal_density(bound, one), one.density_unit)} "
            f"{printed_unit(one.density_unit)}"
            for one in (old, new)
        )
        judged = f"nominal, {plain(bound.limit)} % of the maximum"
        yield MovedTarget(zone, words.dry_density, before, after, judged)
    if bound_of(requirement, WATER, "least") is not None:
        windows = [window(requirement, one) for one in (old, new)]
        if windows[0] is not None and windows[1] is not None:
            yield MovedTarget(zone, words.water_content, *map(between, windows))


def between(found: Window | None) -> str:
    """
    Return the water contents that pass.

    >>> from decimal import Decimal
    >>> between(Window(Decimal("13.3"), Decimal("17.3")))
    '13.3 to 17.3 %'
    """
    if found is None:
        return ""
    return f"{plain(found.least)} to {plain(found.most)} %"


def significance(old: Kept, new: Kept, case: Test) -> Significance:
    """
    Return what the difference of two results of a test is held against.

    `case` gives the method, the soil and the requirements: those of the later one.
    """
    found = tuple(precision(old, new, case))
    words = ""
    if not found and any(reported_of(old, n) != reported_of(new, n) for n in PEAK):
        standard = case.method.designation if case.method else "The method"
        words = f"{standard} states no repeatability"
    targets = tuple(moved_targets(old, new, case))
    return Significance(found, targets, words, tuple(uncertainties(old, new, case)))
