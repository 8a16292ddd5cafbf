"""Who did what in a test, on which day, and what authority that takes."""

from datetime import date

from buildsite.kinds.tests.shared.people import JUDGE, TEST, Action, actions
from tests.kinds.making import made, text_of

TESTED, REVIEWED = date(2026, 3, 10), date(2026, 3, 13)

BUSY = """\
prepared: {on: 2026-03-09, by: T01}
compacted: {on: 2026-03-10, by: T02}
dried: {by: T03}
entered: {by: T04, checked_by: T05}
reviewed: {on: 2026-03-13, by: E01}
curve: {drawn: {maximum_dry_density: 120, optimum_water_content: 12}, by: E02}
deviations: [{what: wet, authorized_by: E03}]
accepted: [{flag: x, by: E04, reason: y}]
withdrawn: {on: 2026-04-01, by: E05}
points:
  - {compacted: {on: 2026-03-11, by: T06}}
  - {rejected: {by: E06, reason: torn}}
"""


def found(rest: str) -> dict[str, Action]:
    return {action.code: action for action in actions(made(text_of(rest)).case.record)}


def test_every_act_has_its_day_and_the_authority_it_takes() -> None:
    acts = {
        code: (action.on, action.authority, action.field)
        for code, action in found(BUSY).items()
    }

    assert acts == {
        "T01": (date(2026, 3, 9), TEST, ("prepared", "by")),
        "T02": (TESTED, TEST, ("compacted", "by")),
        "T03": (TESTED, TEST, ("dried", "by")),
        "T04": (TESTED, (), ("entered", "by")),
        "T05": (TESTED, (), ("entered", "checked_by")),
        "T06": (date(2026, 3, 11), TEST, ("points", 0, "compacted", "by")),
        "E01": (REVIEWED, ("review",), ("reviewed", "by")),
        "E02": (REVIEWED, JUDGE, ("curve", "by")),
        "E03": (REVIEWED, ("authorize",), ("deviations", 0, "authorized_by")),
        "E04": (REVIEWED, JUDGE, ("accepted", 0, "by")),
        "E05": (date(2026, 4, 1), JUDGE, ("withdrawn", "by")),
        "E06": (REVIEWED, JUDGE, ("points", 1, "rejected", "by")),
    }


def test_before_a_review_acts_of_judgement_are_of_the_day_of_compaction() -> None:
    rest = BUSY.replace("reviewed: {on: 2026-03-13, by: E01}\n", "")

    acts = found(rest)

    assert "E01" not in acts
    assert {acts[code].on for code in ("E02", "E03", "E04", "E06")} == {TESTED}


def test_nobody_acts_where_nobody_is_named() -> None:
    assert found("compacted: {on: 2026-03-10}\npoints: []\n") == {}
