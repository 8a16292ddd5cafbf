"""Checks against the method: specimen, sieve, de-airing, mass of soil."""

from collections.abc import Iterator

from buildsite.kinds.answers import PycnometerFacts
from buildsite.kinds.tests.shared.completeness import is_complete, sample_of
from buildsite.kinds.tests.shared.record import act_of
from buildsite.kinds.tests.shared.rules.equipment import other_sieves
from buildsite.kinds.tests.specific_gravity.compute import (
    DeterminationValues,
    Test,
    facts_of,
)
from buildsite.record.flags import Doubt, Rule, Severity, error, note, warning
from buildsite.record.units import from_si
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method

MOIST_FIRST = ("CH", "MH", "OH", "OL", "PT", "CH-MH")
"""Organic or highly plastic soils, by class."""

BIG_M3, PLAY = 0.0005, 1e-9
"""A pycnometer of 500 cm³, for which the table of specimens has its own column."""


@warning("specimen-unlike-method", "the method's specimen")
def specimen_unlike_method(case: Test) -> Iterator[Doubt]:
    """The specimen is oven-dry where the method has it moist, or the reverse."""
    cell = case.method.optional("specimen") if case.method is not None else None
    stated = case.record.specimen
    if cell is not None and stated is not None and stated not in cell.choices:
        yield Doubt(
            field=("specimen",),
            found=stated,
            expected=f"{cell} in {case.record.standard.designation} Method "
            f"{case.record.standard.method}",
            mend="check the bench sheet, and the letter of the method",
            basis=cell.basis,
        )


@warning("oven-dry-not-for-soil", "ASTM D854-14, clause 1.2.1")
def oven_dry_not_for_soil(case: Test) -> Iterator[Doubt]:
    """The soil was dried before the test, but is of a kind that drying changes."""
    sample = sample_of(case)
    soil = sample.soil_class.upper() if sample is not None else ""
    if case.record.specimen == "oven-dry" and soil in MOIST_FIRST:
        yield Doubt(
            field=("specimen",),
            found=f"oven-dry, of {soil}",
            expected="a moist specimen: organic or highly plastic soil does not "
            "disperse again after drying",
            mend="test a moist specimen and dry it afterwards",
        )


@warning("sieve-unlike-method", "the method's sieve")
def sieve_unlike_method(case: Test) -> Iterator[Doubt]:
    """Soil not passed through the method's sieve."""
    prepared = act_of(case.record, "prepared")
    on = (prepared.on if prepared is not None else None) or case.record.tested.on
    mend = "check which sieve was used; finer soil is for a hydrometer test"
    if case.method is not None:
        yield from other_sieves(case, on, case.method.designation, mend)


@note("deairing-not-stated", "common practice")
def deairing_not_stated(case: Test) -> Iterator[Doubt]:
    """A complete test does not state how the soil was de-aired."""
    how = case.record.deaired
    if is_complete(case) and (how is None or how.by is None):
        yield Doubt(
            field=("deaired", "by"),
            found="not stated",
            expected="boiling, vacuum, or heat and vacuum",
            mend="enter it from the bench sheet",
        )


DEAIRING = {
    "boiling": "deairing_boiled",
    "vacuum": "deairing_vacuum",
    "heat and vacuum": "deairing_both",
}
"""Cells with the time required."""


@warning("deairing-too-short", "the method's time of de-airing")
def deairing_too_short(case: Test) -> Iterator[Doubt]:
    """The de-airing time is shorter than the method requires."""
    how, method = case.record.deaired, case.method
    if how is None or how.by is None or how.hours is None or method is None:
        return
    cell = method.optional(DEAIRING[how.by])
    if cell is not None and float(how.hours) < cell.si * (1 - PLAY):
        yield Doubt(
            field=("deaired", "hours"),
            found=f"{how.hours} h of {how.by}",
            expected=f"at least {cell}",
            mend="de-air longer; trapped air gives a low value",
            basis=cell.basis,
        )


def least_specimen(
    method: Method, facts: PycnometerFacts | None, soil: str
) -> Cell | None:
    """Return the dry soil that the method requires in such a pycnometer."""
    size = facts.capacity_m3 if facts is not None else None
    if method.optional("specimen_least_flask") is not None:
        flask = size is None or size > BOTTLE_M3
        return method.cell(f"specimen_least_{'flask' if flask else 'bottle'}")
    big = size is not None and size >= BIG_M3 * (1 - PLAY)
    return method.for_soil(f"specimen_in_{'500' if big else '250'}_", soil)


BOTTLE_M3 = 0.0001 - 1e-9
"""Below 100 cm³ it is a bottle with a stopper, not a flask: AASHTO T 100."""


def too_little(case: Test, one: DeterminationValues, soil: str) -> Doubt | None:
    """Doubt a determination on less soil than the method requires."""
    line = case.record.determinations[one.number - 1]
    facts = facts_of(case.record, line, case.inputs)
    cell = least_specimen(case.method, facts, soil) if case.method else None
    if cell is None or one.dry_soil is None or one.dry_soil >= cell.si * (1 - PLAY):
        return None
    return Doubt(
        field=("determinations", one.number - 1),
        found=f"{from_si(one.dry_soil, cell.unit):.2f} {cell.unit} of dry soil",
        expected=f"at least {cell}",
        mend="test more soil; small masses make the result sensitive to reading error",
        severity=Severity.NOTE if one.rejected else None,
        basis=cell.basis,
    )


@warning("soil-too-little", "the method's table of specimens")
def soil_too_little(case: Test) -> Iterator[Doubt]:
    """A pycnometer has less dry soil than the method requires."""
    sample = sample_of(case)
    soil = sample.soil_class if sample is not None else ""
    for one in case.values.determinations:
        doubt = too_little(case, one, soil)
        if doubt is not None:
            yield doubt


@error("coarse-incomplete", "common practice")
def coarse_incomplete(case: Test) -> Iterator[Doubt]:
    """The percent retained or specific gravity of coarse particles is missing."""
    stated = case.record.coarse
    if stated is not None and case.values.coarse is None and not case.inputs.alone:
        yield Doubt(
            field=("coarse",),
            found="not enough to include them",
            expected="percent retained and specific gravity of the particles retained, "
            "or a test by the same sieve that gives both",
            mend="enter both from the test of the coarse fraction, or delete coarse",
        )


RULES: tuple[Rule[Test], ...] = (
    specimen_unlike_method,
    oven_dry_not_for_soil,
    sieve_unlike_method,
    deairing_not_stated,
    deairing_too_short,
    soil_too_little,
    coarse_incomplete,
)
