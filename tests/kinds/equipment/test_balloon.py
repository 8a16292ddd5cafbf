"""A rubber-balloon apparatus: its error on known volumes."""

from datetime import date

import pytest

from buildsite.kinds.field_answers import BalloonFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.outcome import Outcome
from tests.archives import archive_of, changed

FILE = "records/equipment/BA-01.yaml"


def outcome() -> Outcome:
    found = archive_of(changed({}, beside=("field-apparatus",))).outcome(FILE)
    assert found is not None
    return found


def asked(on: date) -> BalloonFacts:
    one = outcome()
    facts = one.kind.answers(one.case, Ref(BalloonFacts, (), "BA-01", (), on))
    assert isinstance(facts, BalloonFacts)
    return facts


def test_a_test_is_told_the_largest_error_of_its_calibration() -> None:
    # 941 of 943 is 0.21 % short, 2135 of 2124 is 0.52 % over: by hand
    facts = asked(date(2026, 6, 2))

    assert facts.calibrated_on == date(2026, 2, 20)
    assert facts.next_due == date(2027, 2, 20)
    assert facts.largest_error == pytest.approx(11 / 2124 * 100)


def test_before_its_first_calibration_nothing_is_known_of_it() -> None:
    facts = asked(date(2026, 2, 19))

    assert (facts.calibrated_on, facts.largest_error) == (None, None)


def test_its_page_shows_each_known_volume_and_the_pressure() -> None:
    table = outcome().sheet().table("calibrations")

    assert table is not None
    texts = [cell.text for cell in table.rows[0].cells]
    assert texts[4:7] == ["941 of 943 cm³; 2135 of 2124 cm³", "+0.52", "20.7"]
