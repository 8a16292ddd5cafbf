"""A point out of line with its neighbors, be they close or far apart."""

import re

import pytest

from tests.archives import demo
from tests.kinds.making import SAMPLE, in_archive


def flags_of(middle: float, raised: float) -> set[str]:
    """
    Flags of five points 2 apart (3 from 20 % on), the second one raised.

    The others lie on 1900 - 5 x² kg/m³, x the distance from the middle in steps of 2,
    and a parabola goes through all of them: 1880 is expected at -2, and the miss is
    what was raised.
    """
    step = 1.5 if middle >= 20 else 1.0
    lines = "".join(
        f"  - {{dry_density: {(1900 - 5 * x * x) * (raised if x == -2 else 1):.1f}, "
        f"water_content: {middle + step * x:.1f}}}\n"
        for x in (-4, -2, 0, 2, 4)
    )
    sample = SAMPLE + "soil: {name: soil, class: GM, class_basis: tested}\n"
    text = f"units: {{density: kg/m3}}\npoints:\n{lines}"
    made = in_archive(text, {"records/p/samples/S-1.yaml": sample})
    return {one.flag for one in made.flags}


@pytest.mark.parametrize(
    ("middle", "raised", "told"),
    [
        (14.0, 1.024, False),
        (14.0, 1.026, True),
        (14.0, 0.974, True),
        # 0.67 x 9 is 6.03 points, the span 8: 2.5 x (8 / 6.03)² is 4.4 %.
        (9.0, 1.043, False),
        (9.0, 1.045, True),
        # A curve at 24 % is as much wider, and 12 points of it are no more than 8 are
        # at 16 %.
        (24.0, 1.024, False),
        (24.0, 1.026, True),
    ],
)
def test_more_is_allowed_where_the_points_span_much_of_the_curve(
    middle: float, raised: float, *, told: bool
) -> None:
    assert ("point-out-of-line" in flags_of(middle, raised)) is told


def of_demo(test: str, masses: list[int] | None = None) -> set[str]:
    """Flags of a complete demo test, its filled molds weighed in another order."""
    archive = demo()
    file = next(name for name in archive.names if name.endswith(f"/{test}.yaml"))
    data = archive.entry(file).source.data
    if masses is not None:
        place, read = r"mold_and_wet_soil: (\d+)", iter(masses)
        assert sorted(map(int, re.findall(place, data.decode()))) == sorted(masses)
        typed = re.sub(
            place, lambda _: f"mold_and_wet_soil: {next(read)}", data.decode()
        )
        archive = archive.with_files({file: typed.encode()})
    made = archive.outcome(file)
    assert made is not None
    return {one.flag for one in made.flags}


@pytest.mark.parametrize(
    ("test", "masses"),
    [
        # The second and the last exchanged.
        ("HF-0109", [8921, 9606, 9519, 9636, 9231]),
        ("HF-0111", [3633, 3773, 3792, 3799, 3704]),
        ("HF-0120", [3994, 4205, 4228, 4233, 4110]),
        ("AQ-0001", [3798, 3969, 3987, 4008, 3913]),
        ("AQ-0004", [3862, 4053, 4094, 4100, 4007]),
        # Each in the row above, the first one last.
        ("HF-0109", [9231, 9519, 9636, 9606, 8921]),
        ("AQ-0001", [3913, 3987, 4008, 3969, 3798]),
        ("AQ-0004", [4007, 4094, 4100, 4053, 3862]),
        ("HF-0120", [4110, 4228, 4233, 4205, 3994]),
    ],
)
def test_wet_masses_in_the_wrong_rows_are_told(test: str, masses: list[int]) -> None:
    assert "saturation-falls" not in of_demo(test)
    assert "saturation-falls" in of_demo(test, masses)
