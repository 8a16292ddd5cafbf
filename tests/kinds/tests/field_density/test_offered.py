"""What is offered for the next test: of the last one made, not of the last reviewed."""

from collections.abc import Mapping

from buildsite.archive.blanks import new_record
from buildsite.starting.surroundings import Surroundings
from tests.archives import Changes, archive_of, changed
from tests.kinds.making import kind

BESIDE = ("field-apparatus",)
KIND = kind("field-density")
TESTS = "marsh-lane/tests/"
CONE = """format: 1
kind: field-density
id: {id}
project: marsh-lane
purpose: acceptance
zone: {zone}
lift: "{lift}"
position: {{station: {station}, offset: 3.2, side: left}}
apparatus: sand-cone
standard: {{designation: AASHTO T 191, edition: "14(2018)", method: none}}
reference: ML-101
tested: {{on: {on}, at: "10:40", by: T07}}
{more}status: in-progress
units: {{mass: g, moisture: g, position: ft}}
equipment: {{sand_cone: SC-01, balance: B-11, moisture_balance: B-03, oven: O-01}}
sand_bag: "{bag}"
"""


def cone(
    id: str,
    station: str,
    on: str,
    *,
    zone: str = "embankment",
    lift: str = "7",
    bag: str = "14",
    more: str = "",
) -> Changes:
    text = CONE.format(
        id=id, station=station, on=on, zone=zone, lift=lift, bag=bag, more=more
    )
    return {f"{TESTS}{id}.yaml": text}


def offered(*tests: Changes, on: str, **told: str) -> Mapping[str, str]:
    made: dict[str, str | list[list[str]] | None] = {}
    for one in tests:
        made |= one
    found = archive_of(changed(made, beside=BESIDE))
    answers = {"project": "marsh-lane", "on": on, **told}
    return Surroundings(found).known(KIND, answers)


REVIEWED = "reviewed: {on: 2026-03-20, by: E02}\n"
FIRST = cone("ML-F0001", "12+40", "2026-03-09")
SECOND = cone("ML-F0002", "12+90", "2026-03-09")
LAST = cone("ML-F0003", "2+10", "2026-03-10", lift="8", bag="15")


def test_a_review_of_an_earlier_test_makes_it_not_the_last_one() -> None:
    reviewed = cone("ML-F0001", "12+40", "2026-03-09", more=REVIEWED)
    now = offered(reviewed, SECOND, LAST, on="2026-03-11")

    assert (now["lift"], now["sand_bag"]) == ("8", "15")
    assert now["station"] == ""  # one test in that lift: no step yet


def test_the_step_is_that_of_the_lift_and_a_retest_is_none() -> None:
    retest = "retest_of: ML-F0001\nrework: {what: rolled, on: 2026-03-11}\n"
    again = cone("ML-F0004", "12+40", "2026-03-11", more=retest)
    now = offered(FIRST, SECOND, LAST, again, on="2026-03-11", lift="7")

    assert now["station"] == "13+40"


def test_of_a_bag_that_is_due_again_another_one_is_offered() -> None:
    # Of SC-01, bag 15 is due on 16 March; 14 was found again that day.
    assert offered(LAST, on="2026-03-16")["sand_bag"] == "15"
    assert offered(LAST, on="2026-03-17")["sand_bag"] == "14"
    assert offered(LAST, on="2026-03-31")["sand_bag"] == ""


def test_a_zone_that_was_not_tested_lately_is_found() -> None:
    lately = [
        cone(f"ML-F00{n}", f"{n}+00", "2026-03-11", zone="ramp") for n in range(10, 35)
    ]
    now = offered(FIRST, SECOND, *lately, on="2026-03-11", zone="embankment")

    assert (now["lift"], now["station"]) == ("7", "13+40")


def test_the_offset_of_a_gauge_keeps_the_soil_that_it_was_found_for() -> None:
    text = cone("ML-F0005", "14+40", "2026-03-10")[f"{TESTS}ML-F0005.yaml"]
    assert isinstance(text, str)
    text = text.replace("sand-cone", "nuclear-gauge").replace("T 191", "T 310")
    text = text.replace("sand_cone: SC-01, ", "gauge: G-01, ").replace("14(2018)", "22")
    own = "{value: 0.6, unit: lb/ft3, applied: here, soil: borrow pit 2}"
    text = text.replace('sand_bag: "14"', f"gauge: {{mode: direct, offset: {own}}}")
    now = offered({f"{TESTS}ML-F0005.yaml": text}, on="2026-03-11")

    assert (now["offset_value"], now["offset_soil"]) == ("0.6", "borrow pit 2")
    found = new_record(KIND, "ML-F0006", {**now, "project": "marsh-lane"})
    assert "applied: here, soil: borrow pit 2}" in found.text
