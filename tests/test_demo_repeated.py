"""
The demo's repeat test, and the uncertainty that it states.

Truth is the stated soil (`tests/demo/soil.py`) and the standard's own precision.
"""

from pathlib import Path

import pytest

from buildsite.archive.across import repeated, traces_of, words_by_file
from buildsite.archive.archive import Archive
from buildsite.kinds.outcome import Outcome
from tests.archives import demo
from tests.demo.soil import POUND_PER_CUBIC_FOOT, SOILS

FIRST, AGAIN = (f"records/alder-quay/tests/{id}.yaml" for id in ("AQ-0001", "AQ-0017"))
LIMITS = {
    "maximum_dry_density": 1.3 * POUND_PER_CUBIC_FOOT,
    "optimum_water_content": 0.9,
}
"""Of two results of one operator on a soil that is neither CH nor CL: ASTM D698,
table 3 (from memory): 1.3 lbf/ft³ [here kg/m³] and 0.9 points."""


@pytest.fixture(scope="module")
def archive() -> Archive:
    return demo()


def outcome(archive: Archive, file: str) -> Outcome:
    found = archive.outcome(file)
    assert found is not None, archive.flags(file)
    return found


def test_the_repeat_agrees_with_what_was_issued(archive: Archive) -> None:
    before, after = (outcome(archive, file).results for file in (FIRST, AGAIN))

    for name, most in LIMITS.items():
        assert 0 < abs(after[name].value - before[name].value) < most


def test_both_pages_say_so(archive: Archive) -> None:
    said = words_by_file(repeated(archive, traces_of(archive, archive.files("test"))))

    assert said[FIRST] == said[AGAIN]
    (words,) = said[AGAIN]
    assert words.count("within the") == len(LIMITS)
    # 1.3 lbf/ft³ is 0.20 kN/m³: 1.3 × 4.4482216 N / 0.028316847 m³.
    assert "within the 0.20 kN/m³" in words
    assert not [flag for flag in archive.flags(AGAIN) if flag.flag == "repeats-apart"]


def test_the_stated_uncertainty_holds_what_is_true(archive: Archive) -> None:
    again = outcome(archive, AGAIN)
    top = SOILS["AQ-S01"].tops["standard"]
    true = {
        "maximum_dry_density": top.density,
        "optimum_water_content": top.water_content,
    }

    for name, most in LIMITS.items():
        stated = again.detail()["uncertainty"][name]
        assert stated["complete"] is True
        # Other components add to the repeatability. k is 2, and a limit of two results
        # is 2.8 standard deviations: ASTM E177 (from memory).
        assert stated["expanded"] > 2 * most / 2.8
        assert abs(again.results[name].value - true[name]) < stated["expanded"]


def test_the_budget_has_units_and_what_was_read(archive: Archive) -> None:
    again = outcome(archive, AGAIN)
    assert again.kind.appendices is not None
    (made,) = again.kind.appendices(again.case)
    density, water = (made.sheet.table(name) for name in LIMITS)
    assert density is not None
    assert water is not None

    empty, *_ = (row for row in density.rows if row.cells[0].text == "Mold M-01, empty")
    # B-01 reads to 1 g: half of that, rectangular, is 0.5/√3 g (JCGM 100:2008, 4.3.7).
    assert [cell.text for cell in empty.cells[1:3]] == ["2001 g", "0.289 g"]
    # 1.3 lbf/ft³ over 2.8, at 0.157087 kN/m³ each; 0.9 points over 2.8.
    for table, standard in ((density, "0.0729 kN/m³"), (water, "0.321 points")):
        (own,) = (row for row in table.rows if row.cells[0].text.startswith("Compact"))
        assert own.cells[2].text == standard


def test_only_the_repeat_states_it(archive: Archive) -> None:
    stating = [
        Path(file).stem
        for file in archive.files("test")
        if outcome(archive, file).detail().get("uncertainty")
    ]

    assert stating == ["AQ-0017"]
