"""Field densities to be changed by tests: a sand cone computed by itself."""

from typing import Any

from buildsite.archive.archive import compute_standalone
from buildsite.kinds.outcome import Outcome

SAND_CONE = """format: 1
kind: field-density
id: HF-F0231
zone: embankment
lift: "7"
apparatus: sand-cone
standard: {designation: AASHTO T 191, edition: "14(2018)", method: none}
tested: {on: 2026-06-02, at: "10:40", by: T07}
status: complete
units: {mass: g, moisture: g, density: g/cm3, volume: cm3, position: m, depth: mm}
apparatus_before: 8084
apparatus_after: 4172
wet_soil: 3136
water_content_by: oven
water_content: 12.0
sand: {bulk_density: 1.507, cone: 1480}
target: {maximum_dry_density: 1.85, optimum_water_content: 13.0, source: "a curve"}
requirement: {least_percent_compaction: "95", compare: rounded}
"""
"""Hole 2432/1.507 = 1613.80 cm³; wet 3136/1613.80 = 1.94324; dry 1.73503 g/cm³;
93.785 % of 1.85. All by hand."""


def changed(*pairs: tuple[str, str], more: str = "") -> str:
    """Return the sand cone with texts replaced, and more lines."""
    text = SAND_CONE
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text + more


def computed(text: str) -> Outcome:
    """Return the outcome of a record by itself."""
    made, flags = compute_standalone(text.encode(), "HF-F0231.yaml")
    assert made is not None, "\n".join(map(str, flags))
    return made


def acceptance(made: Outcome) -> Any:
    """Return the verdict as in the JSON."""
    return made.detail()["acceptance"]


def value(made: Outcome, name: str) -> float:
    """Return an unrounded result."""
    return made.results[name].value
