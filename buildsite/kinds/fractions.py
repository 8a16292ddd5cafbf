"""Percentages typed as fractions: 0.128 for 12.8 %."""

from decimal import Decimal

from buildsite.record.flags import Doubt, Field, Severity
from buildsite.soil.rounding import plain

FRACTION_PLACES = 2
"""Decimals from which a percentage below 1 looks like a fraction."""

FLAG, BASIS = "water-content-like-a-fraction", "common practice"


def like_a_fraction(typed: Decimal | None) -> bool:
    """
    Return whether a percentage looks typed as a fraction.

    >>> like_a_fraction(Decimal("0.128")), like_a_fraction(Decimal("0.6"))
    (True, False)
    """
    if typed is None or not 0 < typed < 1:
        return False
    return -int(typed.as_tuple().exponent) >= FRACTION_PLACES


def fraction_doubt(
    field: Field, typed: Decimal, where: str = "", severity: Severity | None = None
) -> Doubt:
    """Return the doubt on a water content that looks typed as a fraction."""
    return Doubt(
        field=field,
        found=f"{typed} %{where}: typed as a fraction?",
        expected=f"{plain(typed.scaleb(2))} % for {typed}",
        mend="enter water contents in percent; accept the flag if the soil was this "
        "dry",
        severity=severity,
    )
