"""Results for the whole soil, corrected for oversize by the method's rule."""

from typing import Any

from buildsite.kinds.answers import OversizeFact, ProjectFacts
from buildsite.kinds.bounds import TO_FIELD, oversize_rule
from buildsite.kinds.field_answers import RequirementsToServe
from buildsite.kinds.kind import Case
from buildsite.kinds.limits import above
from buildsite.kinds.sieves import same_sieve
from buildsite.soil import oversize
from buildsite.standards.method import Method
from buildsite.values import dataclass


@dataclass(frozen=True)
class Corrected:
    """Results for the whole soil, corrected for oversize, and what was put in."""

    maximum_dry_density: float  # [kg/m³]
    optimum_water_content: float  # [%]
    assumed: tuple[str, ...]  # oversize values that were not measured
    bulk: float  # bulk specific gravity, as stated or fixed [1]
    absorption: float | None  # by which that was brought to oven-dry [%]
    oven_dry_bulk: float  # [1]
    oversize_water: float  # [%]


TAKEN_DRY = "gravel taken dry"
"""Correction of a method by which the oversize brings no water."""

ASSUMED_OVERSIZE_WATER = 2.0
"""Water content of oversize where not measured [%]: the figure of North Dakota's
edition of AASHTO T 224 (2011). The report states the assumption."""


def correct(
    density: float | None,
    optimum: float | None,
    coarse: OversizeFact | None,
    method: Method | None,
    least: float | None,
) -> Corrected | None:
    """Correct for oversize, where there is enough of it and not too much."""
    if density is None or optimum is None or coarse is None or method is None:
        return None
    percent = float(coarse.percent_retained)
    if percent <= (least if least is not None else method.oversize_least_percent):
        return None
    known = bulk_of(coarse, method)
    if known is None or above(percent, method.cell("oversize_limit"), method):
        return None
    if too_absorbent(coarse, method):
        return None
    # Oversize of another sieve is not the fraction excluded from the mold.
    if coarse.sieve and not same_sieve(coarse.sieve, method.oversize_sieve):
        return None
    water, assumed = oversize_water(coarse, method)
    bulk, taken = known
    assumed, dry, absorption = (*taken, *assumed), bulk, None
    if coarse.bulk_basis == "SSD":
        absorption, guessed = absorption_of(coarse, method)
        assumed = (*assumed, *guessed)
        dry = oversize.oven_dry_bulk(bulk, absorption)
    return Corrected(
        oversize.total_dry_density(density, percent, dry),
        oversize.total_water_content(optimum, percent, water),
        assumed,
        bulk,
        absorption,
        dry,
        water,
    )


def bulk_of(
    coarse: OversizeFact, method: Method
) -> tuple[float, tuple[str, ...]] | None:
    """Return the bulk specific gravity of the oversize, and what was assumed."""
    if coarse.bulk_specific_gravity is not None:
        return float(coarse.bulk_specific_gravity), ()
    fixed = method.oversize_specific_gravity
    return None if fixed is None else (fixed, (f"bulk specific gravity {fixed:.2f}",))


def too_absorbent(coarse: OversizeFact, method: Method) -> bool:
    """Return whether the absorption exceeds the method's limit for a correction."""
    cell = method.optional("oversize_absorption")
    if cell is None or coarse.absorption is None:
        return False
    return above(float(coarse.absorption), cell, method)


def absorption_of(
    coarse: OversizeFact, method: Method
) -> tuple[float, tuple[str, ...]]:
    """
    Return the absorption of the oversize [%], and what was assumed.

    Where none is stated, the water content is used: coarse particles from a moist soil
    hold about what they absorb.
    """
    if coarse.absorption is not None:
        return float(coarse.absorption), ()
    if coarse.water_content is not None:
        water, word = coarse.water_content, method.word("water_content")
        return float(water), (f"absorption {water} %, its {word}",)
    return ASSUMED_OVERSIZE_WATER, (f"absorption {ASSUMED_OVERSIZE_WATER} %",)


def oversize_water(
    coarse: OversizeFact, method: Method
) -> tuple[float, tuple[str, ...]]:
    """Return the water content of the oversize [%], and what was assumed."""
    if coarse.water_content is not None:
        return float(coarse.water_content), ()
    if method.oversize_correction == TAKEN_DRY:
        return 0.0, ()
    fixed = method.oversize_water_content_percent
    water = ASSUMED_OVERSIZE_WATER if fixed is None else fixed
    return water, (f"{method.word('water_content')} {water} %",)


CORRECTED, UNCORRECTED = "corrected", "uncorrected"


def field_reference(case: Case[Any, Any]) -> str:
    """
    Return the reference for field tests: the project's choice, else corrected.

    The requirements that the test serves decide, where they agree.
    """
    asked = case.inputs.get(RequirementsToServe, str(case.record.project))
    project = case.inputs.get(ProjectFacts, str(case.record.project))
    chosen = (project.field_tests_against if project is not None else None) or ""
    served = asked.requirements if asked is not None else ()
    rules = {oversize_rule(one, chosen) for one in served}
    if len(rules) == 1:
        return CORRECTED if rules == {TO_FIELD} else UNCORRECTED
    return chosen or CORRECTED
