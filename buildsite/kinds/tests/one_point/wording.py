"""How a point lies to the curves, in words; steps and cautions of the work."""

from collections.abc import Sequence

from buildsite.kinds.field_answers import FamilyCurve
from buildsite.kinds.reporting import to_places
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.soil.curves.family import Found, Refused

REASONS = {
    "unread": "density or water content of the specimen is not there yet",
    "no-members": "no curve to hold the point against has a peak",
    "too-dry": "the point is too dry for the optimum that it leads to: compact "
    "another specimen, wetter",
    "wet-of-optimum": "the point is wet of the optimum that it leads to: compact "
    "another specimen, drier",
    "above-family": "the point is denser than the family is at that water content: "
    "run a full curve",
    "below-family": "the point is lighter than the family is at that water content: "
    "run a full curve",
    "off-curve": "the point does not lie on the reference curve: run a full curve, or "
    "use a family",
    "beyond-curves": "the curves have no points as dry as this one: compact another "
    "specimen, wetter",
    "several-curves": "several curves that differ pass through the point: run a full "
    "curve",
}
"""Why no curve was found, by the reason of `soil.curves.family`; what to do next."""

STEPS_NEXT = {
    "too-dry": "compact another specimen of the same soil, wetter",
    "beyond-curves": "compact another specimen of the same soil, wetter",
    "wet-of-optimum": "compact another specimen of the same soil, drier",
}
FULL_CURVE = "run a full curve of this soil"


def of_optimum(percent: float | None) -> str:
    """Return the water content as a share of the optimum, in brackets."""
    return "" if percent is None else f" ({to_places(percent, 0)} % of it)"


def why(
    found: Found | Refused,
    points: Sequence[PointValues],
    curves: Sequence[FamilyCurve],
) -> str:
    """Return how the point lies to the curves, or why none is found."""
    if isinstance(found, Refused):
        first, colon, rest = REASONS[found.reason].partition(":")
        return f"{first}{of_optimum(found.percent_of_optimum)}{colon}{rest}"
    share = f"at {to_places(found.percent_of_optimum, 0)} % of the optimum"
    if found.rule == "on-member":
        return f"the point lies on the curve of {found.members[0]}, {share}"
    first, second = found.members
    way = to_places(100 * found.share, 0)
    return (
        f"the point lies between {first} and {second}, {way} % of the way from the "
        f"first to the second, {share}"
    )


CAUTIONS = (
    "Rammer: keep hands, feet and loose clothing clear. Wear safety shoes, and hearing "
    "protection near a mechanical rammer. Stand the mold on solid ground or concrete.",
    "Traffic and plant: on the fill, work inside the closure, in high-visibility "
    "clothing, away from rollers and trucks.",
    "Dust: dry soil may contain silica. Keep upwind, or wear a mask.",
    "Drying: oven, stove and microwave burn, and carbide gas explodes. Ventilate, keep "
    "flames away, use tongs and eye protection.",
)

STEPS = (
    "Take soil from the lift or the sample, and screen it as the method of the family "
    "asks.",
    "Judge its moisture by hand: it must be dry of its optimum, best at 85 to 95 % of "
    "it. Add water or let it dry, and mix.",
    "Weigh the empty mold. Compact the specimen with the rammer, layers and blows of "
    "the family's method, the last layer just above the rim.",
    "Trim it, clean the outside, weigh mold and wet soil.",
    "Take the moisture specimen over the full height, and find its water content.",
    "Plot the point on the family: if it is not at 80 to 100 % of the optimum that it "
    "leads to, compact another specimen.",
)
TICKS = (
    "Mold on solid ground, collar tight",
    "Last layer above the rim over its whole face, and not too high",
    "Soil dry of its optimum before compaction",
    "Rammer, layers and blows are those of the family",
)
