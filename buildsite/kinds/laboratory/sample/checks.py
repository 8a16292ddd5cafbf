"""Checks of a sample."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from buildsite.kinds import oversize_checks
from buildsite.kinds.answers import CUSTOMER, LaboratoryFacts
from buildsite.kinds.fractions import BASIS, FLAG, fraction_doubt, like_a_fraction
from buildsite.kinds.kind import Case
from buildsite.kinds.shared_rules import (
    UNKNOWN_CODE_EXPECTED,
    UNKNOWN_CODE_MEND,
    Dated,
    dates_rule,
    order_doubts,
    unknown_code_rule,
)
from buildsite.kinds.sieves import GRADATION
from buildsite.record.flags import Doubt, Rule, warning
from buildsite.standards.soils import soil_class


@warning("unknown-soil-class", "ASTM D2487")
def unknown_soil_class(case: Case[Any, None]) -> Iterator[Doubt]:
    """The soil class is not in the Unified Soil Classification System."""
    soil = case.record.soil
    if soil is not None and soil.class_ and soil_class(soil.class_) is None:
        yield Doubt(
            field=("soil", "class"),
            found=soil.class_,
            expected="a group symbol such as CL, SM or SP-SM",
            mend="enter the symbol in capitals, two joined by a hyphen",
        )


@warning("gradation-out-of-order", "conservation of mass")
def gradation_out_of_order(case: Case[Any, None]) -> Iterator[Doubt]:
    """The percent retained on a coarser sieve is greater than on a finer one."""
    graded = case.record.gradation
    stated = [(name, getattr(graded, name, None)) for name in GRADATION]
    known = [(name, value) for name, value in stated if value is not None]
    for (coarse, more), (fine, less) in pairwise(known):
        if more > less:
            yield Doubt(
                field=("gradation", fine),
                found=f"{less} %",
                expected=f"at least {more} %, as for {coarse}",
                mend="enter cumulative percents retained, which increase with each "
                "finer sieve",
            )


LEAST_GRAVEL = 1.0
"""Gravel of a soil called gravelly: ASTM D2487 (not yet checked) has 15 % in a name and
about 25 % in a class, and names in use are looser; a fraction is below 1. [%]"""


@warning("gradation-unlike-soil", "ASTM D2487, unchecked: with gravel is 15 % or more")
def gradation_unlike_soil(case: Case[Any, None]) -> Iterator[Doubt]:
    """A gravelly soil without gravel: a fraction for a percent, or another sample's."""
    soil, graded = case.record.soil, case.record.gradation
    retained = graded.retained_no_4 if graded is not None else None
    if soil is None or retained is None or float(retained) >= LEAST_GRAVEL:
        return
    name, symbol = soil.name or "", soil.class_ or ""
    if "gravel" in name.casefold() or symbol.startswith("G"):
        yield Doubt(
            field=("gradation", "retained_no_4"),
            found=f"{retained} %, of {name or symbol}",
            expected=f"{LEAST_GRAVEL:g} % or more: gravel is what No. 4 retains",
            mend="enter percents (13.1), not fractions (0.131); check the name and the "
            "class of the soil",
        )


@warning("oversize-unlike-gradation", "common practice")
def oversize_unlike_gradation(case: Case[Any, None]) -> Iterator[Doubt]:
    """An oversize unlike the sample's gradation on the same sieve."""
    sample = case.record
    if sample.oversize is not None:
        yield from oversize_checks.unlike_gradation(
            sample.oversize,
            sample.oversize.sieve or "",
            sample.gradation,
            ("oversize", "percent_retained"),
        )


@warning("oversize-like-a-fraction", "common practice")
def oversize_like_a_fraction(case: Case[Any, None]) -> Iterator[Doubt]:
    """An oversize below 1 % that no gradation supports: percent or fraction."""
    sample = case.record
    if sample.oversize is not None:
        yield from oversize_checks.like_a_fraction(
            sample.oversize,
            sample.oversize.sieve or "",
            sample.gradation,
            ("oversize", "percent_retained"),
        )


@warning("unusual-bulk-specific-gravity", "common practice")
def bulk_gravity_unusual(case: Case[Any, None]) -> Iterator[Doubt]:
    """The bulk specific gravity of the oversize is outside that of common rock."""
    stated, field = case.record.oversize, ("oversize", "bulk_specific_gravity")
    if stated is not None:
        yield from oversize_checks.unusual_bulk_gravity(stated, field)


@warning("oversize-too-wet", "common practice")
def oversize_too_wet(case: Case[Any, None]) -> Iterator[Doubt]:
    """The oversize has a water content that coarse particles can't hold."""
    stated = case.record.oversize
    if stated is not None:
        field = ("oversize", "water_content")
        yield from oversize_checks.too_wet(stated, "water content", field)


@warning(FLAG, BASIS)
def received_like_a_fraction(case: Case[Any, None]) -> Iterator[Doubt]:
    """A water content below 1 %, to several decimals: percent typed as a fraction."""
    typed = case.record.as_received_water_content
    if typed is not None and like_a_fraction(typed):
        yield fraction_doubt(("as_received_water_content",), typed)


def unknown_people(case: Case[Any, None]) -> Iterator[Doubt]:
    """A staff code is not in lab.yaml."""
    lab = case.inputs.get(LaboratoryFacts, "lab")
    for name in ("received", "sampled"):
        act = getattr(case.record, name)
        code = act.by if act is not None else None
        if lab and code and code != CUSTOMER and lab.person(code) is None:
            yield Doubt(
                field=(name, "by"),
                found=code,
                expected=f"{UNKNOWN_CODE_EXPECTED}, or the word customer",
                mend=UNKNOWN_CODE_MEND,
            )


def out_of_order(case: Case[Any, None]) -> Iterator[Doubt]:
    """A date is before that of an earlier step."""
    sample = case.record
    sampled, received = sample.sampled, sample.received
    acts = (
        Dated("sampled", sampled.on if sampled else None, ("sampled", "on")),
        Dated("received", received.on if received else None, ("received", "on")),
        Dated("to be kept until", sample.retained_until, ("retained_until",)),
    )
    yield from order_doubts(acts)


RULES: tuple[Rule[Case[Any, None]], ...] = (
    unknown_soil_class,
    gradation_out_of_order,
    gradation_unlike_soil,
    oversize_unlike_gradation,
    oversize_like_a_fraction,
    bulk_gravity_unusual,
    oversize_too_wet,
    received_like_a_fraction,
    unknown_code_rule(unknown_people),
    dates_rule(out_of_order),
)
