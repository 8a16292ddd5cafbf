"""What a report says in sentences: departures, rejected points, cautions."""

from buildsite.kinds.answers import LaboratoryFacts
from buildsite.kinds.moisture_density.case import Test
from buildsite.kinds.moisture_density.sheet.facts import joined, person
from buildsite.kinds.sheet import Cell, Column, Note, Row, Table
from buildsite.record.flags import Flag, Severity, spell

CAUTIONS = (
    "Rammer: keep hands clear of the drop and the turning mold; guard a mechanical "
    "rammer and isolate it before clearing it. Wear ear protection.",
    "Oven: hot containers burn; use tongs and gloves, and put nothing flammable in.",
    "Dust: dry soil may hold silica; extract it or wear a mask when drying, breaking "
    "up and sieving. Treat unknown soil as contaminated.",
    "Lifting: samples and filled molds are heavy; share the load. Keep hands clear of "
    "the extruder and the straightedge.",
    "Follow your local rules and licensed practice; they come before this sheet.",
)


def rejected(case: Test) -> Note | None:
    """Points that stay on file and out of the curve."""
    paragraphs = tuple(
        f"Point {i + 1} was rejected by {person(case, point.rejected.by)}: "
        f"{point.rejected.reason}"
        for i, point in enumerate(case.record.points)
        if point.rejected is not None
    )
    return Note("rejected", "Rejected points", paragraphs) if paragraphs else None


def departures(case: Test) -> Note:
    """Departures from the method, or that there are none."""
    paragraphs = tuple(
        joined(
            f"Clause {one.clause}: {one.what}" if one.clause else one.what,
            one.reason,
            f"authorized by {person(case, one.authorized_by)}"
            if one.authorized_by
            else "",
            f"agreed with the customer on {one.customer_agreed_on}"
            if one.customer_agreed_on
            else "",
        )
        for one in case.record.deviations
    )
    return Note(
        "departures",
        "Departures from the method",
        paragraphs or ("None stated.",),
        role="deviation",
    )


def drawn(case: Test) -> Note | None:
    """A peak that a person drew, and why."""
    curve = case.record.curve
    if curve is None or curve.drawn is None:
        return None
    why = curve.reason or "no reason stated"
    text = f"The peak was drawn by {person(case, curve.by)}: {why}"
    return Note("drawn", "Drawn peak", (text,))


def outside(case: Test) -> Note | None:
    """Work that another laboratory did."""
    other = case.record.external
    if other is None:
        return None
    text = (
        f"Tested by {joined(other.laboratory, other.report)}; not by this laboratory."
    )
    return Note("external", "Result from another laboratory", (text,), role="statement")


def withdrawn(case: Test) -> Note | None:
    """That the test does not stand, and why."""
    if case.record.status != "withdrawn":
        return None
    why = case.record.withdrawn
    reason = why.reason if why is not None and why.reason else "no reason stated"
    when = f" on {why.on}" if why is not None and why.on else ""
    text = f"This test was withdrawn{when}: {reason}. Don't use its result."
    return Note("withdrawn", "Withdrawn", (text,), role="banner")


def statements(case: Test) -> Note:
    """What every report says of itself."""
    lab = case.inputs.get(LaboratoryFacts, "lab")
    paragraphs = [
        "The result concerns only the sample tested, as it was received.",
        "Copy this report only as a whole, unless the laboratory agrees in writing.",
    ]
    if lab is not None and lab.invented:
        paragraphs.insert(
            0, "The laboratory, its people, customers and data are invented."
        )
    return Note("statements", "Statements", tuple(paragraphs), role="statement")


def cautions() -> Note:
    """The usual cautions of the work."""
    return Note("cautions", "Cautions", CAUTIONS, role="caution")


def flag_table(flags: tuple[Flag, ...]) -> Table | None:
    """Errors and warnings that a report prints; notes are the laboratory's own."""
    printed = [flag for flag in flags if flag.severity is not Severity.NOTE]
    if not printed:
        return None
    rows = tuple(
        Row(
            (
                Cell(flag.flag, ("check", flag.flag)),
                Cell(spell(flag.field) or "—"),
                Cell(f"Found {flag.found}; expected {flag.expected}."),
                Cell(
                    f"Accepted by {flag.accepted_by}: {flag.accepted_reason}"
                    if flag.accepted_by
                    else "open"
                ),
            ),
            mark="accepted" if flag.accepted_by else str(flag.severity),
        )
        for flag in sorted(printed, key=lambda flag: (flag.severity.rank, flag.order))
    )
    columns = tuple(Column(label) for label in ("Flag", "Where", "What", "State"))
    return Table("flags", "Flags", columns, rows, role="flags")
