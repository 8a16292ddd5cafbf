"""Where and when the demo's field tests were made: twelve days over three zones."""

from dataclasses import dataclass, field, replace
from datetime import date

PIT_4 = "borrow pit 4"
PIT_5, QUARRY, SAND = "HF-S13", "HF-S04", "HF-S02"
"""Samples of the soils that are told by their source."""

EMBANKMENT, UPPER, ABUTMENT = "embankment", "upper 2 ft", "abutment backfill"


@dataclass(frozen=True)
class Lift:
    """A lift as placed: its soil, what it is judged by, and how it was rolled."""

    zone: str
    number: str
    soil: str  # a sample, or the pit of the family
    reference: str
    basis: str
    place: float = 0.0  # along the family, for soil of borrow pit 4
    loose: int = 10  # thickness [in]
    compacted: int = 8
    roller: str = "padfoot, 12 t"

    @property
    def effort(self) -> str:
        """Effort of the zone's standard."""
        return "standard" if self.zone == EMBANKMENT else "modified"


E4 = Lift(EMBANKMENT, "4", PIT_4, "HF-P0001", "one-point", 0.6)
E5 = Lift(EMBANKMENT, "5", PIT_4, "HF-P0002", "one-point", 1.4)
E6 = Lift(EMBANKMENT, "6", PIT_4, "HF-P0003", "one-point", 2.5)
E7 = Lift(EMBANKMENT, "7", PIT_5, "HF-0129", "source")
E8 = replace(E7, number="8")
E9 = replace(E7, number="9")
U1 = Lift(
    UPPER, "1", QUARRY, "HF-0109", "source", loose=8, compacted=6, roller="smooth, 14 t"
)
U2, U3 = replace(U1, number="2"), replace(U1, number="3")
A1 = Lift(
    ABUTMENT,
    "1",
    SAND,
    "HF-0120",
    "source",
    loose=8,
    compacted=6,
    roller="trench roller, 1.5 t",
)
A2, A3, A4 = (replace(A1, number=number) for number in "234")
LIFTS = (E4, E5, E6, E7, E8, E9, U1, U2, U3, A1, A2, A3, A4)

CONE, GAUGE, CYLINDER = "sand-cone", "nuclear-gauge", "drive-cylinder"


@dataclass(frozen=True)
class Planned:
    """
    One field test as planned.

    `off` is the water content from the optimum of the soil [points], `passes` those of
    the roller at that place, `part` a share of the laboratory's density where the plan
    states one. `after` is the test (its place in `TESTS`) that this one retests.
    """

    on: date
    at: str
    by: str
    lift: Lift
    station: str
    offset: str
    side: str
    apparatus: str
    passes: int = 9
    off: float = 0.0
    part: float | None = None
    purpose: str = "acceptance"
    retest_of: str = ""
    check_of: str = ""
    rework: str = ""
    words: tuple[str, ...] = field(default=())


def day(number: int, month: int = 11) -> date:
    """A day of 2026."""
    return date(2026, month, number)


def row(
    on: date, by: str, lift: Lift, *tests: tuple[str, str, str, str, str, int, float]
) -> list[Planned]:
    """Several tests of a lift on a day."""
    return [
        Planned(on, at, by, lift, station, offset, side, apparatus, passes, off)
        for at, station, offset, side, apparatus, passes, off in tests
    ]


def tests() -> tuple[Planned, ...]:
    """Every field test in the order of the work, numbered from HF-F0001 by it."""
    found: list[Planned] = []
    add = found.extend
    # 1, 2 November: lift 4, one place under-rolled at the edge.
    add(
        row(
            day(2),
            "T07",
            E4,
            ("09:20", "12+40", "3.2", "left", CONE, 9, -0.4),
            ("10:35", "13+10", "4.5", "right", CONE, 10, 0.6),
            ("13:05", "13+80", "9.8", "left", CONE, 6, -0.2),
            ("14:20", "14+30", "1.0", "right", CONE, 9, 0.3),
        )
    )
    add(
        [
            replace(
                found[2],
                on=day(3),
                at="09:10",
                passes=11,
                off=0.0,
                retest_of="HF-F0003",
                rework="Edge of the lift rolled again, 5 passes",
            )
        ]
    )
    add(
        row(
            day(3),
            "T04",
            A1,
            ("10:00", "20+05", "1.5", "left", GAUGE, 9, -0.3),
            ("10:30", "20+10", "2.5", "left", GAUGE, 10, 0.2),
            ("11:10", "20+15", "1.5", "right", GAUGE, 10, -0.5),
            ("11:40", "20+20", "2.5", "right", GAUGE, 9, 0.1),
        )
    )
    # 3, 4: lift 5, gauge and sand cone side by side; one place too dry.
    add(
        row(
            day(4),
            "T07",
            E5,
            ("09:15", "12+60", "2.0", "left", GAUGE, 9, -0.6),
            ("10:05", "13+20", "5.0", "right", GAUGE, 10, 0.4),
            ("13:00", "13+90", "3.0", "left", CONE, 10, -3.2),
            ("14:10", "14+50", "6.0", "right", GAUGE, 9, 0.1),
        )
    )
    add(
        [
            replace(
                found[9],
                at="09:45",
                apparatus=CONE,
                purpose="assurance",
                check_of="HF-F0010",
            ),
            replace(
                found[11],
                on=day(5),
                at="09:30",
                passes=11,
                off=-0.4,
                retest_of="HF-F0012",
                rework="Scarified, watered, mixed and rolled again",
            ),
        ]
    )
    add(
        row(
            day(5),
            "T04",
            A2,
            ("10:20", "20+05", "2.0", "left", GAUGE, 10, -0.2),
            ("10:50", "20+10", "1.0", "right", GAUGE, 9, 0.3),
            ("11:20", "20+15", "2.0", "right", GAUGE, 10, 0.0),
            ("11:50", "20+20", "1.0", "left", GAUGE, 9, -0.4),
        )
    )
    # 5: lift 6 by drive cylinder and cone; a test of the contractor's own rolling.
    add(
        row(
            day(6),
            "T07",
            E6,
            ("09:10", "12+50", "4.0", "right", CYLINDER, 9, 0.2),
            ("09:50", "13+00", "2.5", "left", CYLINDER, 10, 0.5),
            ("10:45", "13+70", "6.0", "right", CONE, 9, -0.3),
            ("13:15", "14+40", "3.5", "left", CONE, 10, 0.4),
        )
    )
    add(
        [
            replace(
                found[-1],
                at="08:20",
                station="14+80",
                apparatus=GAUGE,
                passes=7,
                purpose="contractor-control",
            )
        ]
    )
    # 6: lift 7, soil of borrow pit 5 from here on.
    add(
        row(
            day(9),
            "T07",
            E7,
            ("09:05", "12+30", "2.0", "right", CONE, 10, 0.3),
            ("10:15", "13+00", "5.5", "left", CONE, 9, 0.6),
            ("13:10", "13+60", "8.0", "right", CONE, 10, -0.5),
            ("14:25", "14+20", "3.0", "left", CONE, 10, 0.2),
        )
    )
    # 7: the upper 2 ft, quarry material with stones.
    add(
        row(
            day(10),
            "T04",
            U1,
            ("09:00", "15+10", "3.0", "left", GAUGE, 10, -0.2),
            ("09:40", "15+60", "4.0", "right", GAUGE, 10, 0.2),
            ("10:30", "16+10", "2.0", "left", GAUGE, 11, -0.3),
            ("11:15", "16+60", "5.0", "right", GAUGE, 10, 0.0),
        )
    )
    add(
        [
            replace(
                found[-4],
                at="13:20",
                apparatus=CONE,
                purpose="assurance",
                check_of="HF-F0029",
            )
        ]
    )
    # 8, 9: lift 8 and the abutment.
    add(
        row(
            day(11),
            "T07",
            E8,
            ("09:10", "12+70", "4.0", "left", CONE, 9, 0.2),
            ("10:20", "13+30", "2.0", "right", CONE, 6, 0.1),
            ("13:05", "13+95", "6.5", "left", CYLINDER, 10, 0.5),
            ("14:00", "14+60", "3.0", "right", CYLINDER, 9, 0.3),
        )
    )
    add(
        row(
            day(11),
            "T04",
            A3,
            ("10:10", "20+05", "1.2", "right", GAUGE, 10, 0.1),
            ("10:40", "20+10", "2.2", "left", GAUGE, 7, -0.2),
            ("11:15", "20+15", "1.2", "left", GAUGE, 10, 0.3),
            ("11:45", "20+20", "2.2", "right", GAUGE, 9, 0.0),
        )
    )
    eighth, third = len(found) - 7, len(found) - 3
    add(
        [
            replace(
                found[eighth],
                on=day(12),
                at="09:00",
                passes=10,
                retest_of=f"HF-F{eighth + 1:04}",
                rework="Rolled again, 5 passes",
            ),
            replace(
                found[third],
                on=day(12),
                at="08:40",
                passes=10,
                retest_of=f"HF-F{third + 1:04}",
                rework="Rolled again, 4 passes",
            ),
        ]
    )
    add(
        row(
            day(12),
            "T04",
            U2,
            ("10:00", "15+20", "2.0", "right", GAUGE, 10, 0.1),
            ("10:35", "15+70", "5.0", "left", GAUGE, 6, -0.4),
            ("11:20", "16+20", "3.0", "right", GAUGE, 10, 0.2),
            ("12:00", "16+70", "4.0", "left", CONE, 10, 0.0),
        )
    )
    # 10: a failure that stays open, and the next lift of the abutment.
    add(
        row(
            day(13),
            "T07",
            U3,
            ("09:00", "15+15", "4.0", "left", GAUGE, 10, 0.0),
            ("09:35", "15+65", "2.0", "right", GAUGE, 11, -0.3),
            ("10:20", "16+15", "5.0", "left", GAUGE, 10, 0.3),
            ("11:00", "16+65", "3.0", "right", GAUGE, 9, 0.1),
        )
    )
    add(
        row(
            day(13),
            "T04",
            A4,
            ("10:10", "20+05", "2.4", "left", GAUGE, 10, 0.0),
            ("10:40", "20+10", "1.4", "right", GAUGE, 10, 0.2),
            ("11:10", "20+15", "2.4", "right", GAUGE, 9, -0.1),
            ("11:40", "20+20", "1.4", "left", GAUGE, 10, 0.3),
        )
    )
    # 11: lift 9. Two places are dense enough by a hair: see `HF-0129`.
    ninth = row(
        day(16),
        "T07",
        E9,
        ("09:00", "12+45", "3.0", "right", CONE, 10, 0.2),
        ("10:10", "13+05", "7.5", "left", CONE, 8, 0.4),
        ("11:20", "13+75", "2.0", "right", CONE, 10, -0.2),
        ("13:20", "14+25", "8.5", "right", CONE, 8, 0.3),
        ("14:30", "14+70", "4.0", "left", CONE, 10, 0.5),
    )
    ninth[1], ninth[3] = (
        replace(ninth[i], part=part) for i, part in ((1, 0.949), (3, 0.944))
    )
    first = len(found)
    add(ninth)
    # 12: the place that no longer meets, rolled again.
    add(
        [
            replace(
                found[first + 1],
                on=day(23),
                at="09:20",
                passes=11,
                part=None,
                retest_of=f"HF-F{first + 2:04}",
                rework="Scarified 8 in, rolled again, 6 passes",
            )
        ]
    )
    return tuple(found)


TESTS = tests()


def number_of(test: Planned) -> str:
    """Its number, by the order of the work."""
    return f"HF-F{TESTS.index(test) + 1:04}"
