"""A sand-cone apparatus: its cone, its bags of sand, and what a test is told."""

from datetime import date
from decimal import Decimal
from math import pi

import pytest

from buildsite.kinds.equipment.due import dues
from buildsite.kinds.equipment.sand_cone import compute
from buildsite.kinds.equipment.sand_cone.model import SandCone
from buildsite.kinds.field_answers import SandConeFacts
from buildsite.kinds.kind import Inputs, Ref
from buildsite.kinds.outcome import Outcome
from tests.archives import Changes, archive_of, changed

FILE = "records/equipment/SC-01.yaml"


def outcome(changes: Changes | None = None) -> Outcome:
    files = changed(changes or {}, beside=("field-apparatus",))
    found = archive_of(files).outcome(FILE)
    assert found is not None
    return found


def asked(one: Outcome, on: date, *bag: str) -> SandConeFacts:
    ref = Ref(SandConeFacts, (), "SC-01", (), on, about=bag)
    facts = one.kind.answers(one.case, ref)
    assert isinstance(facts, SandConeFacts)
    return facts


def test_the_density_of_sand_in_a_measured_cylinder_is_that_of_a_published_sheet() -> (
    None
):
    # A university's laboratory calculation in Spanish, "Calculos lab metodo del cono",
    # steps 1 to 10 (student report, undated): a cylinder 14.5 cm across and 18 cm high,
    # 2972.34 cm3; apparatus full 6960 g less 1510 g for the cone and 810 g for the
    # empty cylinder, 4640 g of sand; 1.56 g/cm3 as published.
    volume = Decimal(round(pi / 4 * 14.5**2 * 18, 2)).quantize(Decimal("0.01"))
    assert volume == Decimal("2972.34")
    record = SandCone.model_validate(
        {
            "kind": "sand-cone",
            "id": "SC-9",
            "bags": [
                {
                    "bag": "1",
                    "determinations": [
                        {
                            "on": "2026-03-02",
                            "container_volume": str(volume),
                            "sand_in_container": [str(6960 - 1510 - 810)],
                        }
                    ],
                }
            ],
        }
    )

    ((found,),) = compute(record, Inputs(), None).bags

    assert found.mean is not None
    assert round(found.mean / 1000, 2) == 1.56
    assert found.mean == pytest.approx(4640 / 2972.34 * 1000)


def test_a_test_is_told_the_newest_determination_of_its_own_bag() -> None:
    one = outcome()

    first = asked(one, date(2026, 3, 15), "14")
    later = asked(one, date(2026, 3, 16), "14")
    other = asked(one, date(2026, 3, 16), "15")

    # by hand: 1422/943.6 g/cm3 in each, and 1430/943.6
    assert (first.sand_on, first.sand_next_due) == (
        date(2026, 3, 2),
        date(2026, 3, 16),
    )
    assert later.sand_on == date(2026, 3, 16)
    assert later.sand_density == pytest.approx(1422 / 943.6 * 1000)
    assert later.sand_spread == pytest.approx(4 / 1422 * 100)
    assert (other.bag, other.sand_on) == ("15", date(2026, 3, 2))
    assert other.sand_density == pytest.approx(1430 / 943.6 * 1000)
    assert later.cone_mass_kg == other.cone_mass_kg == pytest.approx(1.481)
    assert (later.calibrated_on, later.plate) == (date(2026, 2, 16), "P-1, 165 mm")


def test_of_a_bag_that_is_not_on_file_no_density_is_known() -> None:
    facts = asked(outcome(), date(2026, 3, 16), "16")

    assert (facts.bag, facts.sand_on, facts.sand_density) == ("16", None, None)
    assert facts.cone_mass_kg == pytest.approx(1.481)


def test_before_its_first_calibration_a_cone_has_no_mass_of_sand() -> None:
    facts = asked(outcome(), date(2025, 2, 17), "14")

    assert (facts.calibrated_on, facts.cone_mass_kg, facts.sand_on) == (
        None,
        None,
        None,
    )


def test_sand_found_wrong_counts_since_the_day_that_is_stated() -> None:
    one = outcome(
        {
            "equipment/SC-01.yaml": [
                [
                    "next_due: 2026-03-30,",
                    "next_due: 2026-03-30, wrong_since: 2026-03-09,",
                ]
            ]
        }
    )

    facts = asked(one, date(2026, 3, 10), "14")

    assert facts.sand_on == date(2026, 3, 16)
    assert facts.wrong_since == date(2026, 3, 9)


def test_cone_and_each_bag_in_use_fall_due_by_themselves() -> None:
    def due(one: Outcome) -> list[tuple[str, date | None]]:
        return [(each.words, each.on) for each in dues(one.case.record)]

    assert due(outcome()) == [
        ("cone", date(2027, 2, 16)),
        ("sand of bag 14", date(2026, 3, 30)),
        ("sand of bag 15", date(2026, 3, 16)),
    ]
    aside = outcome(
        {
            "equipment/SC-01.yaml": [
                ['  - bag: "15"', '  - out_of_use: {on: 2026-03-16}\n    bag: "15"']
            ]
        }
    )
    assert [words for words, _ in due(aside)] == ["cone", "sand of bag 14"]


def test_without_a_due_date_sand_is_due_after_a_fortnight_and_a_cone_after_a_year() -> (
    None
):
    # 14 days: ASTM D1556, as its row states; a year: AASHTO R 18 (from memory)
    one = outcome(
        {
            "equipment/SC-01.yaml": [
                ["next_due: 2026-03-30, ", ""],
                ["next_due: 2027-02-16, ", ""],
            ]
        }
    )

    found = {each.words: each.on for each in dues(one.case.record)}

    assert found["sand of bag 14"] == date(2026, 3, 30)
    assert found["cone"] == date(2027, 2, 16)


def test_its_page_shows_the_cone_and_each_bag() -> None:
    sheet = outcome().sheet()

    cone, bag = sheet.table("calibrations"), sheet.table("bag-1")
    assert cone is not None
    assert bag is not None
    assert [cell.text for cell in cone.rows[1].cells][4:8] == [
        "1482, 1480, 1481",
        "1481.0",
        "0.14",
        "silica sand lot 25-2",
    ]
    assert [cell.text for cell in bag.rows[1].cells][4:8] == [
        "943.6",
        "1420, 1424, 1422",
        "1.507",
        "0.28",
    ]
    assert bag.note == "silica sand lot 25-2, in use."


def test_the_bags_in_use_are_those_with_a_density_that_day_the_last_found_first() -> (
    None
):
    found = outcome()
    assert asked(found, date(2026, 3, 11)).bags[0] == "14"
    assert asked(found, date(2020, 1, 1)).bags == ()  # none was determined yet


@pytest.mark.parametrize(
    ("on", "bags"), [(16, ("14", "15")), (17, ("14",)), (30, ("14",)), (31, ())]
)
def test_a_bag_whose_density_is_due_again_is_not_in_use(
    on: int, bags: tuple[str, ...]
) -> None:
    # Both were found on 2 March 2026, due on 16 March; 14 again, due on 30 March.
    assert asked(outcome(), date(2026, 3, on)).bags == bags
