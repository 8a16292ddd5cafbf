"""Every check of a water content."""

from collections.abc import Iterator

from buildsite.kinds.limits import HAIR, ORGANIC
from buildsite.kinds.sieves import by_size, opening_mm
from buildsite.kinds.tests.shared.completeness import is_complete, sample_of
from buildsite.kinds.tests.shared.containers import (
    THREE_MASSES,
    container_rules,
    disagree_rule,
    disagreement,
)
from buildsite.kinds.tests.shared.rules import columns, common_rules, oven
from buildsite.kinds.tests.shared.rules.waters import MOST_OF_SOIL, unusual_water
from buildsite.kinds.tests.water_content.model import CONTAINERS, Test
from buildsite.record.flags import Doubt, Rule, note, warning
from buildsite.record.units import from_si
from buildsite.soil.rounding import plain, round_half_even
from buildsite.standards.cells import Cell

DRY = "container_and_dry"


def for_size(case: Test, lead: str) -> Cell | None:
    """Return the method's cell for the largest particle, of those named `lead`…."""
    size, method = case.record.largest_particle, case.method
    return by_size(method, lead, size) if method and size else None


def missing_reading(case: Test) -> Iterator[Doubt]:
    """A container lacks one of its masses, or there is no container."""
    yield from columns.no_lines(case, "a line per container")
    yield from columns.gaps(case, CONTAINERS, THREE_MASSES)


def containers_disagree(case: Test) -> Iterator[Doubt]:
    """Containers of one soil that differ by over 10 % of their mean, or 1 point."""
    yield from disagreement(("containers",), case.values.waters)


@warning("moisture-specimen-too-small", "the method's minimum specimen mass")
def specimen_too_small(case: Test) -> Iterator[Doubt]:
    """A container has less wet soil than its largest particle requires."""
    cell, unit = for_size(case, "specimen_at_least"), case.record.units.moisture
    if cell is None or unit is None:
        return
    lines = CONTAINERS.lines(case.record)
    for line, found in zip(lines, case.values.containers, strict=True):
        if found.moist_soil is None or found.moist_soil >= cell.si * (1 - HAIR):
            continue
        shown = plain(round_half_even(from_si(found.moist_soil, unit), 2))
        yield Doubt(
            field=line.field,
            found=f"{shown} {unit} of wet soil passing {case.record.largest_particle}",
            expected=f"at least {cell}",
            mend="take more soil next time; the report states the small specimen",
            severity=line.severity,
            basis=cell.basis,
        )


@warning("unusual-water-content", "common practice")
def water_unusual(case: Test) -> Iterator[Doubt]:
    """A water content that soil other than organic does not have."""
    sample = sample_of(case)
    if sample is not None and sample.soil_class in ORGANIC:
        return
    words = (case.word("water_content"), "soil that is not organic")
    lines = CONTAINERS.lines(case.record)
    for line, found in zip(lines, case.values.containers, strict=True):
        if found.water_content is not None:
            yield from unusual_water(
                line.field, found.water_content, MOST_OF_SOIL, words, line.severity
            )


@note("largest-particle-missing", "common practice")
def largest_particle_missing(case: Test) -> Iterator[Doubt]:
    """A complete test does not state its largest particle size."""
    if is_complete(case) and case.record.largest_particle is None:
        expected = "the finest sieve that all of the soil passes"
        mend = "ask the technician; the minimum specimen mass depends on it"
        yield Doubt(("largest_particle",), "not stated", expected, mend)


@warning("unknown-sieve", "common practice")
def unknown_size(case: Test) -> Iterator[Doubt]:
    """A particle size is not a known sieve."""
    size = case.record.largest_particle
    if size is not None and opening_mm(size) is None:
        expected = "a sieve, such as No. 4, 3/4 in or 19 mm"
        mend = "enter it as marked on the sieve"
        yield Doubt(("largest_particle",), size, expected, mend)


RULES: tuple[Rule[Test], ...] = (
    *common_rules("water-content"),
    *columns.rules_of(
        [CONTAINERS],
        {"moisture": "the containers' masses"},
        missing=missing_reading,
        limit=lambda case: for_size(case, "specimen_read_to"),
    ),
    *container_rules(CONTAINERS.lines),
    *oven.rules_of(oven.all_weighed_again(CONTAINERS.lines, DRY), DRY),
    disagree_rule(containers_disagree),
    specimen_too_small,
    water_unusual,
    largest_particle_missing,
    unknown_size,
)
