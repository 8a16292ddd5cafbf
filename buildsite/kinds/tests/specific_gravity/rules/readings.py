"""Checks of the readings: missing ones, units, two forms, steps of a column."""

from collections.abc import Iterator

from buildsite.kinds.tests.shared.empty_containers import empty_container_rules
from buildsite.kinds.tests.shared.rules import columns
from buildsite.kinds.tests.specific_gravity.compute import (
    Test,
    pycnometer_id,
    soil_mass,
)
from buildsite.kinds.tests.specific_gravity.model import DETERMINATIONS, Determination
from buildsite.record.flags import Doubt, Rule, error, note
from buildsite.standards.cells import Cell


@error("no-determinations", "common practice")
def no_determinations(case: Test) -> Iterator[Doubt]:
    """A specific gravity test has no determination."""
    yield from columns.no_lines(case, "one determination per pycnometer")


def missing_of(case: Test, one: Determination) -> list[str]:
    """Return the readings of a determination that its result needs."""
    if one.specific_gravity is not None:
        return []
    missing = []
    named = pycnometer_id(case.record, one) is not None
    own = one.pycnometer_mass is not None and one.pycnometer_and_water is not None
    if not named and not own:
        missing.append("pycnometer, or its masses empty and full of water")
    if soil_mass(one) is None:
        missing.append("dry soil, or the container's masses")
    if one.pycnometer_soil_and_water is None:
        missing.append("mass of pycnometer, soil and water")
    if one.temperature_c is None:
        missing.append("water temperature")
    return missing


def missing_reading(case: Test) -> Iterator[Doubt]:
    """A determination lacks a reading needed for its specific gravity."""
    for line in DETERMINATIONS.lines(case.record):
        missing = missing_of(case, line.part)
        if missing and not line.rejected:
            found = f"no {'; no '.join(missing)}"
            yield columns.gap(case, line, found, "all readings of the determination")


def finest(case: Test) -> Cell | None:
    """Return the resolution required of every mass, whatever its unit."""
    return case.method.optional("resolution_mass_g") if case.method else None


@error("two-forms-of-one-value", "record format 1")
def two_forms(case: Test) -> Iterator[Doubt]:
    """A determination states its soil, or its result, in two ways."""
    for line in DETERMINATIONS.lines(case.record):
        one = line.part
        soil = one.dry_soil is not None
        held = one.container_and_dry is not None
        taken = one.specific_gravity is not None
        weighed = one.pycnometer_soil_and_water is not None
        for both, words in (
            (soil and held, "dry_soil and container masses"),
            (taken and weighed, "specific_gravity and masses"),
        ):
            if both:
                yield columns.given_twice(line, words)


@note("values-transcribed", "ISO/IEC 17025:2017, 7.5.1")
def values_transcribed(case: Test) -> Iterator[Doubt]:
    """Values transcribed from a report, not observed."""
    numbers = [one.number for one in case.values.determinations if one.transcribed]
    if numbers:
        found = f"specific_gravity of {', '.join(map(str, numbers))}"
        yield columns.taken_over(("determinations", numbers[0] - 1), found)


RULES: tuple[Rule[Test], ...] = (
    no_determinations,
    *columns.rules_of(
        [DETERMINATIONS],
        {"mass": "the balance"},
        missing=missing_reading,
        limit=finest,
    ),
    *empty_container_rules(DETERMINATIONS.lines, "mass"),
    two_forms,
    values_transcribed,
)
