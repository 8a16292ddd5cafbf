"""Checks of a point against the curves that it is held against."""

from collections import Counter
from collections.abc import Iterator

from buildsite.kinds.field_answers import FamilyCurve
from buildsite.kinds.laboratory.family.checks import FEWEST, R_75
from buildsite.kinds.tests.field_density.places import position_words
from buildsite.kinds.tests.one_point.compute import UNREAD, Test
from buildsite.kinds.tests.one_point.wording import FULL_CURVE, STEPS_NEXT
from buildsite.kinds.tests.shared.completeness import gap_severity
from buildsite.record.flags import Doubt, Field, Rule, Severity, error, warning
from buildsite.soil.curves.family import Refused

T_272 = "AASHTO T 272-10, clause 1.2"
OPTIMUM = "WAQTC FOP T 272 (October 2004), note 1"


def curves_field(case: Test) -> Field:
    """Return the field that names or states the curves."""
    for name in ("members", "family", "reference"):
        if getattr(case.record, name):
            return (name,)
    return ("family",)


@error("one-point-without-curve", "AASHTO T 272-18, scope")
def one_point_without_curve(case: Test) -> Iterator[Doubt]:
    """A one-point that names no family and no curve, or several of them."""
    record = case.record
    named = [
        name for name in ("family", "reference", "members") if getattr(record, name)
    ]
    if len(named) != 1:
        yield Doubt(
            field=(named[1],) if named else ("family",),
            found=" and ".join(named) if named else "no family and no reference",
            expected="a family of curves, or one compaction test as reference",
            mend="keep the one that the point was held against"
            if named
            else "name the family that the soil belongs to",
            severity=None if named else gap_severity(case),
        )


@error("one-point-effort-missing", T_272)
def one_point_effort_missing(case: Test) -> Iterator[Doubt]:
    """A one-point that does not state the standard of its curves."""
    used = case.record.standard
    if case.values.effort is None:
        unknown = used.effort is not None
        yield Doubt(
            field=("standard", "effort"),
            found=f"{used.effort}, Method {used.method}" if unknown else "not stated",
            expected="T 99 or T 180, with a method that it has",
            mend="enter the standard by which the curves were compacted: T 272 serves "
            "both efforts",
            severity=None if unknown else gap_severity(case),
        )


def known_curves(case: Test) -> list[FamilyCurve]:
    """Return the curves whose method is known."""
    return [one for one in case.values.curves if one.designation]


@error("one-point-of-another-method", T_272)
def one_point_of_another_method(case: Test) -> Iterator[Doubt]:
    """A point compacted by another effort or method than its curves."""
    own, used = case.values.effort, case.record.standard
    if own is None:
        return
    for one in known_curves(case):
        other = one.effort and one.effort != own.effort
        if not other and one.method == used.method:
            continue
        yield Doubt(
            field=("standard", "effort" if other else "method"),
            found=f"{own.designation} Method {used.method}",
            expected=f"{one.designation} Method {one.method}, as {one.id}",
            mend="check the rammer and mold that were used; a point of another method "
            "tells nothing of these curves",
        )
        return


PROCEDURE = (
    ("preparation", ("preparation",), "preparation"),
    ("operation", ("rammer", "operation"), "rammer"),
    ("face", ("rammer", "face"), "rammer face"),
)


def as_compacted(case: Test, name: str) -> str:
    """Return how the specimen was prepared or compacted, as stated."""
    record = case.record
    part = record if name == "preparation" else record.rammer
    return str(getattr(part, name, None) or "")


@warning("one-point-procedure-unlike-curves", T_272)
def one_point_procedure_unlike_curves(case: Test) -> Iterator[Doubt]:
    """A preparation or a rammer other than that of the curves."""
    for name, field, words in PROCEDURE:
        own = as_compacted(case, name)
        theirs = Counter(
            stated for one in known_curves(case) if (stated := getattr(one, name))
        )
        if own and theirs and own not in theirs:
            usual = theirs.most_common(1)[0][0]
            yield Doubt(
                field=field,
                found=f"{words}: {own}",
                expected=f"{usual}, as the curves",
                mend="compact as the curves were; accept the flag where a comparison "
                "shows that it makes no difference",
            )


@warning("family-too-small", f"{R_75} 4.2")
def too_few_curves(case: Test) -> Iterator[Doubt]:
    """A family of fewer than three members."""
    many, record = len(case.values.curves), case.record
    named = record.family is not None or len(record.members) > 1
    if named and many < FEWEST:
        yield Doubt(
            field=curves_field(case),
            found=f"{many} curve{'' if many == 1 else 's'} with a peak",
            expected="three curves or more",
            mend="add curves to the family; a single curve is named as reference",
            severity=None if many else gap_severity(case),
        )


@warning("family-of-mixed-methods", f"{R_75} 4.1")
def mixed_curves(case: Test) -> Iterator[Doubt]:
    """Members of different methods, efforts or ways of preparation."""
    methods = Counter((one.designation, one.method) for one in known_curves(case))
    if len(methods) > 1:
        (designation, letter), _ = methods.most_common(1)[0]
        yield Doubt(
            field=curves_field(case),
            found="members by "
            + ", ".join(f"{name} {at}" for name, at in sorted(methods)),
            expected=f"one method, as {designation} {letter}",
            mend="leave the others out of the family",
        )


@warning("one-point-refused", OPTIMUM)
def one_point_refused(case: Test) -> Iterator[Doubt]:
    """A point that leads to no curve: outside the family, too dry or too wet."""
    found = case.values.found
    if not isinstance(found, Refused) or found.reason in (UNREAD.reason, "no-members"):
        return
    first, _, _ = case.values.why.partition(":")
    yield Doubt(
        field=("point",),
        found=first,
        expected="a point on or between the curves, at 80 to 100 % of the optimum",
        mend=STEPS_NEXT.get(found.reason, FULL_CURVE),
    )


@warning("one-point-without-place", "ISO/IEC 17025:2017, 7.5.1")
def one_point_without_place(case: Test) -> Iterator[Doubt]:
    """A one-point that names neither a sample nor where the soil was taken."""
    record = case.record
    place = record.sample or position_words(record)
    if not place and not case.inputs.alone:
        yield Doubt(
            field=("position",),
            found="neither sample nor position",
            expected="the sample compacted, or where the soil was taken",
            mend="enter the station and offset, or log the soil in as a sample",
            severity=None if record.status == "complete" else Severity.NOTE,
        )


RULES: tuple[Rule[Test], ...] = (
    one_point_without_curve,
    one_point_effort_missing,
    one_point_of_another_method,
    one_point_procedure_unlike_curves,
    too_few_curves,
    mixed_curves,
    one_point_refused,
    one_point_without_place,
)
