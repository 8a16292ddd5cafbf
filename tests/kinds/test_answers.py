"""Authority is judged on the day of the act."""

from datetime import date

import pytest

from buildsite.kinds.answers import LaboratoryFacts, Staff

WHO = Staff("E02", "", ("test", "review"), date(2024, 3, 1), date(2026, 2, 28))


@pytest.mark.parametrize(
    ("authority", "on", "had"),
    [
        ("review", date(2024, 2, 29), False),
        ("review", date(2024, 3, 1), True),
        ("review", date(2026, 2, 28), True),
        ("review", date(2026, 3, 1), False),
        ("review", None, True),
        ("authorize", date(2025, 1, 1), False),
        ("authorize", None, False),
    ],
)
def test_authority_holds_from_its_first_day_to_its_last(
    authority: str, on: date | None, *, had: bool
) -> None:
    assert WHO.had(authority, on) is had


def test_without_days_authority_holds_always() -> None:
    always = Staff("E02", "", ("review",), None, None)

    assert always.had("review", date(1970, 1, 1))


def test_a_person_is_found_by_code() -> None:
    lab = LaboratoryFacts("", "", False, "auto", None, None, (), None, (WHO,))

    assert lab.person("E02") is WHO
    assert lab.person("T07") is None
