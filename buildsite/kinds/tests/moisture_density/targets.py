"""What field tests must reach by this test: on its report, and in its result."""

from collections.abc import Iterator, Mapping
from typing import Any

from buildsite.kinds.answers import ProjectFacts
from buildsite.kinds.bounds import not_stated
from buildsite.kinds.criteria import Target, target_from
from buildsite.kinds.field_answers import RequirementFacts, RequirementsToServe
from buildsite.kinds.reporting import result_word
from buildsite.kinds.sheet import Note
from buildsite.kinds.targets import Words, target_text
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.reference import reference_of

TITLE = "Targets of field tests"
CORRECTED = "corrected_maximum_dry_density"


def asked_of(case: Test) -> RequirementsToServe | None:
    """Return what the project requires, if anything."""
    return case.inputs.get(RequirementsToServe, case.record.project)


def targets(case: Test) -> Iterator[tuple[RequirementFacts, Target]]:
    """Yield each requirement that the test serves, with its target."""
    asked, facts = asked_of(case), reference_of(case)
    if asked is None or facts is None:
        return
    project = case.inputs.get(ProjectFacts, case.record.project)
    against = (project.field_tests_against if project is not None else None) or ""
    for one in asked.requirements:
        target = target_from(facts, one, against)
        if target is not None:
            yield one, target


def words_of(case: Test) -> Words:
    """Return the terms of the test's standard."""
    unit = case.values.density_unit
    return Words(
        result_word(case.method, "dry_density", unit),
        result_word(case.method, "water_content", "%"),
    )


def zone_text(requirement: RequirementFacts) -> str:
    """
    Return the zone with the clause of the specification.

    >>> from tests.kinds.test_criteria import asks
    >>> zone_text(asks(zone="embankment", clause="203.3"))
    'embankment, clause 203.3'
    """
    clause = f", clause {requirement.clause}" if requirement.clause else ""
    return f"{requirement.zone}{clause}"


def which_result(case: Test, target: Target) -> str:
    """Return which of two results a target is of; blank where there is one."""
    if CORRECTED not in case.results:
        return ""
    which = "corrected" if target.from_.startswith("corrected") else "uncorrected"
    return f"; from the {which} result"


def target_note(case: Test) -> Note | None:
    """Return the targets, a paragraph a zone; None where nothing is required."""
    asked = asked_of(case)
    if asked is None or case.values.no_peak is not None:
        return None
    words = words_of(case)
    lines = [
        f"{zone_text(one)}: {target_text(one, target, words)}"
        f"{which_result(case, target)}."
        for one, target in targets(case)
    ]
    if any(not_stated(one) for one in asked.requirements):
        lines[-1] += f" {NOT_STATED}"
    unserved = "; ".join((*asked.others, *asked.beside))
    if unserved:
        none = "" if asked.requirements else "None. "
        lines.append(f"{none}This test can't serve {unserved}.")
    return Note("targets", TITLE, tuple(lines), role="target")


NOT_STATED = "(Comparison not stated: rounded, ASTM E29.)"


def told(case: Test) -> Mapping[str, Any]:
    """Return the part of a result with the targets; none where nothing is served."""
    words = words_of(case)
    found = [
        {
            "zone": one.zone,
            "clause": one.clause,
            "target": target_text(one, target, words),
        }
        for one, target in targets(case)
    ]
    return {"targets": found} if found else {}
