"""
What a specification requires of the compacted soil of a zone, and who may accept it.

A requirement may state as little as a zone, a standard and one limit. What it leaves
unsaid stays unsaid here; `kinds.bounds` has what then holds.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Tag
from pydantic import Field as Described

from buildsite.kinds.field_answers import (
    LiftTerms,
    ProjectRequirements,
    RequirementFacts,
    RequirementsToServe,
    WaterLimits,
)
from buildsite.kinds.kind import Ref
from buildsite.record.forms import OneOrMore, form_by_key
from buildsite.record.parts import StandardUsed
from buildsite.record.reading import Code, Count, Day, Model, Positive, Reading, Text
from buildsite.record.reading import YesNo as Truth
from buildsite.record.units import DensityUnit
from buildsite.standards.reading import key, stem_of

How = Literal["rounded", "absolute"]


class Band(Model):
    """Allowed water content about optimum: in points, or percent of the optimum."""

    from_: Reading = Described(alias="from")
    to: Reading
    as_: Literal["points", "percent of optimum"] = Described(alias="as")
    to_nearest: Annotated[
        Positive | None,
        Described(description="Rounding of water contents compared; else 0.1 %."),
    ] = None


class LeastDensity(Model):
    """A least dry density, in a unit of its own."""

    value: Positive
    unit: DensityUnit


class Comparison(Model):
    """How each criterion is compared: ASTM E29."""

    percent_compaction: How | None = None
    dry_density: How | None = None
    water_content: How | None = None


CRITERIA = tuple(Comparison.model_fields)


def _each(value: object) -> object:
    """Return one word as the same for each criterion."""
    return dict.fromkeys(CRITERIA, value) if isinstance(value, str) else value


class _WordOrEach:
    """JSON Schema of one word, or one for each criterion."""

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> Any:
        """Return both forms."""
        return {"anyOf": [{"enum": ["rounded", "absolute"]}, handler(core)]}


Compare = Annotated[Comparison, _WordOrEach(), BeforeValidator(_each)]
"""``compare: rounded``, or ``compare: {percent_compaction: rounded, …}``."""


class Decision(Model):
    """Decision rule: simple, or with a guard band (JCGM 106) once that was agreed."""

    rule: Literal["simple", "guarded"]
    agreed_on: Day | None = None


class RequiredTests(Model):
    """How many tests each lift, or whatever else is stated, must have."""

    each: Text
    number: Count


class Lot(Model):
    """Acceptance by the average of several tests, and a limit for each."""

    average_of: Count
    average: Positive
    each: Positive | None = None


class Limits(Model):
    """What is required, and how it is judged."""

    clause: Text | None = None
    least_percent_compaction: Annotated[
        Positive | None,
        Described(description="Digits as in the specification: 95 and 95.0 differ."),
    ] = None
    least_dry_density: LeastDensity | None = None
    water_content: Band | None = None
    compare: Annotated[
        Compare | None,
        Described(description="ASTM E29: rounded to the limit's place, or absolute."),
    ] = None
    reference_values: Literal["reported", "unrounded"] | None = None
    oversize: Annotated[
        Literal["laboratory-to-field", "field-to-fine", "none"] | None,
        Described(description="How a field test with coarse particles is compared."),
    ] = None
    decision: Decision | None = None
    tests_required: RequiredTests | None = None
    lot: Lot | None = None
    oven_check: Annotated[
        Truth,
        Described(description="Field-dried water contents are checked in an oven."),
    ] = False


class Requirement(Limits):
    """Specification requirements for the compacted soil of one zone."""

    zone: Text
    standard: StandardUsed


class StatedRequirement(Limits):
    """A requirement in the record of a field test computed by itself."""

    zone: Text | None = None
    standard: StandardUsed | None = None


class Engineer(Model):
    """An engineer of record who is not on the staff."""

    name: Text
    party: Text | None = None


EngineerOfRecord = Annotated[
    Annotated[Code, Tag("(code)")] | Annotated[Engineer, Tag("(person)")],
    form_by_key("(code)", name="(person)", party="(person)"),
]
"""A staff code, or a name with its party."""

Engineers = OneOrMore[EngineerOfRecord]


def engineer_name(one: str | Engineer) -> str:
    """
    Return an engineer of record as other records name him.

    >>> engineer_name(Engineer(name="R. Alder", party="Harbour Works"))
    'R. Alder, Harbour Works'
    """
    if isinstance(one, str):
        return one
    return f"{one.name}, {one.party}" if one.party else one.name


def facts_of(one: Limits) -> RequirementFacts:
    """Return the facts of a requirement, its defaults not filled in."""
    used: StandardUsed | None = getattr(one, "standard", None)
    density, water, lot = one.least_dry_density, one.water_content, one.lot
    compare = one.compare or Comparison()
    stated = tuple(
        (name, how) for name in CRITERIA if (how := getattr(compare, name)) is not None
    )
    return RequirementFacts(
        zone=getattr(one, "zone", None) or "",
        clause=one.clause or "",
        designation=used.designation if used is not None else "",
        edition=(used.edition if used is not None else None) or "",
        method=used.method if used is not None else "",
        least_percent_compaction=one.least_percent_compaction,
        least_dry_density=density.value if density is not None else None,
        density_unit=density.unit if density is not None else "",
        water_content=None
        if water is None
        else WaterLimits(water.from_, water.to, water.as_),
        compare=stated,
        reference_values=one.reference_values or "",
        oversize=one.oversize or "",
        decision=one.decision.rule if one.decision is not None else "",
        agreed_on=one.decision.agreed_on if one.decision is not None else None,
        tests_required_each=one.tests_required.each if one.tests_required else "",
        tests_required=one.tests_required.number if one.tests_required else None,
        lot_average_of=lot.average_of if lot is not None else None,
        lot_average=lot.average if lot is not None else None,
        lot_each=lot.each if lot is not None else None,
        to_nearest=water.to_nearest if water is not None else None,
        oven_check=one.oven_check,
    )


def requirements_of(project: Any, zones: Sequence[str] = ()) -> ProjectRequirements:
    """
    Return what a project requires, and its engineers of record.

    Asked about a zone, only what is required there: an edit for another zone moves no
    test. Of a zone that has none, all: a flag names the zones there are. Engineers are
    told to who asks for them besides a zone.
    """
    every = ProjectRequirements(
        project.id,
        tuple(map(facts_of, project.requirements)),
        tuple(map(engineer_name, project.engineer_of_record)),
        project.field_tests_against or "",
    )
    own = tuple(one for zone in zones if (one := every.of_zone(zone)) is not None)
    told = every.engineers if not zones or ENGINEERS in zones else ()
    return replace(every, requirements=own or every.requirements, engineers=told)


ENGINEERS = "(engineers)"
"""In a question about a zone: who may accept there, besides."""


def lift_terms(project: Any, ref: Ref) -> LiftTerms:
    """
    Return what the project asks of a lift of a zone, and who may accept it.

    Of that zone alone: what is asked elsewhere moves no acceptance.
    """
    (zone,) = ref.about or ("",)
    every = requirements_of(project)
    return LiftTerms(project.id, zone, every.of_zone(zone), every.engineers)


def serves(used: StandardUsed, designation: str, method: str) -> bool:
    """Whether a compaction test by a standard and method can serve a requirement."""
    alike = _one_name(used.designation) == _one_name(designation)
    return alike and used.method.casefold() == method.casefold()


def _one_name(designation: str) -> str:
    """Return one name for the spellings of a designation: T 180, AASHTO T-180."""
    return stem_of(designation) or key(designation)


def to_serve(project: Any, ref: Ref) -> RequirementsToServe | None:
    """
    Return the requirements that a test of a method can serve; None if none is stated.

    Only what its report says of them is told: a further engineer or number of tests
    changes no compaction test.
    """
    if not project.requirements:
        return None
    designation, method = ref.about
    own = [
        facts_of(one.model_copy(update={"tests_required": None, "oven_check": False}))
        for one in project.requirements
        if serves(one.standard, designation, method)
    ]
    others = tuple(
        f"{one.zone}: {one.standard.designation}, Method {one.standard.method}"
        for one in project.requirements
        if not serves(one.standard, designation, method)
    )
    if own:
        return RequirementsToServe(project.id, tuple(own), (), others)
    return RequirementsToServe(project.id, (), others)
