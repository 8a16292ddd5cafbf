"""A result as a row of a table: of what, how, found when, and where it stands."""

from collections.abc import Iterator
from datetime import date

from buildsite.values import dataclass

GOVERNING = ("maximum_dry_density", "optimum_water_content")
"""Results that a field test is judged by, whichever pair of a test that is."""


@dataclass(frozen=True)
class Figure:
    """
    One reported result.

    `value` is unrounded, in `unit` (SI; percent for ratios), None where no kept result
    has it. `reported` is its number and unit as the report prints them, `term` the
    standard's word for it.
    """

    name: str
    value: float | None
    unit: str
    reported: str
    term: str

    @property
    def number(self) -> str:
        """The number as reported, with its places: 121.0."""
        return self.reported.partition(" ")[0].lstrip("+")

    @property
    def reported_unit(self) -> str:
        """The unit as reported: lb/ft3."""
        return self.reported.partition(" ")[2]


@dataclass(frozen=True)
class Raised:
    """A flag by name; `severity` is error, warning or note."""

    flag: str
    severity: str
    accepted: bool = False


@dataclass(frozen=True)
class ResultRow:
    """
    The current result of one test.

    `revision` is None for a test that was not issued. `status` is issued, preliminary,
    withdrawn, not issued, in progress or unreadable; a withdrawn test has no results.
    """

    id: str
    revision: int | None
    status: str
    kind: str
    project: str
    issued: date | None = None
    tested: date | None = None
    sample: str = ""
    soil: str = ""
    soil_class: str = ""
    source: str = ""
    zone: str = ""
    lift: str = ""
    standard: str = ""
    edition: str = ""
    method: str = ""
    results: tuple[Figure, ...] = ()
    governing: tuple[str, ...] = ()  # names of the results field tests are judged by
    flags: tuple[Raised, ...] = ()
    verdict: str = ""  # of a field test: pass | fail | none
    judged_by: str = ""  # its reference with the revision, as HF-0117 r1
    address: str = ""  # of its page, from the top of the site

    def figure(self, name: str) -> Figure | None:
        """Return a result by name."""
        return next((one for one in self.results if one.name == name), None)

    def governs(self, name: str) -> Figure | None:
        """Return the result that field tests are judged by: corrected, where it is."""
        found = (one for one in self.governing if one.endswith(name))
        return next((one for one in map(self.figure, found) if one is not None), None)


def addressed(row: ResultRow, base: str) -> str:
    """
    Return the address of a row's page.

    In full where the site's own is known, else from the top of the site.
    """
    if not row.address or not base:
        return row.address
    return f"{base.rstrip('/')}/{row.address.removesuffix('index.html')}"


def terms(row: ResultRow) -> Iterator[str]:
    """Yield the standard's word for each result, in order."""
    for one in row.results:
        yield one.term
