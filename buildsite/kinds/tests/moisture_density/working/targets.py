"""The working of the targets of field tests that a compaction report prints."""

from collections.abc import Iterator

from buildsite.kinds.bounds import PERCENT, UNROUNDED
from buildsite.kinds.criteria import Target
from buildsite.kinds.field_answers import RequirementFacts
from buildsite.kinds.reporting import point_density, printed_unit
from buildsite.kinds.steps import Input, Line, Step, Steps, Symbol
from buildsite.kinds.targets import bound_of, nominal_density
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.targets import targets, zone_text
from buildsite.kinds.tests.moisture_density.working.results import DENSITY
from buildsite.kinds.tests.shared.working import capital, words_of
from buildsite.kinds.working import density_line, digits, read
from buildsite.record.units import from_si


def target_steps(case: Test) -> Steps:
    """Return the nominal dry density of each zone with a percent compaction."""
    lines = tuple(target_lines(case)) if case.values.no_peak is None else ()
    if not lines:
        return Steps("targets", TITLE, ())
    words = words_of(case.method)
    step = Step(
        "nominal-density",
        f"Nominal {words['dry density']} at the least percent compaction",
        lines,
        "rho_n",
        "D * rho_max / 100",
        (
            Symbol("D", "least percent compaction of the zone", "%"),
            Symbol("rho_max", f"maximum {words['dry density']}, as reported"),
        ),
        "A definition, common to specifications",
        notes=("Field tests are judged on percent compaction, not on this density.",),
    )
    return Steps("targets", TITLE, (step,))


TITLE = "Targets of field tests"


def target_lines(case: Test) -> Iterator[Line]:
    """Yield the line of each zone."""
    for i, (asked, target) in enumerate(targets(case), 1):
        bound = bound_of(asked, PERCENT, "least")
        if bound is None:
            continue
        nominal = nominal_density(bound, target)
        unit = target.density_unit
        limit = Input("D", read(bound.limit), "%", to=("project", case.record.project))
        made = Line(
            f"nominal-density-{i}",
            capital(zone_text(asked)),
            (limit, maximum_input(asked, target)),
            "",
        )
        reported = f"{point_density(nominal, unit)} {printed_unit(unit)}"
        yield density_line(nominal, unit, made, reported=reported)


def maximum_input(asked: RequirementFacts, target: Target) -> Input:
    """Return the maximum: as reported, unless the requirement says unrounded."""
    lead = "corrected_" if target.from_.startswith("corrected") else ""
    value = target.maximum_dry_density
    if asked.reference_values == UNROUNDED:
        return Input("rho_max", digits(value), "kg/m3", line=f"{lead}{DENSITY}")
    unit = target.density_unit
    return Input("rho_max", digits(from_si(value, unit)), unit, line=f"{lead}{DENSITY}")
