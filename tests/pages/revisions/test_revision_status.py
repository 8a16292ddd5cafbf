"""What became of an issued item, in words that a reader can act on."""

from typing import Any

import pytest

from buildsite.kinds.reporting import difference_of, unit_renamed
from buildsite.pages.revisions.revision_status import (
    current_status,
    ending,
    results_sentence,
    revision_status,
)
from buildsite.record.issued import Item
from tests.archives import archive_of, changed

TEST = "marsh-lane/tests/ML-101"
REPORT: dict[str, Any] = {}
EARLY = {"kind": "preliminary"}
NOTICE = {"kind": "withdrawal", "results": {}}
JUDGED = {"kind": "assessment", "assesses": "0", "computed": {}}


def chain(*sorts: dict[str, Any]) -> tuple[Item, ...]:
    """Items issued one after another, each a day later."""
    issues = [
        {"test": TEST, "issued_on": f"2026-03-{13 + day}", **about}
        for day, about in enumerate(sorts)
    ]
    found, flags = archive_of(changed({}, issues)).chain(f"records/{TEST}.yaml")
    assert found is not None
    assert [str(flag) for flag in flags] == []
    return found.items


@pytest.mark.parametrize(
    ("sorts", "says", "tone"),
    [
        (
            [REPORT],
            "Kept as issued. This is the latest report of this test.",
            "good",
        ),
        (
            [REPORT, JUDGED],
            "Kept as issued. This is the latest report of this test.",
            "good",
        ),
        ([REPORT, REPORT], "Replaced by r1 of 2026-03-14. Do not use it.", "stop"),
        (
            [REPORT, REPORT, REPORT],
            "Replaced by r1 of 2026-03-14. Do not use it. "
            "r2 of 2026-03-15 is the latest report.",
            "stop",
        ),
        ([REPORT, NOTICE], "Withdrawn by r1 of 2026-03-14. Do not use it.", "stop"),
        (
            [REPORT, REPORT, NOTICE],
            "Replaced by r1 of 2026-03-14. Do not use it. "
            "r2 of 2026-03-15 withdrew the test.",
            "stop",
        ),
        (
            [REPORT, NOTICE, REPORT],
            "Withdrawn by r1 of 2026-03-14. Do not use it. "
            "r2 of 2026-03-15 is the latest report.",
            "stop",
        ),
        ([EARLY, REPORT], "Replaced by r1 of 2026-03-14. Do not use it.", "stop"),
        (
            [NOTICE, REPORT],
            "Kept as issued. It withdraws the result: do not use the result. "
            "r1 of 2026-03-14 is the latest report.",
            "stop",
        ),
    ],
)
def test_the_first_item_says_what_became_of_it(
    sorts: list[dict[str, Any]], says: str, tone: str
) -> None:
    items = chain(*sorts)

    assert revision_status(items, items[0]) == (says, tone)


def test_a_report_after_a_withdrawal_amends_what_was_withdrawn() -> None:
    items = chain(REPORT, NOTICE, REPORT)

    words, tone = current_status(items, items[-1])

    assert words.endswith("replaces revision 0, which was withdrawn.")
    assert tone == "open"
    assert ending(items, items[-1]) == ""


def test_a_result_that_is_reported_no_more_is_said() -> None:
    one, two = {"a": "1.0 lb/ft3", "b": "2 %"}, {"a": "1.1 lb/ft3"}
    items = chain({"results": one}, {"results": two})

    said = results_sentence(items[0], items[1], lambda name, _: name.upper())

    assert said == "A 1.0 lb/ft³ → 1.1 lb/ft³; B no longer reported"


def test_a_unit_that_is_called_otherwise_moves_no_figure() -> None:
    mass, force = {"dry": "108.7 lb/ft3"}, {"dry": "108.0 lbf/ft3"}

    there, back = unit_renamed(mass, force), unit_renamed(force, mass)

    assert there == (
        "Now reported as dry unit weight; lbf/ft³ and lb/ft³ are numerically equal."
    )
    assert (
        back == "Now reported as dry density; lb/ft³ and lbf/ft³ are numerically equal."
    )
    assert difference_of(mass["dry"], force["dry"]) == "−0.7 lbf/ft³"
    assert difference_of(force["dry"], mass["dry"]) == "+0.7 lb/ft³"
    assert unit_renamed(mass, mass) == ""
    # 1 kN/m³ weighs 101.97 kg/m³ (g = 9.80665 m/s²): other figures, no difference.
    assert difference_of("1700 kg/m3", "16.7 kN/m3") == ""
