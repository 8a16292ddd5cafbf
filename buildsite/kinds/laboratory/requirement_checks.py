"""Checks of what a project requires."""

from collections.abc import Iterator
from typing import Any

from buildsite.kinds.answers import LaboratoryFacts
from buildsite.kinds.field_control.same_place import spoken_key
from buildsite.kinds.fractions import like_a_fraction
from buildsite.kinds.kind import Case
from buildsite.kinds.shared_rules import (
    UNKNOWN_CODE_EXPECTED,
    UNKNOWN_CODE_MEND,
    unknown_code_rule,
)
from buildsite.record.flags import Doubt, Rule, error, warning
from buildsite.soil.rounding import plain

COMMON = "common practice"


@error("band-upside-down", COMMON)
def band_upside_down(case: Case[Any, None]) -> Iterator[Doubt]:
    """The lower limit of a moisture range is above its upper limit."""
    for i, one in enumerate(case.record.requirements):
        band = one.water_content
        if band is not None and band.from_ > band.to:
            yield Doubt(
                field=("requirements", i, "water_content", "to"),
                found=f"from {band.from_} to {band.to}",
                expected="the drier limit first, then the wetter",
                mend="check the signs, as in from: -2",
            )


@error("lot-limits-upside-down", COMMON)
def lot_limits_upside_down(case: Case[Any, None]) -> Iterator[Doubt]:
    """The limit for each test of a lot is above that for their average."""
    for i, one in enumerate(case.record.requirements):
        lot = one.lot
        if lot is not None and lot.each is not None and lot.each > lot.average:
            yield Doubt(
                field=("requirements", i, "lot", "each"),
                found=f"each {lot.each}, average {lot.average}",
                expected="a limit for each test that is no higher than the average's",
                mend="exchange the two limits, or correct one",
            )


@error(
    "guarded-without-agreement", "ISO/IEC 17025:2017, 7.1.3: a decision rule is agreed"
)
def guarded_without_agreement(case: Case[Any, None]) -> Iterator[Doubt]:
    """A guarded decision rule has no day on which it was agreed with the customer."""
    for i, one in enumerate(case.record.requirements):
        rule = one.decision
        if rule is not None and rule.rule == "guarded" and rule.agreed_on is None:
            yield Doubt(
                field=("requirements", i, "decision"),
                found="a guarded decision without agreed_on",
                expected="the day on which the customer agreed to it",
                mend="enter agreed_on, or decide without a guard band: rule: simple",
            )


@warning("zone-required-twice", COMMON)
def zone_required_twice(case: Case[Any, None]) -> Iterator[Doubt]:
    """Two requirements name the same zone: field tests are judged by the first."""
    seen: dict[str, int] = {}
    for i, one in enumerate(case.record.requirements):
        first = seen.setdefault(spoken_key(one.zone), i)
        if first != i:
            yield Doubt(
                field=("requirements", i, "zone"),
                found=f"{one.zone}, as in requirement {first + 1}",
                expected="a requirement for each zone",
                mend="name the part of the zone that each applies to",
            )


@warning("percent-compaction-like-a-fraction", COMMON)
def percent_compaction_like_a_fraction(case: Case[Any, None]) -> Iterator[Doubt]:
    """A least percent compaction looks typed as a fraction: 0.95 for 95."""
    for i, one in enumerate(case.record.requirements):
        least = one.least_percent_compaction
        if like_a_fraction(least):
            yield Doubt(
                field=("requirements", i, "least_percent_compaction"),
                found=f"{least} %: typed as a fraction?",
                expected=f"{plain(least.scaleb(2))} % for {least}",
                mend="enter percent compaction in percent",
            )


@warning("requirement-without-limit", COMMON)
def requirement_without_limit(case: Case[Any, None]) -> Iterator[Doubt]:
    """A requirement states no limit: no field test in its zone can pass or fail."""
    for i, one in enumerate(case.record.requirements):
        limits = (
            one.least_percent_compaction,
            one.least_dry_density,
            one.water_content,
            one.lot,
        )
        if all(limit is None for limit in limits):
            yield Doubt(
                field=("requirements", i),
                found=f"{one.zone}, without a limit",
                expected="a percent compaction, a dry density or water contents",
                mend="enter what the specification requires, or delete the requirement",
                unasked=True,  # the limits are asked for after zone and standard
            )


def unknown_engineers(case: Case[Any, None]) -> Iterator[Doubt]:
    """An engineer of record is not on the staff list."""
    lab = case.inputs.get(LaboratoryFacts, "lab")
    if lab is None:
        return
    for i, one in enumerate(case.record.engineer_of_record):
        if isinstance(one, str) and lab.person(one) is None:
            yield Doubt(
                field=("engineer_of_record", i),
                found=one,
                expected=UNKNOWN_CODE_EXPECTED,
                mend=f"{UNKNOWN_CODE_MEND}; of another party, enter name and party",
            )


CHECKS: tuple[Rule[Case[Any, Any]], ...] = (
    band_upside_down,
    lot_limits_upside_down,
    guarded_without_agreement,
    zone_required_twice,
    percent_compaction_like_a_fraction,
    requirement_without_limit,
    unknown_code_rule(unknown_engineers),
)
"""Every check of a project's requirements."""
