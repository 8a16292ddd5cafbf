"""What some flags tell the person at the bench to do, and when they are silent."""

from collections.abc import Sequence

import pytest

from buildsite.archive.archive import compute_standalone
from buildsite.record.flags import Flag
from tests.kinds.making import text_of
from tests.soil.published import example


def raised(rest: str, name: str) -> list[Flag]:
    """The flags of one name of a test by itself."""
    _, flags = compute_standalone(text_of(rest).encode(), "T-1.yaml")
    return [flag for flag in flags if flag.flag == name]


def transcribed(points: Sequence[tuple[float, float]], more: str = "") -> str:
    lines = "".join(
        f"  - {{dry_density: {dry}, water_content: {water}}}\n" for water, dry in points
    )
    return f"units: {{density: kg/m3}}\n{more}points:\n{lines}"


VALLEY = [(8, 1800), (10, 1700), (12, 1790), (14, 1750)]


def test_two_peaks_in_a_soil_without_a_class_may_be_a_clean_sand() -> None:
    (flag,) = raised(transcribed(VALLEY), "two-peaks")

    assert "clean sand, state its class" in flag.mend


ALIKE = [(12.0, 1800), (12.01, 1801), (12.02, 1802), (12.03, 1803)]


def test_points_alike_want_other_water_contents_not_another_form() -> None:
    (flag,) = raised(transcribed(ALIKE), "curve-not-fitted")

    assert flag.expected == "different water contents"
    assert "akima" not in f"{flag.found} {flag.expected} {flag.mend}"
    assert "form" not in flag.mend


# Specific gravity 2.70, water of 998.2 kg/m³: no air is left at 2695.1 / (1 + 0.027 w).
# At 12 and 14 %: 2035.6 and 1955.8. The parabola through (11, 1970), (12, 2030) and
# (14, 1950) has slopes 60 and -40, so its peak is at 11.5 + 60 / (2 × 33.33) = 12.4 %,
# 2030 + 0.4 × 26.67 - 0.16 × 33.33 = 2035.3; there no air is left at 2019.1.
STEEP = [(9, 1850), (11, 1970), (12, 2030), (14, 1950)]


@pytest.mark.parametrize(
    ("gravity", "severity"),
    [
        ("{value: 2.70, basis: measured}", ["warning"]),
        ("{value: 2.70, basis: assumed}", ["warning"]),
        ("{value: 2.60, basis: measured}", ["error", "error"]),
        ("{value: 2.80, basis: measured}", []),
    ],
)
def test_a_peak_may_lie_right_of_zero_air_voids_though_no_point_does(
    gravity: str, severity: list[str]
) -> None:
    found = raised(
        transcribed(STEEP, f"specific_gravity: {gravity}\n"), "right-of-zero-air-voids"
    )

    assert [str(flag.severity) for flag in found] == severity
    if len(severity) == 1:
        assert found[0].found.startswith("a peak of ")


def weighed(masses: list[int], method: str) -> str:
    lines = "".join(f"  - {{mold_and_wet_soil: {mass}}}\n" for mass in masses)
    return f"standard: {method}\nunits: {{compacted: g}}\npoints:\n{lines}"


D698 = "{designation: ASTM D698, method: A}"
T99 = "{designation: AASHTO T 99, method: A}"


def test_published_masses_in_steps_of_50_g_are_too_coarse() -> None:
    masses = example("b05")["given"]["mold_and_wet_soil"]

    (flag,) = raised(weighed(masses, D698), "reading-too-coarse")

    assert flag.found == "readings in steps of 50 g"


@pytest.mark.parametrize(
    ("masses", "method", "found"),
    [
        # 5 g is what AASHTO T 180-95, note 4, prints for the same molds.
        ([3855, 3940, 4005, 3980], T99, []),
        ([3850, 3940, 4000, 3980], T99, ["readings in steps of 10 g"]),
        ([3855, 3940, 4005, 3980], D698, ["readings in steps of 5 g"]),
        ([3855, 3940, 4005], D698, []),  # three may be so by chance
        ([3855, 3940, 4005, 4005], D698, []),
        ([3855, 3941, 4005, 3980], D698, []),
    ],
)
def test_steps_of_whole_numbers_are_judged_by_the_method(
    masses: list[int], method: str, found: list[str]
) -> None:
    flags = raised(weighed(masses, method), "reading-too-coarse")

    assert [flag.found for flag in flags] == found


@pytest.mark.parametrize(("count", "found"), [(60, []), (61, ["61 in the list"])])
def test_a_test_has_sixty_points_at_most(count: int, found: list[str]) -> None:
    text = transcribed([(w / 10, 1800) for w in range(count)])

    assert [flag.found for flag in raised(text, "wrong-length")] == found
