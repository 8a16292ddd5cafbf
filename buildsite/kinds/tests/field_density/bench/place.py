"""Where the test is made, by whom, and what it is compared with."""

from collections.abc import Iterator

from buildsite.kinds.bench_spec import Part, Reading
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.shared.bench import basis

SIDES = ("left", "right", "centerline")


def text(name: str, words: str, *, needed: bool = True, paper: bool = False) -> Reading:
    """Return a question for a text."""
    return Reading(name, words, takes="text", needed=needed, paper=paper)


def place_parts(case: Test) -> Iterator[Part]:
    """Yield the parts on the place, the reference and the person."""
    record, place = case.record, case.record.position
    unit = record.units.position or ""
    otherwise = place is not None and any(
        one is not None for one in (place.easting, place.latitude)
    )
    along = (
        text("position.station", "Station", needed=not otherwise),
        Reading("position.offset", "Offset", unit, needed=False, paper=otherwise),
        Reading(
            "position.side",
            "Side",
            takes="choice",
            choices=SIDES,
            needed=False,
            paper=place is None or place.offset is None,
        ),
        Reading("position.elevation", "Elevation", unit, needed=False, paper=True),
        Reading(
            "position.depth_below_grade",
            "Depth below grade",
            unit,
            needed=False,
            paper=True,
        ),
    )
    yield Part(
        "Place",
        (),
        (
            text("zone", "Zone"),
            text("lift", "Lift"),
            *along,
            text("reference", "Reference: compaction test or one-point"),
        ),
    )
    yield Part(
        "Test",
        ("tested",),
        (
            Reading("on", "Tested on", takes="day"),
            Reading("by", "Tested by", takes="code"),
            text("at", "Time of day (hh:mm)", needed=False, paper=True),
        ),
    )


def size_reading(case: Test, cell: str) -> Reading:
    """Return the question for the largest particle, on which the least hole depends."""
    return Reading(
        "largest_particle",
        "Finest sieve that all of the soil passes",
        takes="text",
        basis=basis(case.method, cell),
    )
