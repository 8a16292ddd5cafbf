"""Field tests that relied on a bag, a cone or a gauge found wrong, or that move."""

from collections.abc import Mapping

from buildsite.archive.archive import Archive
from buildsite.archive.calibration_effects import affected
from tests.archives import Changes, archive_of, changed, flags_of

CONE = "equipment/SC-01.yaml"
GAUGE = "equipment/G-01.yaml"


def field_test(id: str, day: str, apparatus: str) -> str:
    """Return a field density of 2026-03; `apparatus` has its own readings."""
    by = "AASHTO T 310" if "gauge" in apparatus else "AASHTO T 191"
    return f"""format: 1
kind: field-density
id: {id}
project: marsh-lane
purpose: acceptance
zone: embankment
lift: "1"
position: {{station: "{id[-2:]}+40", offset: 3.2, side: left}}
standard: {{designation: {by}, method: none}}
reference: ML-101
reference_basis: source
tested: {{on: 2026-03-{day}, by: T07}}
status: complete
{apparatus}"""


def by_cone(bag: str) -> str:
    return f"""apparatus: sand-cone
units: {{mass: g, moisture: g, position: m}}
equipment: {{sand_cone: SC-01, balance: B-11, moisture_balance: B-03, oven: O-01}}
largest_particle: No. 4
sand_bag: "{bag}"
apparatus_before: 8084
apparatus_after: 4172
wet_soil: 3136
water_content_by: oven
containers:
  - container: "07"
    container_mass: 29.9
    container_and_wet: 157.5
    container_and_dry: 140.3
"""


BY_GAUGE = """apparatus: nuclear-gauge
units: {density: g/cm3, position: m, depth: mm}
equipment: {gauge: G-01}
gauge: {mode: direct, depth: 200, readings: [{wet_density: 1.954, water: 0.262}]}
water_content_by: gauge
"""

TESTS = {
    "ML-F001": field_test("ML-F001", "10", by_cone("14")),
    "ML-F002": field_test("ML-F002", "10", by_cone("15")),
    "ML-F003": field_test("ML-F003", "20", by_cone("14")),
    "ML-F004": field_test("ML-F004", "06", BY_GAUGE),
}


def archive(changes: Changes | None = None) -> Archive:
    return archive_of(files(changes))


def files(changes: Changes | None = None) -> Mapping[str, bytes]:
    tests = {f"marsh-lane/tests/{id}.yaml": text for id, text in TESTS.items()}
    return changed({**tests, **(changes or {})}, beside=("field-apparatus",))


def flagged(changes: Changes, flag: str) -> dict[str, str]:
    """Return what a flag found, by the record that it stands on."""
    found = (one for one in flags_of(files(changes)) if one.flag == flag)
    return {one.file.rpartition("/")[2][:-5]: one.found for one in found}


def moving(changes: Changes, file: str) -> list[str]:
    """Return the tests that move when a record of equipment is changed."""
    after = archive(changes)
    found = affected(archive(), after, f"records/{file}")
    return [one.test for one in found if one.moves]


DAMP = [
    ["sand_in_container: [1420, 1424, 1422]", "sand_in_container: [1400, 1402, 1404]"]
]
"""The sand of bag 14 found 1.4 % lighter on the 16th than on the 2nd."""


def test_only_tests_with_the_bag_since_its_last_good_determination_relied_on_it() -> (
    None
):
    found = flagged({CONE: DAMP}, "relied-on-wrong-calibration")

    assert list(found) == ["ML-F001"]  # not bag 15, nor a test after the 16th
    assert "SC-01 (sand of bag 14), used on 2026-03-10" in found["ML-F001"]
    on_equipment = flagged({CONE: DAMP}, "calibration-found-wrong")
    assert "used in 1 test since 2026-03-02: ML-F001" in on_equipment["SC-01"]


def test_a_cone_found_wrong_concerns_the_tests_with_every_bag() -> None:
    again = (
        "bags:",
        "  - {on: 2026-03-25, by: T04, state: as found, sand_in_cone: [1504, 1505]}\n"
        "bags:",
    )
    comment = "# 943.6 cm3 filled: 1.507"
    changes: Changes = {CONE: [[f"{comment}", f"{again[1][:-5]}{comment}"]]}

    found = flagged(changes, "relied-on-wrong-calibration")

    # 1504.5 g is 1.6 % more than 1481 g
    assert list(found) == ["ML-F001", "ML-F002", "ML-F003"]
    assert "SC-01 (cone), used on 2026-03-10" in found["ML-F001"]


def test_what_is_settled_of_a_bag_names_it_in_the_command() -> None:
    flags = flags_of(files({CONE: DAMP}))

    told = [one.mend for one in flags if one.flag == "relied-on-wrong-calibration"]
    assert (
        "`buildsite calibrate SC-01 --what sand --bag 14 --judged 2026-03-16 --by CODE "
        "--reason TEXT`" in told[0]
    )
    judged = [
        [
            "sand_in_container: [1420, 1424, 1422]",
            "tests_judged: {by: E02, reason: all stand}, "
            "sand_in_container: [1400, 1402, 1404]",
        ]
    ]
    assert flagged({CONE: judged}, "relied-on-wrong-calibration") == {}


def test_a_determination_true_since_an_earlier_day_moves_the_tests_with_its_bag() -> (
    None
):
    since = [
        ["next_due: 2026-03-30,", "next_due: 2026-03-30, wrong_since: 2026-03-09,"]
    ]

    assert moving({CONE: since}, CONE) == ["ML-F001"]


def test_a_routine_determination_moves_no_earlier_test() -> None:
    more = [
        [
            '  - bag: "15"',
            "      - {on: 2026-03-21, container_volume: 943.6, sand_in_container: "
            '[1422, 1423, 1421]}\n  - bag: "15"',
        ]
    ]

    assert moving({CONE: more}, CONE) == []


def test_counts_entered_late_move_the_tests_of_their_day() -> None:
    line = "  - {on: 2026-03-06, by: T07, density: 2420, water: 655}"
    again = f"{line}\n  - {{on: 2026-03-06, by: T07, density: 2418, water: 655}}"

    assert moving({GAUGE: [[line, again]]}, GAUGE) == ["ML-F004"]


def test_a_bag_set_aside_and_used_later_is_told() -> None:
    aside = [['  - bag: "15"', '  - out_of_use: {on: 2026-03-09}\n    bag: "15"']]

    found = flagged({CONE: aside}, "used-while-out-of-use")

    assert found == {"ML-F002": "SC-01 on 2026-03-10"}


def test_a_gauge_used_while_it_was_out_of_service_is_told() -> None:
    gone = "service: [{on: 2026-03-05, by: T04, state: out, reason: dropped}]"

    found = flagged({GAUGE: [["service:", gone]]}, "used-while-out-of-use")

    assert found == {"ML-F004": "G-01 on 2026-03-06"}
