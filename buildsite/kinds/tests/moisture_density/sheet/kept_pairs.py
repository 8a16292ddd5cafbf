"""The pairs and the curve of a kept result."""

from collections.abc import Mapping
from typing import Any

from buildsite.kinds.sheet import DrawnCurve, Pair, packed_line

PEAK = ("optimum_water_content", "maximum_dry_density")
CORRECTED = tuple(f"corrected_{name}" for name in PEAK)


def peak(result: Mapping[str, Any]) -> Pair | None:
    """Return optimum water content [%] and maximum dry density [kg/m³], if any."""
    found = [result.get("results", {}).get(name) for name in PEAK]
    if any(one is None for one in found):
        return None
    return found[0]["value"], found[1]["value"]


def line_points(result: Mapping[str, Any]) -> list[Pair]:
    """Return the points along the curve as drawn."""
    return [(x, y) for x, y in result.get("curve", {}).get("line") or ()]


def whole_soil(result: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return the results corrected for oversize, by the names of the others."""
    told = result.get("results", {})
    return {
        name: told[of]
        for name, of in zip(PEAK, CORRECTED, strict=True)
        if told.get(of) is not None
    }


def corrected(result: Mapping[str, Any]) -> Pair | None:
    """Return the pair of the whole soil, corrected for oversize, if any."""
    return peak({"results": whole_soil(result)})


def drawn_curve(result: Mapping[str, Any]) -> DrawnCurve:
    """Return what is read off the curve of a kept result."""
    curve = result.get("curve", {})
    judged = CORRECTED[0] in result.get("governing", ())
    told = whole_soil(result) if judged else result.get("results", {})
    texts = [
        str(told.get(name, {}).get("reported", "")).partition(" ")[0] for name in PEAK
    ]
    return DrawnCurve(
        unit=str(curve.get("density_unit", "")),
        line=packed_line(line_points(result)),
        peak=peak(result),
        governing=peak({"results": told}),
        maximum=texts[1],
        optimum=texts[0],
        specific_gravity=curve.get("specific_gravity"),
        water_density=curve.get("water_density"),
    )
