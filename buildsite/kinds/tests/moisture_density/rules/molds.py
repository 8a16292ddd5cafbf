"""Checks of the molds: size, calibration, volume and mass."""

from collections.abc import Iterator

from buildsite.kinds.across import ALLOWED_KG
from buildsite.kinds.answers import MoldFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.limits import in_unit, within
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.links import mold_refs
from buildsite.kinds.tests.moisture_density.specimens import mold_id
from buildsite.kinds.tests.shared.completeness import gap_severity, points_text
from buildsite.kinds.tests.shared.rules.equipment import PROGRAM, lapsed_doubt
from buildsite.record.flags import Doubt, Rule, Severity, error, warning
from buildsite.record.reading import resolution
from buildsite.record.units import POUND, from_si, to_si
from buildsite.soil.rounding import plain, round_half_even
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method

VOLUME = "common practice: density is mass over the mold's calibrated volume"

OTHER_MOLD = 0.10
"""A mold that differs by more in volume is another mold, not a worn one."""


def molds(case: Test) -> Iterator[tuple[Ref, MoldFacts]]:
    """Yield each mold, once for each field that names it and each day of use."""
    seen = set()
    for ref in mold_refs(case.record):
        if (ref.field, ref.on) in seen:
            continue
        seen.add((ref.field, ref.on))
        facts = case.inputs.get(MoldFacts, ref.id, ref.on)
        if facts is not None:
            yield ref, facts


@error("mold-missing", VOLUME)
def mold_missing(case: Test) -> Iterator[Doubt]:
    """Soil weighed in a mold of unknown volume."""
    record = case.record
    without = [
        i + 1
        for i, point in enumerate(record.points)
        if point.mold_and_wet_soil is not None
        and mold_id(record, point) is None
        and record.mold_volume is None
    ]
    if without:
        yield Doubt(
            field=("equipment", "mold"),
            found=f"no mold for {points_text(without)}",
            expected="the mold by its id, or mold_volume",
            mend="enter the id of the mold that was filled",
            severity=gap_severity(case),
        )


@warning("mold-out-of-calibration", PROGRAM)
def mold_out_of_calibration(case: Test) -> Iterator[Doubt]:
    """A mold without a calibration in force on the day of its use."""
    interval = case.cell("calibration_interval")
    for ref, facts in molds(case):
        if facts.calibrated_on is not None:
            yield from lapsed_doubt(facts, ref.field, ref.on, interval)


@warning("nominal-mold-volume", VOLUME)
def nominal_mold_volume(case: Test) -> Iterator[Doubt]:
    """A mold without a calibrated volume: the nominal one is used."""
    method = case.method
    for ref, facts in molds(case):
        if facts.volume_m3 is not None:
            continue
        when = f" by {ref.on}" if ref.on is not None else ""
        taken = (
            f"; {method.cell('mold_volume')} is used"
            if method is not None
            else "; no nominal volume is known"
        )
        yield Doubt(
            field=ref.field,
            found=f"{facts.id}, no calibrated volume{when}{taken}",
            expected="the volume of this mold, calibrated before the test",
            mend="calibrate the mold and enter it: 0.5 % in volume is 0.5 % in density",
            severity=None if method is not None else gap_severity(case),
        )


@warning("mold-volume-not-on-file", VOLUME)
def mold_volume_not_on_file(case: Test) -> Iterator[Doubt]:
    """A mold volume whose calibration is not on file."""
    record = case.record
    named = record.equipment is not None and record.equipment.mold is not None
    if record.mold_volume is not None and not (named or case.inputs.alone):
        yield Doubt(
            field=("mold_volume",),
            found=f"{record.mold_volume} {record.units.volume or ''}".strip(),
            expected="a mold by its id, with its calibration",
            mend="enter the mold under equipment; state a volume only for transcribed "
            "results",
        )


def is_other_mold(facts: MoldFacts, method: Method) -> bool:
    """Return whether a mold is not of the method's size, by volume or by name."""
    alike = facts.nominal.casefold().split() == method.mold.casefold().split()
    if facts.volume_m3 is None:
        return not alike
    cell = method.cell("mold_volume")
    off = abs(facts.volume_m3 / method.mold_volume_m3 - 1)
    worn = method.mold_wear_percent or 0.0
    return off > OTHER_MOLD or not (alike or within(cell, facts.volume_m3, worn))


@warning("mold-unlike-method", "the method's mold")
def mold_unlike_method(case: Test) -> Iterator[Doubt]:
    """A mold not of the method's size."""
    method = case.method
    if method is None:
        return
    cell = method.cell("mold")
    for ref, facts in molds(case):
        if is_other_mold(facts, method):
            volume = (
                f", {in_unit(facts.volume_m3, method.cell('mold_volume'))}"
                if facts.volume_m3 is not None
                else ""
            )
            yield Doubt(
                field=ref.field,
                found=f"{facts.id}, {facts.nominal}{volume}",
                expected=f"a {cell} mold in {method.designation}, Method {method.name}",
                mend="check which mold was used, and the letter of the method",
                basis=cell.basis,
            )


@warning("mold-out-of-tolerance", "the method's tolerances of the mold")
def mold_out_of_tolerance(case: Test) -> Iterator[Doubt]:
    """A mold whose volume or size is outside the method's tolerance."""
    method = case.method
    if method is None:
        return
    yield from stated_volume_off(case, method)
    for ref, facts in molds(case):
        if is_other_mold(facts, method):
            continue
        for name, value in (
            ("mold_volume", facts.volume_m3),
            ("mold_diameter", facts.diameter_m),
            ("mold_height", facts.height_m),
        ):
            cell = method.cell(name)
            if value is None or within(cell, value):
                continue
            worn, allowed = in_service(method, cell, value)
            yield Doubt(
                field=ref.field,
                found=f"{facts.id}, {name.partition('_')[2]} {in_unit(value, cell)}",
                expected=f"{cell}{allowed}",
                mend="watch its wear: its measured volume is used"
                if worn
                else "take the mold out of service and assess the tests that used it",
                severity=Severity.NOTE if worn else None,
                basis=cell.basis,
            )


def in_service(method: Method, cell: Cell, value: float) -> tuple[bool, str]:
    """Return whether a value is within what a worn mold may have, and that limit."""
    wear = method.mold_wear_percent
    worn = wear is not None and within(cell, value, wear)
    times = 1 + (wear or 0.0) / 100
    return worn, f"; in-service limit: {times:g} × tolerance" if wear else ""


UNTOLERATED = 0.02
"""Allowed of a stated volume where the method gives no tolerance: what the tolerances
of diameter and height of BS 1377-4 amount to, 105.0 ± 0.5 and 115.5 ± 1.0 mm. [1]"""


def stated_volume_off(case: Test, method: Method) -> Iterator[Doubt]:
    """Doubt a stated volume that no mold of the method has."""
    record, cell = case.record, method.cell("mold_volume")
    stated, unit = record.mold_volume, record.units.volume
    if stated is None or unit is None:
        return
    volume = to_si(stated, unit)
    far = abs(volume / cell.si - 1) > UNTOLERATED
    if not far if cell.si_tolerance is None else within(cell, volume):
        return
    worn, allowed = in_service(method, cell, volume)
    yield Doubt(
        field=("mold_volume",),
        found=f"{stated} {unit}",
        expected=f"{cell}{allowed}",
        mend="check the volume, its unit and the method: 1 % in volume is 1 % in "
        "density",
        severity=Severity.NOTE if worn else None,
        basis=cell.basis,
    )


def stated_apart(one: str | None, other: str | None) -> bool:
    """Return whether both are stated, and differ."""
    return bool(one and other and one != other)


@warning("weighed-unlike-calibrated", "common practice")
def weighed_unlike_calibrated(case: Test) -> Iterator[Doubt]:
    """A mold weighed with its base plate, calibrated without, or vice versa."""
    stated = case.record.weighed_with
    for _, facts in molds(case):
        if stated and stated_apart(stated, facts.weighed_with):
            yield Doubt(
                field=("weighed_with",),
                found=stated,
                expected=f"{facts.weighed_with}, as {facts.id} was calibrated",
                mend="ask the operator: weigh a mold as it was calibrated",
            )
            return


@warning("weighed-unlike-method", "the method's way of weighing the mold")
def weighed_unlike_method(case: Test) -> Iterator[Doubt]:
    """A mold weighed with or without its base plate, unlike the method."""
    stated, cell = case.record.weighed_with, case.cell("weighed_with")
    if stated is not None and cell is not None and stated not in cell.choices:
        yield Doubt(
            field=("weighed_with",),
            found=stated,
            expected=cell.value,
            mend="ask the operator; if it was done so, state it as a departure",
            basis=cell.basis,
        )


NEAR = 0.05
"""Relative tolerance of a ratio between two units: common practice."""


def is_mistaken_unit(times: float) -> bool:
    """Return whether the ratio of two masses suggests a mistaken unit."""
    pounds = float(POUND)
    units = (1000.0, 1 / pounds, 1000 * pounds)
    factors = (10.0, 100.0, *units, *(1 / one for one in units), 0.1, 0.01)
    return any(abs(times / factor - 1) < NEAR for factor in factors)


def mass_text(mass: float) -> str:
    """Write a mass without trailing zeros."""
    text = plain(round_half_even(mass, 3))
    return text.rstrip("0").rstrip(".") if "." in text else text


@warning("mold-mass-unlike-calibrated", "common practice")
def mold_mass_unlike_calibrated(case: Test) -> Iterator[Doubt]:
    """An empty mold that does not weigh as calibrated."""
    record = case.record
    unit, stated = record.units.compacted, record.mold_mass
    if unit is None or stated is None:
        return
    for ref, facts in molds(case):
        if ref.field != ("equipment", "mold") or facts.mass_kg is None:
            continue
        if stated_apart(record.weighed_with, facts.weighed_with):
            continue  # flagged as weighed unlike calibrated
        allowed = max(ALLOWED_KG, to_si(resolution(stated), unit)) * 1.0001
        if abs(to_si(stated, unit) - facts.mass_kg) > allowed:
            then = from_si(facts.mass_kg, unit)
            times = to_si(stated, unit) / facts.mass_kg if facts.mass_kg else 1.0
            yield Doubt(
                field=("mold_mass",),
                found=f"{stated} {unit} for mold {facts.id}",
                expected=f"{mass_text(then)} {unit}, as calibrated "
                f"on {facts.calibrated_on}",
                mend="check the unit and the decimal point"
                if is_mistaken_unit(times)
                else "weigh the empty mold again; check it for soil and for exchanged "
                "parts",
            )
            return


RULES: tuple[Rule[Test], ...] = (
    mold_missing,
    mold_out_of_calibration,
    nominal_mold_volume,
    mold_volume_not_on_file,
    mold_unlike_method,
    mold_out_of_tolerance,
    weighed_unlike_calibrated,
    weighed_unlike_method,
    mold_mass_unlike_calibrated,
)
