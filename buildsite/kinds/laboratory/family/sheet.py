"""The page of a family: all curves and the line through their peaks on one figure."""

from collections import Counter
from collections.abc import Sequence

from buildsite.kinds.field_answers import FamilyCurve, FamilyFacts
from buildsite.kinds.laboratory.family.checks import members_of
from buildsite.kinds.laboratory.family.model import FamilyCase
from buildsite.kinds.reporting import point_density, to_places
from buildsite.kinds.sheet import (
    Cell,
    Column,
    Dot,
    DrawnCurve,
    Line,
    Note,
    Plot,
    Row,
    Sheet,
    Table,
    fact_table,
    packed_line,
)
from buildsite.kinds.tests.moisture_density.sheet.figure import (
    STEPS,
    density_axis,
    raised_for_air_voids,
    water_axis,
    zero_air_voids_line,
)
from buildsite.kinds.tests.shared.facts import join_known
from buildsite.record.flags import Flag
from buildsite.record.units import from_si, unit
from buildsite.soil.curves import Solids
from buildsite.soil.curves.family import spine

DENSITY, WATER = "Dry density", "Moisture content"
"""Words of AASHTO R 75 and T 272 for the axes."""

HOW = (
    "A one-point between two members takes the curve between them: its peak lies on "
    "the straight line between theirs, and below the peak it falls as both do, mixed "
    "in the same proportion. The point must lie at 80 to 100 % of the optimum that it "
    "leads to (AASHTO T 272)."
)


def unit_of(members: Sequence[FamilyCurve]) -> str:
    """Return the density unit of most members."""
    known = Counter(one.density_unit for one in members if one.density_unit in STEPS)
    return known.most_common(1)[0][0] if known else "kg/m3"


def solids_of(members: Sequence[FamilyCurve]) -> Solids | None:
    """Return the lightest solids of the members, whose line comes first."""
    known = [
        Solids(float(one.specific_gravity.value), one.water_density)
        for one in members
        if one.specific_gravity is not None and one.water_density
    ]
    return min(known, default=None)


def spine_line(facts: FamilyFacts, name: str) -> Line:
    """Return the line through the peaks."""
    ordered = spine(members_of(facts))
    return Line(
        "drop",
        tuple(one.optimum for one in ordered),
        tuple(from_si(one.peak, name) for one in ordered),
        "spine",
    )


def figure(facts: FamilyFacts) -> Plot | None:
    """Return all curves, the spine and zero air voids; None without a curve."""
    members = facts.members
    if not members:
        return None
    name = unit_of(members)
    places = [place for one in members for place in (*one.line, *one.points)]
    x = water_axis([water for water, _ in places], WATER, centred=True)
    densities = [from_si(dry, name) for _, dry in places]
    densities += [from_si(one.peak.maximum_dry_density, name) for one in members]
    y = density_axis(densities, name, DENSITY, centred=True)
    solids = solids_of(members)
    y = raised_for_air_voids(solids, name, x, y)
    lines = [
        Line(
            "curve",
            tuple(water for water, _ in one.line),
            tuple(from_si(dry, name) for _, dry in one.line),
            one.id,
        )
        for one in members
    ]
    lines.append(spine_line(facts, name))
    if solids is not None:
        label = f"zero air voids, Gs {solids.specific_gravity:g}"
        voids = zero_air_voids_line(solids, name, x, y, label)
        lines += [voids] if voids is not None else []
    peaks = tuple(
        Dot(
            "peak",
            one.peak.optimum_water_content,
            from_si(one.peak.maximum_dry_density, name),
        )
        for one in members
    )
    alt = "; ".join(
        f"{one.id}: peak of {one.peak.reported_density} {unit(name).shown} at "
        f"{one.peak.reported_water} %"
        for one in members
    )
    return Plot(
        name="family",
        title="Family of curves",
        x=x,
        y=y,
        lines=tuple(lines),
        dots=peaks,
        alt=f"{alt}.",
        caption="Dotted: the spine, the line through the peaks.",
        several=tuple((one.id, drawn_curve(one)) for one in members),
    )


def drawn_curve(member: FamilyCurve) -> DrawnCurve:
    """Return the curve of a member, to be read off the figure."""
    gravity = member.specific_gravity
    return DrawnCurve(
        unit=member.density_unit,
        line=packed_line(member.line),
        peak=(member.peak.optimum_water_content, member.peak.maximum_dry_density),
        maximum=str(member.peak.reported_density),
        optimum=str(member.peak.reported_water),
        specific_gravity=float(gravity.value) if gravity is not None else None,
        water_density=member.water_density,
    )


def member_table(facts: FamilyFacts) -> Table:
    """Return the members along the spine."""
    name = unit_of(facts.members)
    known = {one.id: one for one in facts.members}
    numbers = {one.id: number for number, one in enumerate(facts.members, start=1)}
    rows = []
    for member in spine(members_of(facts)):
        revision = known[member.id].revision.removeprefix(member.id).strip()
        rows.append(
            Row(
                (
                    Cell(member.id, ("test", member.id)),
                    Cell(revision or "not issued"),
                    Cell(point_density(member.peak, name)),
                    Cell(to_places(member.optimum, 1)),
                ),
                point=numbers[member.id],
            )
        )
    rows += [
        Row((Cell(id, ("test", id)), Cell("no curve"), Cell("—"), Cell("—")))
        for id in facts.without
    ]
    return Table(
        "members",
        "Members",
        (
            Column("Test"),
            Column("Revision"),
            Column("Maximum dry density", unit(name).shown, number=True),
            Column("Optimum moisture content", "%", number=True),
        ),
        tuple(rows),
        role="pairs",
        note=HOW,
    )


def shared_fact(values: Sequence[str]) -> str:
    """Return what all members share; their number where they differ."""
    known = sorted({value for value in values if value})
    return known[0] if len(known) == 1 else f"differs: {', '.join(known)}" * bool(known)


def about(case: FamilyCase) -> Table:
    """Return where the soils come from, and how the members were compacted."""
    members = case.values.members
    rammers = [
        join_known(m.operation, f"{m.face} face" * bool(m.face)) for m in members
    ]
    facts = (
        ("Source of the soils", case.record.source or ""),
        ("Method", shared_fact([f"{m.designation} {m.method}" for m in members])),
        ("Effort", shared_fact([m.effort for m in members])),
        ("Preparation", shared_fact([m.preparation for m in members])),
        ("Rammer", shared_fact(rammers)),
    )
    return fact_table("about", "About", facts)


def sheet(case: FamilyCase, flags: tuple[Flag, ...]) -> Sheet:
    """Return the page of a family."""
    record, facts = case.record, case.values
    remarks = Note("remarks", "Remarks", (record.remarks,)) if record.remarks else None
    blocks = (figure(facts), member_table(facts), about(case), remarks)
    return Sheet(
        record.name or record.id,
        f"Family of curves {record.id}" if record.name else "Family of curves",
        tuple(block for block in blocks if block is not None),
    )


def issued_sheet(facts: FamilyFacts) -> Sheet:
    """Return the page for clients: the members that were issued, and as issued."""
    blocks = (figure(facts), member_table(facts))
    return Sheet(
        facts.id,
        "Family of curves: reports issued",
        tuple(block for block in blocks if block is not None),
    )
