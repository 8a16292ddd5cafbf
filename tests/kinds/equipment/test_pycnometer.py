"""A pycnometer's calibration: the volume of its fillings, and what tests are told."""

from datetime import date

import pytest

from buildsite.kinds.answers import PycnometerFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.outcome import Outcome
from tests.archives import archive_of, sound

FILE = "records/equipment/PY-1.yaml"


def outcome() -> Outcome:
    found = archive_of(sound(("specific-gravity",))).outcome(FILE)
    assert found is not None
    return found


def test_the_volume_is_the_mean_of_the_fillings() -> None:
    # Water 498.04, 498.01, 498.00, 497.98, 497.94 g over the density of water at 21.8,
    # 21.9, 22.1, 22.4, 22.5 °C: 0.997817, 0.997795, 0.997749, 0.997680, 0.997657 g/cm³
    # (interpolated in the handbook table of whole degrees, from memory).
    by_hand = [
        498.04 / 0.997817,
        498.01 / 0.997795,
        498.00 / 0.997749,
        497.98 / 0.997680,
        497.94 / 0.997657,
    ]
    (found,) = outcome().case.values

    assert found.volume * 1e6 == pytest.approx(sum(by_hand) / 5, abs=0.002)


@pytest.mark.parametrize(
    ("on", "made"), [(date(2026, 3, 10), date(2026, 1, 20)), (date(2025, 3, 10), None)]
)
def test_a_test_is_told_the_calibration_of_its_day(on: date, made: date | None) -> None:
    one = outcome()

    facts = one.kind.answers(one.case, Ref(PycnometerFacts, (), "PY-1", (), on))

    assert isinstance(facts, PycnometerFacts)
    assert facts.calibrated_on == made
    assert (facts.volume_m3 is None) == (made is None)
    assert facts.capacity_m3 == pytest.approx(0.0005)


def test_its_page_shows_volume_and_scatter() -> None:
    table = outcome().sheet().table("calibrations")

    assert table is not None
    texts = [cell.text for cell in table.rows[0].cells]
    assert "499.12" in texts
    assert outcome().sheet().subtitle == "flask, 500 cm³"
