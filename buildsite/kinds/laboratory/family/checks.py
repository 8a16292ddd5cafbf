"""Checks of a family of curves."""

from collections import Counter
from collections.abc import Iterator

from buildsite.kinds.field_answers import FamilyCurve, FamilyFacts
from buildsite.kinds.laboratory.family.model import FamilyCase
from buildsite.record.flags import Doubt, Field, Rule, error, warning
from buildsite.soil.curves.family import Member, turns_back

FEWEST = 3
"""Curves of a family at least: AASHTO R 75-16, 4.2."""

R_75 = "AASHTO R 75-16, clause"


def members_of(facts: FamilyFacts) -> list[Member]:
    """Return the members that have a curve, as the rule for one point takes them."""
    return [
        Member(
            one.id,
            one.peak.optimum_water_content,
            one.peak.maximum_dry_density,
            one.line,
        )
        for one in facts.members
    ]


def place_of(case: FamilyCase, id: str) -> Field:
    """Return the field of a member."""
    members = case.record.members
    return ("members", members.index(id)) if id in members else ("members",)


@warning("family-too-small", f"{R_75} 4.2")
def family_too_small(case: FamilyCase) -> Iterator[Doubt]:
    """A family of fewer than three members."""
    members = case.record.members
    many = len(set(members))
    if many < FEWEST:
        yield Doubt(
            field=("members",),
            found=f"{many} member{'' if many == 1 else 's'}",
            expected="three curves or more",
            mend="add tests of the same source; a single curve is named as the "
            "reference of a one-point itself",
        )


@error("family-member-twice", "common practice")
def family_member_twice(case: FamilyCase) -> Iterator[Doubt]:
    """A test listed twice in a family."""
    members = case.record.members
    for id, many in Counter(members).items():
        if many > 1:
            yield Doubt(
                field=("members", len(members) - 1 - members[::-1].index(id)),
                found=f"{id}, listed {many} times",
                expected="each member once",
                mend="delete the line, or enter the test that was meant",
            )


def made_as(one: FamilyCurve) -> tuple[str, str]:
    """Return standard and method of a member, as written."""
    return one.designation, one.method


@warning("family-of-mixed-methods", f"{R_75} 4.1")
def family_of_mixed_methods(case: FamilyCase) -> Iterator[Doubt]:
    """Members of different methods, efforts or ways of preparation."""
    known = [one for one in case.values.members if one.designation]
    if not known:
        return
    (designation, method), _ = Counter(map(made_as, known)).most_common(1)[0]
    for one in known:
        if made_as(one) != (designation, method):
            yield Doubt(
                field=place_of(case, one.id),
                found=f"{one.id}, {one.designation} Method {one.method}",
                expected=f"{designation} Method {method}, as the others",
                mend="leave it out: a family is of one method and effort",
            )
    preparations = Counter(one.preparation for one in known if one.preparation)
    if len(preparations) > 1:
        usual = preparations.most_common(1)[0][0]
        for one in known:
            if one.preparation not in ("", usual):
                yield Doubt(
                    field=place_of(case, one.id),
                    found=f"{one.id}, prepared {one.preparation}",
                    expected=f"prepared {usual}, as the others",
                    mend="leave it out, or accept the flag if the soil is the same "
                    "either way",
                    basis="common practice",
                )


@warning("family-out-of-line", f"{R_75} 4.3")
def family_out_of_line(case: FamilyCase) -> Iterator[Doubt]:
    """A member that is denser than another with a drier optimum."""
    known = {one.id: one.peak for one in case.values.members}
    for drier, wetter in turns_back(members_of(case.values)):
        yield Doubt(
            field=place_of(case, wetter),
            found=f"{wetter}, optimum {known[wetter].reported_water} %, at least as "
            f"dense as {drier}, optimum {known[drier].reported_water} %",
            expected="lower maximums at higher optimums, along one line",
            mend="check both tests; a soil of another source does not belong to it",
        )


RULES: tuple[Rule[FamilyCase], ...] = (
    family_too_small,
    family_member_twice,
    family_of_mixed_methods,
    family_out_of_line,
)
