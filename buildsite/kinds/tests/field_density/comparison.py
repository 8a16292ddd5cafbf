"""
Like with like: the field's soil and its reference, brought to one fraction.

By default the laboratory's value is corrected to the field's own coarse fraction and
compared with the whole soil; or the field's to its fines; or nothing is corrected.
"""

from dataclasses import replace

from buildsite.kinds.answers import OversizeFact
from buildsite.kinds.bounds import NOT_CORRECTED, TO_FIELD, TO_FINE, oversize_rule
from buildsite.kinds.criteria import Target, target_from, target_of
from buildsite.kinds.field_answers import ReferenceFacts, RequirementFacts
from buildsite.kinds.limits import above
from buildsite.kinds.sieves import all_sizes, by_size, opening_mm, same_sieve
from buildsite.kinds.tests.field_density.model import FieldDensity
from buildsite.kinds.tests.field_density.water import Split, Water
from buildsite.record.units import to_si
from buildsite.soil import oversize
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method
from buildsite.standards.tables import find
from buildsite.values import dataclass

WHOLE, FINES = "whole soil", "fines"
LIMIT = "oversize_limit"

ABOVE_LIMIT = "above-limit"
NO_GRAVITY = "no-gravity"
NO_ABSORPTION = "no-absorption"
OTHER_SIEVE = "other-sieve"
NO_SHARE = "no-share"
NO_ROOM = "no-room"
NO_SIEVE = "no-sieve"
FINES_ALONE = "fines-alone"
"""Why a field test is not compared with its reference."""

NO_REQUIREMENT = RequirementFacts(
    zone="",
    clause="",
    designation="",
    edition="",
    method="",
    least_percent_compaction=None,
    least_dry_density=None,
    density_unit="",
    water_content=None,
    compare=(),
    reference_values="",
    oversize="",
    decision="",
    agreed_on=None,
)
"""In place of a requirement where none is known: every default."""


@dataclass(frozen=True)
class Compared:
    """
    What is compared with what, both of one `fraction`; None where not known.

    `reason` and `why_not` say why the two are not of one fraction: then there is no
    verdict, and a target is only the reference's own value.
    """

    target: Target | None
    fraction: str
    dry_density: float | None = None  # [kg/m³]
    water: float | None = None  # [%]
    corrected: bool = False
    reason: str = ""
    why_not: str = ""
    base: Target | None = None  # the target before it was corrected
    bulk: float | None = None  # oven-dry bulk specific gravity of the coarse particles


@dataclass(frozen=True)
class Sides:
    """The two sides of a comparison, and the rule between them."""

    record: FieldDensity
    method: Method | None
    reference: ReferenceFacts | None
    requirement: RequirementFacts | None
    against: str
    least: float  # coarse fraction up to which nothing is corrected [%]
    water: Water
    split: Split | None
    dry_density: float | None  # of the whole soil [kg/m³]

    @property
    def asked(self) -> RequirementFacts:
        """The requirement, or one that states nothing."""
        return self.requirement or NO_REQUIREMENT

    @property
    def rule(self) -> str:
        """How coarse particles are brought into the comparison."""
        return oversize_rule(self.asked, self.against)


def coarse_limit(method: Method | None, sieve: str) -> tuple[Cell, Method] | None:
    """
    Return the greatest coarse fraction of a correction on a sieve.

    What a sieve coarser than all listed retains, the coarsest of them retains too.
    """
    if opening_mm(sieve) is None:
        return None
    for known in (method, find("AASHTO T 191", "none", "none", "")):
        listed = all_sizes(known, LIMIT) if known is not None else []
        if known is not None and listed:
            return by_size(known, LIMIT, sieve) or listed[-1][2], known
    return None


def bulk_of(
    record: FieldDensity, of_reference: OversizeFact | None
) -> tuple[float | None, str]:
    """Return the oven-dry bulk specific gravity of coarse particles, or why none."""
    own = record.coarse.specific_gravity if record.coarse is not None else None
    value = own.value if own is not None else None
    basis = own.basis if own is not None else None
    absorption = own.absorption if own is not None else None
    if value is None and of_reference is not None:
        value = of_reference.bulk_specific_gravity
        basis = "SSD" if of_reference.bulk_basis == "SSD" else "oven-dry"
    if absorption is None and of_reference is not None:
        absorption = of_reference.absorption
    if value is None:
        return None, NO_GRAVITY
    if basis != "SSD":
        return float(value), ""
    if absorption is None:
        return None, NO_ABSORPTION
    return oversize.oven_dry_bulk(float(value), float(absorption)), ""


WORDS = {
    NO_GRAVITY: "no bulk specific gravity of the coarse particles",
    NO_ABSORPTION: "coarse particles of an SSD specific gravity, and no absorption",
    OTHER_SIEVE: "the coarse fraction is of another sieve than the reference's",
    NO_SHARE: "the coarse fraction can't be computed",
    NO_ROOM: "the coarse particles alone would fill the volume",
    NO_SIEVE: "the sieve of the coarse fraction is not known",
    FINES_ALONE: "the water content is of the fines alone",
}


def base_target(sides: Sides) -> Target | None:
    """Return the target of the fraction that the laboratory compacted."""
    values = sides.asked.reference_values
    facts = sides.reference
    if facts is not None:
        if facts.peak is None:
            return None
        name = facts.revision or facts.id
        return target_of(facts.peak, facts.density_unit, values, f"result of {name}")
    return stated_target(sides.record)


def stated_target(record: FieldDensity) -> Target | None:
    """Return the target that the record states."""
    stated, unit = record.target, record.units.density
    if stated is None or stated.maximum_dry_density is None or unit is None:
        return None
    optimum = stated.optimum_water_content
    return Target(
        to_si(stated.maximum_dry_density, unit),
        float(optimum) if optimum is not None else 0.0,
        unit,
        stated.source or "stated in the record",
    )


def as_it_is(sides: Sides) -> Compared:
    """Return the comparison of a soil without a coarse fraction of its own."""
    facts, water = sides.reference, sides.water
    if water.fine is not None and water.total is None:
        return uncorrected(sides, FINES_ALONE)
    if facts is None:
        own = stated_target(sides.record)
        return Compared(own, WHOLE, sides.dry_density, water.reported)
    asked = sides.asked
    if (
        sides.rule == TO_FINE
    ):  # nothing is known to take off: the whole soil is compared
        asked = replace(asked, oversize=TO_FIELD)
    target = target_from(facts, asked, sides.against)
    whole = facts.corrected is not None and sides.rule != NOT_CORRECTED
    counts = water.total if whole else water.reported
    return Compared(target, WHOLE, sides.dry_density, counts, whole)


def uncorrected(sides: Sides, reason: str = "") -> Compared:
    """Return the comparison with the reference's own value; of its fraction's water."""
    why_not = why_uncorrected(reason) if reason else ""
    fine = sides.water.fine
    water = fine if fine is not None else sides.water.reported
    dry = sides.dry_density
    return Compared(base_target(sides), WHOLE, dry, water, False, reason, why_not)


def why_uncorrected(reason: str) -> str:
    """Return in words why a comparison is not of like with like."""
    return f"not compared like with like: {WORDS[reason]}"


def too_coarse(sides: Sides, split: Split) -> Compared | None:
    """Return that there is no comparison, where a soil is too coarse for one."""
    limit = coarse_limit(sides.method, split.sieve)
    if split.percent is None or limit is None or not above(split.percent, *limit):
        return None
    why = f"{split.percent:.0f} % retained on {split.sieve}, above {limit[0]}"
    return Compared(None, WHOLE, reason=ABOVE_LIMIT, why_not=why)


def reason_against(sides: Sides, split: Split) -> str:
    """Return why this coarse fraction can't be corrected for; blank if it can."""
    facts = sides.reference
    sieve = facts.sieve if facts is not None else ""
    if split.percent is None or split.percent >= 100:
        return NO_SHARE
    if opening_mm(split.sieve) is None:
        return NO_SIEVE
    if sieve and not same_sieve(sieve, split.sieve):
        return OTHER_SIEVE
    return bulk_of(sides.record, facts.oversize if facts is not None else None)[1]


def compare(sides: Sides) -> Compared:
    """Bring the field's soil and its reference to one fraction."""
    split = sides.split
    if split is None:
        return as_it_is(sides)
    coarse = too_coarse(sides, split)
    if coarse is not None:
        return coarse
    share = split.percent
    if sides.rule == NOT_CORRECTED or (share is not None and share <= sides.least):
        return uncorrected(sides)
    reason = reason_against(sides, split)
    return uncorrected(sides, reason) if reason else corrected(sides, split)


def corrected(sides: Sides, split: Split) -> Compared:
    """Correct the reference, or the field's soil, as the requirement has it."""
    target, facts = base_target(sides), sides.reference
    bulk, _ = bulk_of(sides.record, facts.oversize if facts is not None else None)
    if target is None or bulk is None:
        return Compared(None, WHOLE, sides.dry_density, sides.water.total)
    if sides.rule == TO_FINE:
        return to_fines(sides, target, split.percent or 0.0, bulk)
    return to_field(sides, target, split, bulk)


def to_field(sides: Sides, target: Target, split: Split, bulk: float) -> Compared:
    """Return the reference corrected to the field's coarse fraction."""
    share, optimum = split.percent or 0.0, target.optimum_water_content
    whole = replace(
        target,
        maximum_dry_density=oversize.total_dry_density(
            target.maximum_dry_density, share, bulk
        ),
        optimum_water_content=oversize.total_water_content(optimum, share, split.water)
        if optimum
        else 0.0,
        from_=f"{target.from_}, corrected to {share:.1f} % retained on {split.sieve}",
    )
    dry, water = sides.dry_density, sides.water.total
    return Compared(whole, WHOLE, dry, water, True, base=target, bulk=bulk)


def to_fines(sides: Sides, target: Target, share: float, bulk: float) -> Compared:
    """Return the field's soil without its coarse particles, and the reference."""
    whole, water = sides.dry_density, sides.water.fine
    if whole is None:
        return Compared(target, FINES, None, water, True)
    if share / 100 / (bulk * oversize.WATER) >= 1 / whole:
        return uncorrected(sides, NO_ROOM)
    fine = oversize.fine_dry_density(whole, share, bulk)
    return Compared(target, FINES, fine, water, True, bulk=bulk)
