"""The papers of the demo's fill: a report of each day, and the lifts accepted."""

from dataclasses import dataclass
from datetime import date

from tests.demo.bench import braces
from tests.demo.field.densities import other, source_of
from tests.demo.field.plan import (
    A1,
    E4,
    E5,
    E7,
    E9,
    TESTS,
    U1,
    Lift,
    Planned,
    number_of,
)
from tests.demo.laboratory import Chance
from tests.demo.write import schema

CONTRACTOR = "Fen Earthworks (invented)"
DAYS = tuple(sorted({test.on for test in TESTS}))
SKIES = ("dry, light wind", "overcast, dry", "sunny", "fog until nine, then dry")

NOT_TESTED = {
    date(2026, 11, 5): "Toe of the ramp: fill placed, not yet rolled",
    date(2026, 11, 13): "Embankment: no fill placed, ground wet after rain",
}

FAILING = ("HF-F0003", "HF-F0012", "HF-F0035", "HF-F0039", "HF-F0045")
"""Failures found on the day: the contractor was told at once."""


@dataclass(frozen=True)
class Accepted:
    """A lift that the engineer of record accepted."""

    number: int
    lift: Lift
    on: date
    basis: str = ""

    @property
    def id(self) -> str:
        """Its number."""
        return f"HF-L{self.number:04}"


ACCEPTED = (
    Accepted(1, E4, date(2026, 11, 5)),
    Accepted(2, A1, date(2026, 11, 6)),
    Accepted(3, E5, date(2026, 11, 9)),
    Accepted(4, E7, date(2026, 11, 12)),
    Accepted(5, U1, date(2026, 11, 27)),
    Accepted(
        6, E9, date(2026, 11, 26), "Lift walked with the contractor on 2026-11-25"
    ),
)


def tests_of(lift: Lift) -> list[Planned]:
    """The tests that count towards a lift, in the order of the work."""
    return [
        test for test in TESTS if test.lift == lift and test.purpose == "acceptance"
    ]


def acceptance_text(one: Accepted) -> str:
    """The whole record of an acceptance."""
    listed = ", ".join(number_of(test) for test in tests_of(one.lift))
    lines = [
        schema("lift-acceptance", 2),
        "format: 1",
        "kind: lift-acceptance",
        f"id: {one.id}",
        "project: heron-flats",
        f"zone: {one.lift.zone}",
        f'lift: "{one.lift.number}"',
        f"tests: [{listed}]",
        f"lift_accepted: {{on: {one.on}, by: E02}}",
        *([f'basis: "{one.basis}"'] if one.basis else []),
        "entered: {by: T07, checked_by: T04}",
        "status: complete",
    ]
    return "\n".join(lines) + "\n"


def daily_id(on: date) -> str:
    """Number of the report of a day."""
    return f"HF-D{DAYS.index(on) + 1:04}"


def told(test: Planned) -> str:
    """Who was told of a failure, a little after the test."""
    hour, minute = (int(part) for part in test.at.split(":"))
    at = f"{test.on}T{hour:02}:{min(minute + 35, 59):02}"
    return f"  - {{test: {number_of(test)}, who: foreman, at: {at}, how: on site}}"


def works_of(on: date) -> list[str]:
    """The work of a day, a line for each lift."""
    lines, seen = [], set[Lift]()
    for test in TESTS:
        if test.on != on or test.lift in seen:
            continue
        seen.add(test.lift)
        lift = test.lift
        what = test.rework or "placed, leveled and rolled"
        fields = [
            ("zone", lift.zone),
            ("lift", f'"{lift.number}"'),
            ("what", f'"{what}"'),
            ("source", source_of(lift)),
            ("roller", f'"{lift.roller}"'),
            ("passes", str(max(t.passes for t in tests_of(lift) if t.on <= on))),
            ("thickness_loose", str(lift.loose)),
            ("thickness_compacted", str(lift.compacted)),
        ]
        lines.append(f"  - {braces(fields)}")
    return lines


def daily_text(on: date) -> str:
    """The whole record of a day."""
    tests = [test for test in TESTS if test.on == on]
    chance = Chance(f"weather {on}")
    sky = SKIES[int(chance.between(0, len(SKIES)))]
    warm = round(chance.between(3, 13))
    failing = [told(test) for test in tests if number_of(test) in FAILING]
    listed = ", ".join(number_of(test) for test in tests)
    inspector = tests[0].by
    lines = [
        schema("daily-report", 2),
        "format: 1",
        "kind: daily-report",
        f"id: {daily_id(on)}",
        "project: heron-flats",
        f"on: {on}",
        f"inspector: {inspector}",
        f"contractor: {CONTRACTOR}",
        f'weather: "{sky}, {warm} °C"',
        f"times: {{from: {on}T07:40, to: {on}T15:50}}",
        "units: {depth: in}",
        "works:",
        *works_of(on),
        f"tests: [{listed}]",
        *([f'not_tested: "{NOT_TESTED[on]}"'] if on in NOT_TESTED else []),
        *(["told:", *failing] if failing else []),
        f"entered: {{by: {inspector}, checked_by: {other(inspector)}}}",
        "status: complete",
    ]
    return "\n".join(lines) + "\n"


def texts() -> dict[str, str]:
    """Every paper, by its path in the archive."""
    root = "records/heron-flats"
    days = {f"{root}/daily/{daily_id(on)}.yaml": daily_text(on) for on in DAYS}
    lifts = {f"{root}/acceptances/{a.id}.yaml": acceptance_text(a) for a in ACCEPTED}
    return days | lifts
