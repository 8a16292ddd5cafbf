"""A drive cylinder: its volume, and what a field test is told of it."""

from datetime import date
from decimal import Decimal
from math import pi

import pytest

from buildsite.kinds.equipment.drive_cylinder import DriveCylinder, compute
from buildsite.kinds.field_answers import DriveCylinderFacts
from buildsite.kinds.kind import Inputs, Ref
from buildsite.kinds.outcome import Outcome
from tests.archives import Changes, archive_of, changed

FILE = "records/equipment/DC-01.yaml"


def outcome(changes: Changes | None = None) -> Outcome:
    files = changed(changes or {}, beside=("field-apparatus",))
    found = archive_of(files).outcome(FILE)
    assert found is not None
    return found


def asked(one: Outcome, on: date) -> DriveCylinderFacts:
    facts = one.kind.answers(one.case, Ref(DriveCylinderFacts, (), "DC-01", (), on))
    assert isinstance(facts, DriveCylinderFacts)
    return facts


@pytest.mark.parametrize(
    # A university's soil practice sheet in Spanish, "Datos Suelos", volumetric method
    # (student report, undated): radius and height in cm, and the volume published. It
    # took a short π for the large one: 497.75 in full.
    ("radius", "height", "published", "within"),
    [("2", "8", 100.53, 0.005), ("3.25", "15", 497.73, 0.025)],
)
def test_the_volume_by_dimensions_is_that_of_a_published_sheet(
    radius: str, height: str, published: float, within: float
) -> None:
    record = DriveCylinder.model_validate(
        {
            "kind": "drive-cylinder",
            "id": "DC-9",
            "units": {"length": "cm"},
            "calibrations": [
                {
                    "on": "2026-01-14",
                    "dimensions": {
                        "diameters": [str(2 * Decimal(radius))],
                        "heights": [height],
                    },
                }
            ],
        }
    )

    (found,) = compute(record, Inputs(), None)

    assert found.volume is not None
    assert found.volume * 1e6 == pytest.approx(published, abs=within)


def test_a_test_is_told_the_calibration_of_its_day() -> None:
    one = outcome()

    before, after = asked(one, date(2026, 2, 19)), asked(one, date(2026, 2, 20))

    assert (before.calibrated_on, before.next_due) == (
        date(2025, 3, 2),
        date(2026, 3, 2),
    )
    assert before.volume_m3 == pytest.approx(425.3e-6)  # as certified
    assert before.mass_kg == pytest.approx(0.415)
    by_hand = pi / 4 * 72.9**2 * 101.8 / 1000  # means of the readings, mm
    assert after.volume_m3 == pytest.approx(by_hand * 1e-6)
    assert after.diameter_m == pytest.approx(0.0729)
    assert after.height_m == pytest.approx(0.1018)
    assert asked(one, date(2025, 3, 1)).volume_m3 is None


def test_a_volume_found_wrong_counts_since_the_day_that_is_stated() -> None:
    one = outcome(
        {
            "equipment/DC-01.yaml": [
                ["as found, mass: 414", "as found, wrong_since: 2025-12-01, mass: 414"]
            ]
        }
    )

    facts = asked(one, date(2025, 12, 3))

    assert facts.calibrated_on == date(2026, 2, 20)
    assert facts.wrong_since == date(2025, 12, 1)


def test_its_page_shows_mass_dimensions_and_volume() -> None:
    table = outcome().sheet().table("calibrations")

    assert table is not None
    last = [cell.text for cell in table.rows[1].cells]
    assert last[4:9] == ["414", "72.90", "101.80", "424.9", "by dimensions"]
