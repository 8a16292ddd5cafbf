"""A family of curves: which compaction tests belong to it."""

from dataclasses import replace

from buildsite.kinds.blank import Ask, Blank
from buildsite.kinds.field_answers import CompactedAs, FamilyCurve, FamilyFacts
from buildsite.kinds.kind import Inputs, Kind, Ref, late
from buildsite.kinds.laboratory.family.checks import RULES
from buildsite.kinds.laboratory.family.model import Family, FamilyCase
from buildsite.standards.method import Method

MEMBERS = ("moisture-density",)
"""Kinds of test that may be members."""


def needs(record: Family) -> tuple[Ref, ...]:
    """Return the questions to each member: its curve, and how it was compacted."""
    refs: dict[tuple[str, str, str], Ref] = {}
    for i, id in enumerate(record.members):
        where = ("members", i)
        for ref in (
            Ref(FamilyCurve, MEMBERS, id, where),
            Ref(CompactedAs, MEMBERS, id, where, silent=True, bare=True),
        ):
            refs.setdefault(ref.key, ref)
    return tuple(refs.values())


def compute(record: Family, inputs: Inputs, method: Method | None) -> FamilyFacts:
    """Return the curves of the members, in the order written."""
    found, without = [], []
    for id in dict.fromkeys(record.members):
        curve, made = inputs.get(FamilyCurve, id), inputs.get(CompactedAs, id)
        if curve is None:
            without.append(id)
        elif made is None:
            found.append(curve)
        else:
            found.append(
                replace(
                    curve,
                    designation=made.designation,
                    edition=made.edition,
                    method=made.method,
                    effort=made.effort,
                    preparation=made.preparation,
                    operation=made.operation,
                    face=made.face,
                )
            )
    return FamilyFacts(record.id, tuple(found), tuple(without))


def answers(case: FamilyCase, ref: Ref) -> FamilyFacts | None:
    """Return the curves of the family."""
    return case.values if ref.asks is FamilyFacts else None


BLANK = Blank(
    """format: 1
kind: family-of-curves
id: {id}
project: {project}
name: {name}
source: {source}            # where the soils come from: one source
members: {members}   # compaction tests of one method and effort, three or more
""",
    prefix="family",
    asks=(
        Ask("project", "Project (folder name)"),
        Ask("name", "Name of the family", ""),
        Ask("source", "Source of the soils", ""),
        Ask(
            "members",
            "Members, test numbers with commas between",
            "",
            split=lambda text: [one.strip() for one in text.split(",") if one.strip()],
        ),
    ),
)

KIND: Kind[Family, FamilyFacts] = Kind(
    name="family-of-curves",
    title="Family of curves",
    group="family",
    model=Family,
    needs=needs,
    answers=answers,
    compute=compute,
    sheet=late(f"{__name__}.sheet", "sheet"),
    particulars=late("buildsite.kinds.particulars.family", "particulars"),
    rules=RULES,
    blank=BLANK,
)
