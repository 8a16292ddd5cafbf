"""A point out of line with its neighbors, be they close or far apart."""

import pytest

from tests.kinds.making import SAMPLE, in_archive


def flags_of(middle: float, raised: float) -> set[str]:
    """
    Flags of five points 2 apart about a water content, the second one raised.

    The others lie on 1900 - 5 x² kg/m³, x the distance from the middle, and a parabola
    goes through all of them: 1880 is expected at -2, and the miss is what was raised.
    """
    lines = "".join(
        f"  - {{dry_density: {(1900 - 5 * x * x) * (raised if x == -2 else 1):.1f}, "
        f"water_content: {middle + x:.1f}}}\n"
        for x in (-4, -2, 0, 2, 4)
    )
    sample = SAMPLE + "soil: {name: soil, class: GM, class_basis: tested}\n"
    text = f"units: {{density: kg/m3}}\npoints:\n{lines}"
    made = in_archive(text, {"records/p/samples/S-1.yaml": sample})
    return {one.flag for one in made.flags}


@pytest.mark.parametrize(
    ("middle", "raised", "told"),
    [
        (14.0, 1.029, False),
        (14.0, 1.031, True),
        (14.0, 0.969, True),
        # 0.67 x 9 is 6.03 points, the span 8: 3 x (8 / 6.03)² is 5.3 %.
        (9.0, 1.04, False),
        (9.0, 1.055, True),
    ],
)
def test_more_is_allowed_where_the_points_span_much_of_the_curve(
    middle: float, raised: float, *, told: bool
) -> None:
    assert ("point-out-of-line" in flags_of(middle, raised)) is told
