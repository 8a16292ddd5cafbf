"""Checks of the reference, the requirement and the result against both."""

from collections.abc import Iterator

from buildsite.kinds.bounds import not_stated
from buildsite.kinds.criteria import spoken
from buildsite.kinds.laboratory.requirements import serves
from buildsite.kinds.tests.field_density.compute import Test, effort_of
from buildsite.kinds.tests.shared.completeness import gap_severity, is_complete
from buildsite.record.flags import Doubt, Rule, Severity, error, note, warning
from buildsite.record.parts import StandardUsed
from buildsite.soil.lines import zero_air_voids_density
from buildsite.soil.water import water_density
from buildsite.standards.tables import limit

COMMON = "common practice"
WHERE = ("reference",)

GRAVITY_PLAY = 0.02
WATER_PLAY = 0.3
"""Allowed error of a test: specific gravity [1], water content [%]."""


@error("reference-missing", COMMON)
def reference_missing(case: Test) -> Iterator[Doubt]:
    """An acceptance test without a reference."""
    record = case.record
    named = record.reference is not None or record.target is not None
    if record.purpose == "acceptance" and not named:
        yield Doubt(
            field=WHERE,
            found="not stated",
            expected="a compaction test or a one-point of this soil",
            mend="name the test that the soil was matched with",
            severity=gap_severity(case),
        )


@warning("reference-without-peak", COMMON)
def reference_without_peak(case: Test) -> Iterator[Doubt]:
    """A reference that gives no maximum dry density."""
    facts = case.values.reference
    if facts is not None and facts.peak is None:
        yield Doubt(
            field=WHERE,
            found=f"{facts.id}: {facts.why_none or 'no maximum dry density'}",
            expected="a test with a maximum dry density and an optimum",
            mend="name another reference, or complete this one: there is no verdict",
        )


@warning("reference-of-another-soil", COMMON)
def reference_of_another_soil(case: Test) -> Iterator[Doubt]:
    """The soil seen at the place is of another class than the reference's."""
    facts, seen = case.values.reference, case.record.soil
    own = seen.class_ if seen is not None else None
    if facts is None or not facts.soil_class or own is None:
        return
    if own.casefold() != facts.soil_class.casefold():
        yield Doubt(
            field=("soil", "class"),
            found=f"{own} at the place",
            expected=f"{facts.soil_class}, as the soil of {facts.id}",
            mend="compact a one-point of this soil, or name the test that is of it",
        )


@warning("reference-of-another-method", "the specification's method")
def reference_of_another_method(case: Test) -> Iterator[Doubt]:
    """The reference is of another method than the requirement names, or of none."""
    facts, asked = case.values.reference, case.values.requirement
    if facts is None or asked is None or not asked.designation:
        return
    if not facts.designation:  # a report of before results named their standard
        yield Doubt(
            field=WHERE,
            found=f"{facts.revision or facts.id}, whose kept result names no method",
            expected=f"{asked.designation}, Method {asked.method}",
            mend="see on the report which method it is of; an amended report names it",
            severity=Severity.NOTE,
        )
        return
    used = StandardUsed(designation=facts.designation, method=facts.method)
    if not serves(used, asked.designation, asked.method):
        yield Doubt(
            field=WHERE,
            found=f"{facts.id}, by {facts.designation}, Method {facts.method}",
            expected=f"{asked.designation}, Method {asked.method}",
            mend="name a test by that method: at another effort there is no verdict",
        )


@warning("reference-by-visual-match", COMMON)
def reference_by_visual_match(case: Test) -> Iterator[Doubt]:
    """The reference was chosen by eye."""
    if case.record.reference_basis == "visual match":
        by = case.record.reference_by
        yield Doubt(
            field=("reference_basis",),
            found=f"matched by eye{f' by {by}' if by else ''}",
            expected="a one-point of this soil, or its source",
            mend="compact a one-point where the result is near a limit; else accept it",
        )


@note("reference-basis-missing", COMMON)
def reference_basis_missing(case: Test) -> Iterator[Doubt]:
    """A reference, and nothing that says who matched it and how."""
    record = case.record
    if record.reference is None or not is_complete(case):
        return
    missing = [
        name
        for name in ("reference_basis", "reference_by")
        if getattr(record, name) is None
    ]
    if missing:
        yield Doubt(
            field=(missing[0],),
            found="not stated",
            expected="how the soil was matched with the reference, and by whom",
            mend="enter reference_basis and reference_by from the field sheet",
        )


@warning("comparison-not-stated", "ASTM E29, 1.3: neither method is the default")
def comparison_not_stated(case: Test) -> Iterator[Doubt]:
    """A requirement that says not how results are compared with its limits."""
    asked = case.values.requirement
    names = not_stated(asked) if asked is not None else ()
    if names and case.record.purpose == "acceptance":
        what = ", ".join(spoken(name) for name in names)
        yield Doubt(
            field=("zone",) if case.record.requirement is None else ("requirement",),
            found=f"not stated for {what}: rounded to the limit's place",
            expected="compare: rounded or absolute",
            mend="ask the engineer of record, and state it in project.yaml",
        )


@warning("zone-without-requirement", COMMON)
def zone_without_requirement(case: Test) -> Iterator[Doubt]:
    """A zone that the project states no requirement for."""
    record, project = case.record, case.values.project
    if record.purpose != "acceptance" or case.inputs.alone:
        return
    if project is not None and project.of_zone(record.zone or "") is not None:
        return
    known = ", ".join(one.zone for one in project.requirements) if project else ""
    own = record.requirement is not None
    yield Doubt(
        field=("zone",),
        found=(record.zone or "no zone") + (", required here alone" if own else ""),
        expected=f"a zone of the project: {known}" if known else "a requirement of it",
        mend="correct the zone, or state the requirement in project.yaml",
    )


EFFORTS = {
    "standard": "compaction_usual_standard",
    "modified": "compaction_usual_modified",
}
"""The greatest usual percent compaction by the reference's effort."""


def effort_required(case: Test) -> str:
    """Return the effort of the method required, where the reference names none."""
    asked = case.values.requirement
    return effort_of(asked.designation, asked.method) if asked is not None else ""


def above(percent: float, most: float) -> str:
    """
    Return a percent with as many digits as show it above a limit: one, or more.

    >>> above(105.34, 105.0), above(105.02, 105.0)
    ('105.3', '105.02')
    """
    places = (n for n in range(1, 10) if round(percent, n) > most)
    return f"{percent:.{next(places, 10)}f}"


@warning("compaction-above-usual", COMMON)
def compaction_above_usual(case: Test) -> Iterator[Doubt]:
    """A percent compaction so high that the reference may be of another soil."""
    facts, percent = case.values.reference, case.values.percent
    effort = (facts.effort if facts is not None else "") or effort_required(case)
    cell = limit(EFFORTS.get(effort, EFFORTS["standard"]))
    if percent is not None and percent > cell.si:
        yield Doubt(
            field=WHERE if facts is not None else ("target",),
            found=f"{above(percent, cell.si)} % compaction",
            expected=f"at most {cell}{f', at {effort} effort' if effort else ''}",
            mend="compact a one-point of this soil: the reference is the first "
            "suspect; then check hole, sand or gauge",
            basis=cell.basis,
        )


@error("right-of-zero-air-voids", "water fills the voids at most")
def right_of_zero_air_voids(case: Test) -> Iterator[Doubt]:
    """A field test right of zero air voids."""
    values = case.values
    gravity, dry, water = values.gravity, values.dry_density, values.water.reported
    if gravity is None or dry is None or water is None:
        return
    heat = float(gravity.water_temperature_c or 20)
    ours = water_density(min(max(heat, 0.0), 40.0))
    solids = float(gravity.value)
    line = zero_air_voids_density(water, solids, ours)
    if dry <= line:
        return
    easy = zero_air_voids_density(
        max(water - WATER_PLAY, 0.0), solids + GRAVITY_PLAY, ours
    )
    assumed = gravity.basis == "assumed"
    yield Doubt(
        field=("containers",),
        found=f"{dry:.0f} kg/m³ at {water:.1f} %, above the zero-air-voids line",
        expected=f"at most {line:.0f} kg/m³ (specific gravity {solids:g})",
        mend="measure the specific gravity, which is assumed"
        if assumed
        else "check hole or gauge, the water content, and the specific gravity",
        severity=None if dry > easy and not assumed else Severity.WARNING,
    )


POSSIBLE = (500.0, 2900.0)
USUAL = (1000.0, 2500.0)
"""Dry densities of soil that can be, and that are usual. [kg/m³]"""


@error("impossible-density", "no soil is denser than its solids")
def impossible_density(case: Test) -> Iterator[Doubt]:
    """A dry density that no soil has."""
    dry = case.values.dry_density
    if dry is not None and not POSSIBLE[0] <= dry <= POSSIBLE[1]:
        yield Doubt(
            field=("apparatus",),
            found=f"a dry density of {dry:.0f} kg/m³",
            expected=f"from {POSSIBLE[0]:.0f} to {POSSIBLE[1]:.0f} kg/m³",
            mend="check the units, and the decimal points of the masses",
        )


@warning("unusual-density", COMMON)
def unusual_density(case: Test) -> Iterator[Doubt]:
    """A dry density unusual of compacted soil."""
    dry = case.values.dry_density
    possible = dry is not None and POSSIBLE[0] <= dry <= POSSIBLE[1]
    if dry is not None and possible and not USUAL[0] <= dry <= USUAL[1]:
        yield Doubt(
            field=("apparatus",),
            found=f"a dry density of {dry:.0f} kg/m³",
            expected=f"from {USUAL[0]:.0f} to {USUAL[1]:.0f} kg/m³",
            mend="check the units, and the decimal points of the masses",
        )


RULES: tuple[Rule[Test], ...] = (
    reference_missing,
    reference_without_peak,
    reference_of_another_soil,
    reference_of_another_method,
    reference_by_visual_match,
    reference_basis_missing,
    comparison_not_stated,
    zone_without_requirement,
    compaction_above_usual,
    right_of_zero_air_voids,
    impossible_density,
    unusual_density,
)
