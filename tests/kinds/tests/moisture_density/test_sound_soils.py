"""Sound soils are not flagged for what they are: docs/false-alarms.md is current."""

import pytest

from buildsite.standards.soils import soil_class
from tests.kinds.making import SAMPLE, in_archive
from tests.kinds.tests.moisture_density.sound_soils import (
    BANDS,
    CLASSES,
    PAGE,
    WORDS,
    row_of,
)

MOST = 5.0
"""Percent of sound tests that a check of a soil may flag."""

OF_SOIL = ("wet-leg-unlike-soil", "result-unlike-soil", "saturation-at-optimum-unusual")


@pytest.mark.parametrize("symbol", CLASSES)
def test_the_page_tells_what_is_found(symbol: str) -> None:
    wanted = "python -m tests.kinds.tests.moisture_density.sound_soils"
    lines = PAGE.read_text(encoding="utf-8").splitlines()
    column = CLASSES.index(symbol) + 2

    found = row_of(symbol)

    told = {
        cells[1].strip(" `"): cells[column].strip()
        for cells in (line.split("|") for line in lines)
        if len(cells) == len(CLASSES) + 3
    }
    assert [told[band] for band in BANDS] == list(found.flagged), wanted
    assert f"| {symbol} | {' | '.join(found.wet)} |" in lines, wanted


def test_the_words_of_the_page_are_current() -> None:
    text = PAGE.read_text(encoding="utf-8")

    for paragraph in WORDS.read_text(encoding="utf-8").split("\n\n"):
        if "{" not in paragraph:
            assert paragraph.strip() in text


@pytest.mark.parametrize("symbol", CLASSES)
def test_no_check_flags_many_sound_soils_of_a_class(symbol: str) -> None:
    flagged = dict(zip(BANDS, row_of(symbol).flagged, strict=True))

    often = {band: flagged[band] for band in OF_SOIL if flagged[band] != "–"}

    assert {k: v for k, v in often.items() if float(v) > 2 * MOST} == {}
    assert flagged["wet-leg-unlike-soil"] == "–" or (
        float(flagged["wet-leg-unlike-soil"]) <= MOST
    )


def wet_point(saturation: float, symbol: str, away: float) -> set[str]:
    """Flags of a test whose wettest point is so full, so far from some 16 %."""
    gravity, water = 2.70, 16.0 + away
    dry = 998.2 / (1 / gravity + water / saturation)
    points = [(12.0, 1660.0), (14.0, 1740.0), (16.0, 1765.0), (water, dry)]
    lines = "".join(
        f"  - {{dry_density: {dry:.0f}, water_content: {w:.1f}}}\n" for w, dry in points
    )
    sample = SAMPLE + (
        f"soil: {{name: soil, class: {symbol}, class_basis: tested}}\n"
        "specific_gravity: {value: 2.70, basis: measured}\n"
    )
    text = f"units: {{density: kg/m3}}\npoints:\n{lines}"
    made = in_archive(text, {"records/p/samples/S-1.yaml": sample})
    return {one.flag for one in made.flags}


@pytest.mark.parametrize(
    ("saturation", "symbol", "away", "flagged"),
    [
        (86.0, "ML", 3.0, False),  # flagged by the 88 % of all fine soils, before
        (86.0, "CL", 3.0, False),
        (81.0, "ML", 3.5, False),
        (81.0, "CL", 3.5, True),
        (78.0, "ML", 3.5, True),
        (78.0, "CL", 1.0, False),  # too near to the optimum to judge
    ],
)
def test_the_wet_side_is_judged_by_class_and_from_two_points(
    saturation: float, symbol: str, away: float, *, flagged: bool
) -> None:
    found = soil_class(symbol)

    assert found is not None
    assert ("wet-leg-unlike-soil" in wet_point(saturation, symbol, away)) is flagged
