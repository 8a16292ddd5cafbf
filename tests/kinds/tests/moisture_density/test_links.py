"""What a test asks of others, as of which day, and what it leaves for comparison."""

from datetime import date
from decimal import Decimal
from typing import Any

from buildsite.kinds.answers import DeviceFacts, LaboratoryFacts, MoldFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.tests.moisture_density.links import needs, readings_of, trace
from tests.kinds.making import made, text_of

ROTATED = """\
compacted: {on: 2026-03-10, by: T07}
dried: {on: 2026-03-12, by: T04}
units: {compacted: lb}
equipment: {mold: M-1, rammer: R-1, balance: B-1, moisture_balance: B-2, oven: O-1}
mold_mass: 4.41
weighed_with: mold
points:
  - {mold_and_wet_soil: 8.1}
  - {mold_and_wet_soil: 8.2, mold: M-2, mold_mass: 4.5}
  - {mold_and_wet_soil: 8.3, compacted: {on: 2026-03-11, by: T04}}
  - {mold_and_wet_soil: 8.4}
"""


def record(rest: str) -> Any:
    return made(text_of(rest)).case.record


def asked(rest: str, what: type) -> list[tuple[str, Any]]:
    return [(ref.id, ref.on) for ref in needs(record(rest)) if ref.asks is what]


def test_molds_are_asked_for_on_each_day_they_were_filled_once() -> None:
    assert sorted(asked(ROTATED, MoldFacts)) == [
        ("M-1", date(2026, 3, 10)),
        ("M-1", date(2026, 3, 11)),
        ("M-2", date(2026, 3, 10)),
    ]


def test_a_mold_is_asked_for_before_there_are_points() -> None:
    rest = ROTATED.partition("points:")[0] + "points: []\n"

    assert asked(rest, MoldFacts) == [("M-1", date(2026, 3, 10))]


def test_devices_are_asked_for_on_the_day_they_were_used() -> None:
    # The oven and the balance beside it are used on the day of drying; point 3 was
    # compacted and weighed a day after the others.
    assert asked(ROTATED, DeviceFacts) == [
        ("R-1", date(2026, 3, 10)),
        ("R-1", date(2026, 3, 11)),
        ("B-1", date(2026, 3, 10)),
        ("B-1", date(2026, 3, 11)),
        ("B-2", date(2026, 3, 12)),
        ("O-1", date(2026, 3, 12)),
    ]


def test_without_a_day_of_drying_that_of_compaction_counts() -> None:
    rest = ROTATED.replace("dried: {on: 2026-03-12, by: T04}\n", "")

    assert set(asked(rest, DeviceFacts)) == {
        *((id, date(2026, 3, 10)) for id in ("R-1", "B-1", "B-2", "O-1")),
        *((id, date(2026, 3, 11)) for id in ("R-1", "B-1")),  # point 3
    }


def test_each_question_is_put_once_and_points_to_its_first_place() -> None:
    refs = needs(record(ROTATED))
    keys = [ref.key for ref in refs]

    assert len(keys) == len(set(keys))
    (mold,) = (ref for ref in refs if ref.id == "M-2")
    assert mold.field == ("points", 1, "mold")


def test_the_laboratory_is_asked_about_everybody_who_acted() -> None:
    (lab,) = (ref for ref in needs(record(ROTATED)) if ref.asks is LaboratoryFacts)

    assert set(lab.about) == {"T07", "T04"}


def test_questions_of_different_days_are_different() -> None:
    first = Ref(MoldFacts, ("mold",), "M-1", (), date(2026, 3, 10))
    second = Ref(MoldFacts, ("mold",), "M-1", ("elsewhere",), date(2026, 3, 11))

    assert first.key != second.key


def test_a_named_test_is_asked_for_its_value() -> None:
    rest = "points: []\nspecific_gravity: {test: G-1}\noversize: {test: C-1}\n"
    refs = {ref.id: ref for ref in needs(record(rest))}

    assert refs["G-1"].field == ("specific_gravity", "test")
    assert refs["C-1"].field == ("oversize", "test")
    assert refs["G-1"].kinds == ()


def test_each_mold_leaves_its_mass_once_in_kilograms() -> None:
    # 4.41 lb × 0.45359237 = 2.00034 kg; read to 0.01 lb, 0.0045359 kg.
    left = trace(record(ROTATED), "file")

    assert [(use.mold, use.on, use.shown) for use in left.molds] == [
        ("M-1", date(2026, 3, 10), "4.41 lb"),
        ("M-2", date(2026, 3, 10), "4.5 lb"),
    ]
    assert round(left.molds[0].mass_kg, 5) == 2.00034
    assert round(left.molds[0].resolution_kg, 7) == 0.0045359
    assert left.molds[0].field == ("mold_mass",)
    assert left.molds[1].field == ("points", 1, "mold_mass")


def test_a_point_leaves_its_readings_if_there_are_enough_to_tell_it_by() -> None:
    rest = (
        "units: {compacted: g, moisture: g}\npoints:\n"
        "  - {mold_and_wet_soil: 3800, container_mass: 20, container_and_wet: 46.4}\n"
        "  - {mold_and_wet_soil: 3800, container_mass: 20, container_and_wet: 46.4,"
        " container_and_dry: [45, 44.0]}\n"
    )
    found = record(rest)

    assert readings_of(found.points[0]) == ()
    assert readings_of(found.points[1]) == ("3800", "20", "46.4", "45", "44.0")
    assert [field for field, _ in trace(found, "f").readings] == [("points", 1)]


def test_readings_keep_their_last_place() -> None:
    found = record("points: [{mold_and_wet_soil: 3800.0}]\n")

    assert found.points[0].mold_and_wet_soil == Decimal("3800.0")
    assert str(found.points[0].mold_and_wet_soil) == "3800.0"
