"""What a test of the demo is planned to be."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Method:
    """A method as the bench follows it."""

    designation: str
    edition: str
    letter: str
    effort: str
    sieve: str
    layers: int
    blows: int
    moist_specimen: tuple[float, float]  # least and most a technician takes [g]


SMALL, LARGE = (145.0, 180.0), (570.0, 680.0)

METHODS = {
    (one.designation, one.letter): one
    for one in (
        Method("AASHTO T 99", "22", "A", "standard", "No. 4", 3, 25, SMALL),
        Method("AASHTO T 99", "22", "C", "standard", "3/4 in", 3, 25, LARGE),
        Method("AASHTO T 180", "22", "A", "modified", "No. 4", 5, 25, SMALL),
        Method("AASHTO T 180", "22", "D", "modified", "3/4 in", 5, 56, LARGE),
        Method("ASTM D698", "12(2021)", "A", "standard", "No. 4", 3, 25, SMALL),
        Method("ASTM D698", "12(2021)", "B", "standard", "3/8 in", 3, 25, SMALL),
        Method("ASTM D1557", "12(2021)", "A", "modified", "No. 4", 5, 25, SMALL),
        Method("ASTM D1557", "12(2021)", "C", "modified", "3/4 in", 5, 56, LARGE),
    )
}

RAMMERS = {
    "R-01": ("manual", "round"),
    "R-02": ("mechanical", "round"),
    "R-03": ("mechanical", "sector"),
}


@dataclass(frozen=True)
class Water:
    """
    How the water was brought up.

    Separate specimens have a `target` each [%]. Soil compacted again and again starts
    at the first target and goes up by `step` [points] until the wet mass falls.
    """

    before: float  # as received, or air-dried [%]
    targets: tuple[float, ...]
    step: float = 0.0
    soil: float = 2500.0  # moist soil of a specimen, or of the reused sample [g]
    stood_hours: float = 0.0  # after wetting; none: no times written down


@dataclass(frozen=True)
class Mishap:
    """What went wrong at a point (from 1)."""

    point: int
    lost: float = 0.0  # share of the density: soil lost with the collar; then repeated
    rejected: str = ""  # why the engineer left the point out


@dataclass(frozen=True)
class Test:
    """One compaction test. `words`: what people wrote below the readings."""

    __test__ = False  # pytest: no test of ours

    id: str
    sample: str
    method: tuple[str, str]
    mold: str
    rammer: str
    on: date
    water: Water
    people: tuple[str, str, str]  # compacted, dried, checked the entry
    containers: tuple[str, int]  # the first number, and how many at each point
    unit: str = "g"
    preparation: str = "moist"
    dried_back: str = ""
    status: str = "complete"
    reviewer: str = "E02"
    reviewed_after: int = 1  # working days from drying
    mishaps: tuple[Mishap, ...] = ()
    curve: str = "curve: {form: auto}"
    uncertainty: bool = False  # whether the customer wants it stated
    oven_hours: tuple[float, ...] = ()  # successive weighings; none: overnight
    bleeding_from: float = 99.0  # water content from which the base runs [%]
    undried: int = 0  # points still in the oven
    words: str = ""

    @property
    def specimens(self) -> str:
        """Fresh soil for each point, or the same again."""
        return "reused" if self.water.step else "separate"

    @property
    def overnight(self) -> bool:
        """Whether the soil stood from the day before."""
        return self.water.stood_hours > 12

    @property
    def project(self) -> str:
        """The folder it stands in."""
        return {"HF": "heron-flats", "AQ": "alder-quay"}[self.id[:2]]

    @property
    def file(self) -> str:
        """Its path in the archive."""
        return f"records/{self.project}/tests/{self.id}.yaml"
