"""
A field test, or a paper of the fill, as its result tells it.

Read from the result of any kind that tells `field` (`show --json`, or the result kept
with an issued report), so no kind is known by name. Plain values, which are sent from
worker to writer.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from buildsite.kinds.field_answers import RequirementFacts
from buildsite.kinds.field_control.closing import NO_VERDICT, Pairs, counts
from buildsite.values import dataclass

PERCENT, DENSITY, WATER, DEVIATION = (
    "percent_compaction",
    "dry_density",
    "water_content",
    "water_content_deviation",
)
"""Results and criteria of a field test."""


@dataclass(frozen=True)
class Reported:
    """A result: its value in SI, and the text that is reported."""

    value: float
    unit: str
    text: str


@dataclass(frozen=True)
class Criterion:
    """One bound of the requirement, as the verdict compared it."""

    name: str  # percent_compaction | dry_density | water_content
    side: str  # least | most
    limit: str
    unit: str = ""
    compare: str = ""  # rounded | absolute
    compared: str = ""
    met: bool | None = None


@dataclass(frozen=True)
class FieldTest:
    """
    One field test as told.

    `state`, `revision`, `withdrawn` and the days come from its row in the lists of the
    site. `retest` is the test that it retests after `rework`; `disposition` what was
    decided on a failure, in words.
    """

    id: str
    project: str
    zone: str
    lift: str
    place: str
    position: Pairs = ()
    position_unit: str = ""
    coordinates: Pairs = ()
    purpose: str = ""
    apparatus: str = ""
    results: tuple[tuple[str, Reported], ...] = ()
    verdict: str = NO_VERDICT
    why: str = ""
    decision: str = ""
    criteria: tuple[Criterion, ...] = ()
    reference: str = ""
    judged_by: str = ""  # the reference with its revision, as HF-0117 r1
    basis: str = ""  # how the reference was matched
    maximum: float | None = None  # of the target [kg/m³]
    optimum: float | None = None  # [%]
    how: str = ""  # where the target is from, in words
    density_unit: str = ""
    compared: tuple[float, float] | None = None  # water content [%], density [kg/m³]
    fraction: str = ""  # that was compared: whole soil, or what passes a sieve
    coarse: str = ""
    retest_of: str = ""
    check_of: str = ""
    rework: str = ""
    disposition: str = ""
    preliminary_water: bool = False
    tested_on: date | None = None
    tested_at: str = ""
    tested_by: str = ""
    state: str = ""
    revision: int | None = None
    issued_on: date | None = None
    withdrawn: bool = False
    requirement: RequirementFacts | None = field(default=None, compare=False)

    def result(self, name: str) -> Reported | None:
        """Return a result by name."""
        return dict(self.results).get(name)

    @property
    def percent(self) -> float | None:
        """Percent compaction, unrounded."""
        found = self.result(PERCENT)
        return found.value if found is not None else None

    @property
    def counts(self) -> bool:
        """Whether it counts towards its lift."""
        return counts(self) and not self.withdrawn


@dataclass(frozen=True)
class LiftPaper:
    """The acceptance of a lift, as told by its record or report."""

    id: str
    zone: str
    lift: str
    on: str
    by: str
    tests: tuple[str, ...]
    state: str = ""
    withdrawn: bool = False
    basis: str = ""
    issued: bool = False  # as a report that is not preliminary


@dataclass(frozen=True)
class DayPaper:
    """The report of a day, as told by its record or report."""

    id: str
    on: str
    inspector: str
    tests: tuple[str, ...]
    state: str = ""
    withdrawn: bool = False


Told = FieldTest | LiftPaper | DayPaper


def words(value: Any) -> str:
    """
    Return a told value in words: a text, or the parts of a mapping.

    >>> words({"what": "rolled again", "by": "T07", "on": "2026-06-02"})
    'rolled again, T07, 2026-06-02'
    """
    if isinstance(value, Mapping):
        return ", ".join(filter(None, (words(value[key]) for key in ordered(value))))
    if isinstance(value, list | tuple):
        return ", ".join(filter(None, map(words, value)))
    return "" if value is None or value is False else str(value)


FIRST_SAID = ("as", "what", "percent", "sieve", "document", "by", "on")
"""Order of the parts of a told mapping; others follow by name."""


def ordered(value: Mapping[str, Any]) -> list[str]:
    """Return the keys of a told mapping in the order in which they are said."""
    known = [key for key in FIRST_SAID if key in value]
    return [*known, *sorted(set(value) - set(known))]


def pairs(value: Any) -> Pairs:
    """Return a told mapping as pairs of texts, blank ones left out."""
    items: Sequence[Any]
    items = list(value.items()) if isinstance(value, Mapping) else list(value or ())
    return tuple((str(key), str(one)) for key, one in items if one not in (None, ""))


def day_of(text: Any) -> date | None:
    """Return a told date; None where it is none."""
    try:
        return date.fromisoformat(str(text))
    except ValueError:
        return None


def number(text: str) -> Decimal | None:
    """
    Return a reading; None where it is none.

    >>> number("-97.2"), number("n. d.")
    (Decimal('-97.2'), None)
    """
    try:
        found = Decimal(text)
    except InvalidOperation:
        return None
    return found if found.is_finite() else None


def compared_of(point: Mapping[str, Any]) -> tuple[float, float] | None:
    """Return water content and dry density of the fraction that was compared."""
    water, density = point.get("water_content"), point.get("dry_density")
    if water is None or density is None:
        return None
    return float(water), float(density)


def coarse_words(coarse: Any) -> str:
    """
    Return the coarse fraction in words.

    >>> coarse_words({"percent": 23.44, "sieve": "No. 4"}), coarse_words(None)
    ('23.4 % on No. 4', '')
    """
    if not isinstance(coarse, Mapping) or coarse.get("percent") is None:
        return ""
    return f"{float(coarse['percent']):.1f} % on {words(coarse.get('sieve'))}"


def criteria_of(acceptance: Mapping[str, Any]) -> Iterator[Criterion]:
    """Return the bounds that a verdict compared."""
    for one in acceptance.get("criteria") or ():
        met = one.get("met")
        yield Criterion(
            str(one.get("criterion", "")),
            str(one.get("side", "")),
            str(one.get("limit", "")),
            words(one.get("unit")),
            words(one.get("compare")),
            words(one.get("compared")),
            met if isinstance(met, bool) else None,
        )


def results_of(result: Mapping[str, Any]) -> Iterator[tuple[str, Reported]]:
    """Return the results by name."""
    for name, one in (result.get("results") or {}).items():
        yield name, Reported(float(one["value"]), str(one["unit"]), one["reported"])


def decided(disposition: Any) -> str:
    """
    Return a disposition in words; blank where nobody signed it: it closes nothing.

    >>> decided({"as": "removed", "by": "E02"}), decided({"as": "removed"})
    ('removed, E02', '')
    """
    unsigned = isinstance(disposition, Mapping) and not disposition.get("by")
    return "" if unsigned else words(disposition)


def field_test(result: Mapping[str, Any], id: str, project: str) -> FieldTest | None:
    """Return a field test as its result tells it; None for a result of another sort."""
    told = result.get("field")
    if not isinstance(told, Mapping):
        return None
    acceptance = result.get("acceptance") or {}
    target = told.get("target") or {}
    point = told.get("point") or {}
    reference = words(told.get("reference"))
    matched = (told.get("reference_basis"), told.get("reference_by"))
    return FieldTest(
        id=id,
        project=project,
        zone=words(told.get("zone")),
        lift=words(told.get("lift")),
        place=words(told.get("place")),
        position=pairs(told.get("position")),
        position_unit=words(told.get("position_unit")),
        coordinates=pairs(told.get("coordinates")),
        purpose=words(told.get("purpose")),
        apparatus=words(told.get("apparatus")),
        results=tuple(results_of(result)),
        verdict=words(acceptance.get("verdict")) or NO_VERDICT,
        why=words(acceptance.get("why")),
        decision=words(acceptance.get("decision")),
        criteria=tuple(criteria_of(acceptance)),
        reference=reference,
        judged_by=words(told.get("reference_revision")) or reference,
        basis=", ".join(filter(None, map(words, matched))),
        maximum=target.get("maximum_dry_density"),
        optimum=target.get("optimum_water_content"),
        how=words(target.get("how")),
        density_unit=words(point.get("density_unit")),
        compared=compared_of(point),
        fraction=words(point.get("fraction")),
        coarse=coarse_words(told.get("coarse")),
        retest_of=words(told.get("retest_of")),
        check_of=words(told.get("check_of")),
        rework=words(told.get("rework")),
        disposition=decided(told.get("disposition")),
        preliminary_water=bool(told.get("preliminary_water")),
        tested_on=day_of(told.get("tested_on")),
        tested_at=words(told.get("tested_at")),
        tested_by=words(told.get("tested_by")),
    )
