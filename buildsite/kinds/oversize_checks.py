"""Checks of an oversize as stated, common to samples and compaction tests."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, Protocol

from buildsite.kinds.sieves import GRADATION, gradation_field
from buildsite.record.flags import Doubt, Field

USUAL_BULK_GRAVITY = (2.3, 3.1)
"""Bulk specific gravities of common rock, from porous chert to basalt: common
practice."""

MOST_WATER = 8.0
"""Water content that coarse particles may have [%]: common practice. Porous rock
absorbs up to about 6 %, and its faces carry up to 2 %."""

APART_POINTS, APART_SHARE = 2.0, 0.2
"""An oversize may differ from the gradation of its sample by the greater of these, in
points and as a share of the gradation's figure: common practice, for two portions of
one sample."""


class Stated(Protocol):
    """An oversize, as a record states it or a test found it."""

    @property
    def percent_retained(self) -> Decimal | None:
        """Percent by dry mass of the whole."""

    @property
    def bulk_specific_gravity(self) -> Decimal | None:
        """Of the coarse particles."""

    @property
    def water_content(self) -> Decimal | None:
        """Of the coarse particles, in percent."""


def unlike_gradation(
    stated: Stated, sieve: str, gradation: Any, field: Field
) -> Iterator[Doubt]:
    """Doubt a percent retained unlike the gradation on the same sieve."""
    percent, name = stated.percent_retained, gradation_field(sieve)
    graded = getattr(gradation, name, None) if name is not None else None
    if percent is None or name is None or graded is None:
        return
    allowed = max(APART_POINTS, APART_SHARE * float(graded))
    if abs(float(percent) - float(graded)) > allowed + 1e-9:
        yield Doubt(
            field=field,
            found=f"an oversize of {percent} % on the {GRADATION[name]} sieve",
            expected=f"about {graded} %, as in the gradation of the sample",
            mend="check both figures; enter a percent (13.1), not a fraction (0.131)",
        )


def like_a_fraction(
    stated: Stated, sieve: str, gradation: Any, field: Field
) -> Iterator[Doubt]:
    """Doubt an oversize below 1 % that no gradation supports."""
    percent, name = stated.percent_retained, gradation_field(sieve)
    graded = getattr(gradation, name, None) if name is not None else None
    measured = stated.bulk_specific_gravity or stated.water_content
    if percent and percent < 1 and graded is None and measured is not None:
        yield Doubt(
            field=field,
            found=f"an oversize of {percent} %, with its own measurements",
            expected="a percent, such as 13.1, or a gradation that agrees",
            mend="check whether a fraction was entered for a percent; if it is a "
            "percent, state the sample's gradation",
        )


def unusual_bulk_gravity(stated: Stated, field: Field) -> Iterator[Doubt]:
    """Doubt a bulk specific gravity that common rock does not have."""
    bulk, (low, high) = stated.bulk_specific_gravity, USUAL_BULK_GRAVITY
    if bulk is not None and not low <= float(bulk) <= high:
        yield Doubt(
            field=field,
            found=f"bulk specific gravity {bulk} of the oversize",
            expected=f"{low} to {high}",
            mend="check the figure against the test of the coarse particles",
        )


def too_wet(stated: Stated, word: str, field: Field) -> Iterator[Doubt]:
    """Doubt a water content that coarse particles can't hold."""
    water = stated.water_content
    if water is not None and float(water) > MOST_WATER:
        yield Doubt(
            field=field,
            found=f"{word} {water} % of the oversize",
            expected=f"at most {MOST_WATER:g} %: coarse particles hold no more",
            mend="check that it is the oversize's, not the whole soil's, and in "
            "percent of the dry mass",
        )
