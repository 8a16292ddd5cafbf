"""Percent of a difference, and slips of the pen, against plain arithmetic."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.kinds.compared_figures import percent_change, slip


@given(
    old=st.decimals("0.1", "9999", places=2), new=st.decimals("0.1", "9999", places=2)
)
def test_a_percentage_is_of_the_old_figure(old: Decimal, new: Decimal) -> None:
    share = 100 * (Fraction(new) - Fraction(old)) / Fraction(old)  # by definition

    text = percent_change(f"{old} g", f"{new} g")

    if share == 0:
        assert text == ""
        return
    number = Fraction(text.removesuffix(" %").replace("−", "-"))
    places = len(text.removesuffix(" %").partition(".")[2])
    assert abs(number - share) <= Fraction(1, 2 * 10**places)
    assert number != 0
    assert text[0] in "+−"


@pytest.mark.parametrize(
    ("old", "new", "how"),
    [
        # Slips of the pen as they are known from keyed entry: neighbors exchanged,
        # the point in another place, the sign lost (common practice).
        ("3947 g", "3974 g", "two digits exchanged"),
        ("18.42 g", "28.41 g", ""),  # not neighbors
        ("1.84 g", "8.14 g", "two digits exchanged"),
        ("18.4 g", "1.84 g", "decimal point moved"),
        ("8.64 lb", "8.64 lb", ""),
        ("auto", "drawn", ""),
    ],
)
def test_a_slip_is_told_where_two_figures_show_it(old: str, new: str, how: str) -> None:
    assert slip(old, new) == how
