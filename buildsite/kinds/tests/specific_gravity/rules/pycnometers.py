"""Checks of the pycnometers: in calibration, and unchanged since."""

from collections.abc import Iterator

from buildsite.kinds.answers import PycnometerFacts
from buildsite.kinds.reporting import to_places
from buildsite.kinds.tests.shared.rules.equipment import PROGRAM, lapsed_doubt
from buildsite.kinds.tests.specific_gravity.compute import Test, facts_of, stated_volume
from buildsite.kinds.tests.specific_gravity.links import each_pycnometer
from buildsite.record.flags import Doubt, Rule, error, note, warning
from buildsite.record.units import from_si, to_si
from buildsite.standards.cells import UNCHECKED
from buildsite.standards.tables import limit


@warning("pycnometer-out-of-calibration", PROGRAM)
def out_of_calibration(case: Test) -> Iterator[Doubt]:
    """A pycnometer had no calibration in force on the day of its use."""
    mend = "enter the calibration in force that day, or calibrate it again"
    for ref, facts in each_pycnometer(case):
        yield from lapsed_doubt(facts, ref.field, ref.on, mend=mend)


@error("pycnometer-without-volume", "common practice")
def without_volume(case: Test) -> Iterator[Doubt]:
    """Neither its calibration nor the test states the volume of a pycnometer."""
    for i, one in enumerate(case.record.determinations):
        facts = facts_of(case.record, one, case.inputs)
        unit = case.record.units.mass
        own = stated_volume(one, unit) if unit is not None else None
        if facts is not None and facts.volume_m3 is None and own is None:
            yield Doubt(
                field=("determinations", i),
                found=f"pycnometer {facts.id}, volume unknown",
                expected="a calibration with its mass and fillings, in force that day",
                mend="add the calibration to its record, or weigh it full of water and "
                "enter pycnometer_and_water",
            )


def lighter_or_heavier(case: Test, i: int, facts: PycnometerFacts) -> Iterator[Doubt]:
    """Doubt an empty mass unlike the calibrated one."""
    unit, empty = case.record.units.mass, case.record.determinations[i].pycnometer_mass
    if unit is None or empty is None or facts.mass_kg is None:
        return
    most = limit("pycnometer_mass_changed")
    if abs(to_si(empty, unit) - facts.mass_kg) > most.si * (1 + 1e-9):
        was = to_places(from_si(facts.mass_kg, "g"), 2)
        yield Doubt(
            field=("determinations", i, "pycnometer_mass"),
            found=f"{empty} {unit} for {facts.id}",
            expected=f"{was} g ± {most}, as calibrated",
            mend="clean and dry it; check for a different stopper or flask; else "
            "calibrate it again",
        )


def larger_or_smaller(case: Test, i: int, facts: PycnometerFacts) -> Iterator[Doubt]:
    """Doubt a volume unlike the calibrated one."""
    unit, was = case.record.units.mass, facts.volume_m3
    one = case.record.determinations[i]
    own = stated_volume(one, unit) if unit is not None else None
    most = limit("pycnometer_volume_changed")
    if own is None or was is None or abs(own - was) <= most.si:
        return
    yield Doubt(
        field=("determinations", i, "pycnometer_and_water"),
        found=f"{to_places(own * 1e6, 2)} cm³ for {facts.id}",
        expected=f"{to_places(was * 1e6, 2)} cm³ ± {most}, as calibrated",
        mend="remove all air and fill it again; check for a different stopper or flask",
    )


@warning("pycnometer-unlike-calibration", f"ASTM D854 ({UNCHECKED})")
def unlike_calibration(case: Test) -> Iterator[Doubt]:
    """The mass or volume of a pycnometer differs from its calibration."""
    for i, one in enumerate(case.record.determinations):
        facts = facts_of(case.record, one, case.inputs)
        if facts is not None:
            yield from lighter_or_heavier(case, i, facts)
            yield from larger_or_smaller(case, i, facts)


@note("pycnometer-used-twice", "common practice")
def used_twice(case: Test) -> Iterator[Doubt]:
    """One pycnometer is in two determinations, which can't be made at one time."""
    seen: dict[str, int] = {}
    for i, one in enumerate(case.record.determinations):
        if one.pycnometer is None or one.rejected is not None:
            continue
        first = seen.setdefault(one.pycnometer, i)
        if first != i:
            yield Doubt(
                field=("determinations", i, "pycnometer"),
                found=f"{one.pycnometer}, as in determination {first + 1}",
                expected="another pycnometer, or a note in the remarks",
                mend="check the number; no action if it was emptied and used again",
            )


RULES: tuple[Rule[Test], ...] = (
    out_of_calibration,
    without_volume,
    unlike_calibration,
    used_twice,
)
