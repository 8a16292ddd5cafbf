"""Checks of a water content against what soil can have."""

from collections.abc import Iterator

from buildsite.record.flags import Doubt, Field, Severity

MOST_OF_SOIL = 150.0
"""Unusual water content of soil that is not organic: soft clays have up to about
120 %. Common practice. [%]"""


def unusual_water(
    field: Field,
    water: float,
    most: float,
    words: tuple[str, str],
    severity: Severity | None = None,
) -> Iterator[Doubt]:
    """Doubt a water content above `most`; `words` name the quantity and the soil."""
    name, soil = words
    if water > most:
        yield Doubt(
            field=field,
            found=f"{name} {water:.1f} %",
            expected=f"at most {most:g} % for {soil}",
            mend="check the three masses of the container: a digit, the decimal point, "
            "or the unit",
            severity=severity,
        )
