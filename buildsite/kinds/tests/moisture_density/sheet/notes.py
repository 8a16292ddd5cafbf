"""What the report of a compaction test says in sentences."""

from buildsite.kinds.sheet import Note
from buildsite.kinds.tests.moisture_density.case import Test
from buildsite.kinds.tests.shared.facts import person

CAUTIONS = (
    "Rammer: keep hands clear of the drop and the turning mold; guard a mechanical "
    "rammer and isolate it before clearing it. Wear ear protection.",
    "Oven: hot containers burn; use tongs and gloves, and put nothing flammable in.",
    "Dust: dry soil may hold silica; extract it or wear a mask when drying, breaking "
    "up and sieving. Treat unknown soil as contaminated.",
    "Lifting: samples and filled molds are heavy; share the load. Keep hands clear of "
    "the extruder and the straightedge.",
)


def drawn(case: Test) -> Note | None:
    """A peak that a person drew, and why."""
    curve = case.record.curve
    if curve is None or curve.drawn is None:
        return None
    why = curve.reason or "no reason stated"
    text = f"The peak was drawn by {person(case, curve.by)}: {why}"
    return Note("drawn", "Drawn peak", (text,))
