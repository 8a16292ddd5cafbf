"""Checks of the rammer: mass, drop, face and calibration."""

from collections.abc import Iterator

from buildsite.kinds.answers import DeviceFacts
from buildsite.kinds.limits import HAIR, in_unit, least_face, within
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.shared.rules.equipment import calibration_rule, devices
from buildsite.record.flags import Doubt, Field, Rule, warning
from buildsite.standards.method import Method

OTHER_RAMMER = 0.10
"""A rammer that differs by more in mass is another rammer, not a worn one."""


def is_other_rammer(facts: DeviceFacts, method: Method) -> bool:
    """Return whether a rammer's mass is far from the method's."""
    mass = facts.mass_kg
    return mass is not None and abs(mass / method.rammer_mass_kg - 1) > OTHER_RAMMER


@warning("rammer-unlike-method", "the method's rammer")
def rammer_unlike_method(case: Test) -> Iterator[Doubt]:
    """A rammer of a mass other than the method's."""
    method = case.method
    if method is None:
        return
    cell = method.cell("rammer_mass")
    for name, facts, _ in devices(case, "rammer"):
        if facts.mass_kg is not None and is_other_rammer(facts, method):
            yield Doubt(
                field=("equipment", name),
                found=f"{facts.id}, {in_unit(facts.mass_kg, cell)}",
                expected=f"{cell} in {method.designation}",
                mend="check which rammer was used, and the standard",
                basis=cell.basis,
            )


@warning("rammer-out-of-tolerance", "the method's tolerances of the rammer")
def rammer_out_of_tolerance(case: Test) -> Iterator[Doubt]:
    """A rammer whose mass or drop is outside the method's tolerance."""
    method = case.method
    if method is None:
        return
    for name, facts, _ in devices(case, "rammer"):
        if is_other_rammer(facts, method):
            continue
        for what, value in (
            ("rammer_mass", facts.mass_kg),
            ("rammer_drop", facts.drop_m),
        ):
            cell = method.cell(what)
            if value is not None and not within(cell, value):
                yield Doubt(
                    field=("equipment", name),
                    found=f"{facts.id}, {what.partition('_')[2]} "
                    f"{in_unit(value, cell)} on {facts.calibrated_on}",
                    expected=str(cell),
                    mend="adjust or replace the rammer and assess the tests that used "
                    "it; accept the flag for a mechanical one set by ASTM D2168",
                    basis=cell.basis,
                )


@warning("rammer-face-worn", "the method's limit of wear of the rammer's face")
def rammer_face_worn(case: Test) -> Iterator[Doubt]:
    """A round rammer face worn beyond the method's limit."""
    method = case.method
    if method is None:
        return
    limit = least_face(method)
    if limit is None:
        return
    least, cell = limit
    for name, facts, _ in devices(case, "rammer"):
        wide = facts.face_diameter_m
        if facts.face == "round" and wide is not None and wide < least * (1 - HAIR):
            yield Doubt(
                field=("equipment", name),
                found=f"{facts.id}, face {in_unit(wide, cell)} on "
                f"{facts.calibrated_on}",
                expected=f"at least {in_unit(least, cell)}",
                mend="replace the rammer foot and assess the tests that used it",
                basis=cell.basis,
            )


@warning("rammer-face-not-allowed", "the method's rammer faces")
def rammer_face_not_allowed(case: Test) -> Iterator[Doubt]:
    """A rammer face that the method does not allow in its mold."""
    method = case.method
    if method is None:
        return
    cell = method.cell("rammer_faces")
    stated = case.record.rammer.face if case.record.rammer is not None else None
    faces: list[tuple[Field, str]] = [
        (("equipment", name), facts.face) for name, facts, _ in devices(case, "rammer")
    ]
    if stated is not None:
        faces = [(("rammer", "face"), stated)]
    for field, face in faces:
        if face and face not in cell.choices:
            yield Doubt(
                field=field,
                found=f"{face} face",
                expected=f"{cell.value} face, for the {method.mold} mold",
                mend="check which rammer was used, and the letter of the method",
                basis=cell.basis,
            )


@warning("rammer-unlike-its-record", "common practice")
def rammer_unlike_its_record(case: Test) -> Iterator[Doubt]:
    """A rammer described differently in the test and in its record."""
    stated = case.record.rammer
    if stated is None:
        return
    for _, facts, _ in devices(case, "rammer"):
        for name in ("operation", "face"):
            here, there = getattr(stated, name), getattr(facts, name)
            if here and there and here != there:
                yield Doubt(
                    field=("rammer", name),
                    found=here,
                    expected=f"{there}, as in the record of {facts.id}",
                    mend="check which rammer was used",
                )


RULES: tuple[Rule[Test], ...] = (
    rammer_unlike_method,
    rammer_out_of_tolerance,
    rammer_face_worn,
    rammer_face_not_allowed,
    rammer_unlike_its_record,
    # Besides the mold, the only device with an interval in a compaction standard.
    calibration_rule("rammer", "calibration_interval"),
)
