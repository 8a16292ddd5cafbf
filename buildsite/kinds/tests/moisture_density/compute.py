"""Compute water contents, densities, the curve and its peak from readings, in SI."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from functools import cached_property
from typing import TypeAlias

from buildsite.kinds.answers import (
    LaboratoryFacts,
    OversizeFact,
    ProjectFacts,
    SampleFacts,
    SpecificGravityFact,
)
from buildsite.kinds.kind import Case, Inputs
from buildsite.kinds.reporting import fitting_unit
from buildsite.kinds.sieves import same_sieve
from buildsite.kinds.stated_facts import stated_gravity, stated_oversize
from buildsite.kinds.tests.moisture_density.model import MoistureDensity
from buildsite.kinds.tests.moisture_density.specimens import PointValues, point_values
from buildsite.kinds.tests.moisture_density.whole_soil import Corrected, correct
from buildsite.record.units import to_si
from buildsite.soil.curves import (
    AUTO,
    FORMS,
    TOLERANCE,
    Curve,
    Fits,
    NoPeak,
    Solids,
    Spread,
    fits_of,
    spread,
)
from buildsite.soil.water import COLDEST, WARMEST, water_density
from buildsite.standards.method import Method
from buildsite.values import dataclass

FEWEST_POINTS = 3
"""Least number of points for a peak, whatever the standard."""

STATED_TEMPERATURE_C = Decimal(20)
"""Water temperature of the zero-air-voids line where the record states none."""


@dataclass(frozen=True)
class Values:
    """All computed values of one test."""

    points: tuple[PointValues, ...]
    on_curve: tuple[PointValues, ...]  # points on the curve, driest first
    gravity: SpecificGravityFact | None
    water_temperature_c: float
    water_density: float
    oversize: OversizeFact | None
    requested_form: str  # curve type, or "drawn"
    fits: Fits  # curves of every type, each fitted once
    curve: Curve | NoPeak
    maximum_dry_density: float | None  # [kg/m³]
    optimum_water_content: float | None  # [%]
    corrected: Corrected | None
    density_unit: str  # of the report

    @cached_property
    def solids(self) -> Solids | None:
        """Return what the zero-air-voids line is computed from."""
        if self.gravity is None:
            return None
        return Solids(float(self.gravity.value), self.water_density)

    @property
    def is_drawn(self) -> bool:
        """Return whether a person drew the peak."""
        return self.requested_form == "drawn"

    @property
    def no_peak(self) -> tuple[str, str] | None:
        """Return why no peak is reported, as a stable reason and in words, or None."""
        if self.maximum_dry_density is not None:
            return None
        if isinstance(self.curve, NoPeak) and not self.is_drawn:
            return self.curve.reason, self.curve.words
        return "no-unit", "units.density does not state the unit of the drawn peak"

    @cached_property
    def spread(self) -> Spread | None:
        """Return the peaks by every curve type; None with fewer than three points."""
        enough = len(self.fits.points) >= FEWEST_POINTS
        return spread(self.fits, TOLERANCE) if enough else None


Test: TypeAlias = Case[MoistureDensity, Values]
"""A compaction test with its record, method, answers and values."""


def points_of_curve(points: Iterable[PointValues]) -> tuple[PointValues, ...]:
    """Return the points on the curve, driest first."""
    return tuple(
        sorted(
            (one for one in points if not one.rejected and one.dry_density is not None),
            key=lambda one: (one.water_content or 0.0, one.number),
        )
    )


def gravity_of(record: MoistureDensity, inputs: Inputs) -> SpecificGravityFact | None:
    """Return the specific gravity of the test, else of its sample."""
    stated = record.specific_gravity
    if stated is not None and (stated.test is not None or stated.value is not None):
        return stated_gravity(stated, record.id, inputs)
    sample = inputs.get(SampleFacts, record.sample)
    return sample.specific_gravity if sample is not None else None


def gravity_in_mold(
    fact: SpecificGravityFact | None, method: Method | None
) -> SpecificGravityFact | None:
    """Return the specific gravity of the soil in the mold, where a test gives two."""
    if fact is None or fact.passing_value is None or method is None:
        return fact
    alone = same_sieve(method.sieve, fact.passing)
    return replace(fact, value=fact.passing_value) if alone else fact


def oversize_of(record: MoistureDensity, inputs: Inputs) -> OversizeFact | None:
    """Return the oversize of the test, else of its sample."""
    stated = record.oversize
    named = stated is not None and stated.test is not None
    if named or (stated is not None and stated.percent_retained is not None):
        return stated_oversize(stated, record.id, inputs)
    sample = inputs.get(SampleFacts, record.sample)
    return sample.oversize if sample is not None else None


def requested_form(record: MoistureDensity, inputs: Inputs) -> str:
    """Return the curve type of the record, else of the laboratory, else `auto`."""
    if record.curve is not None and record.curve.drawn is not None:
        return "drawn"
    if record.curve is not None and record.curve.form is not None:
        return record.curve.form
    lab = inputs.get(LaboratoryFacts, "lab")
    return lab.curve if lab is not None else "auto"


def peak_as_drawn_or_fitted(
    record: MoistureDensity, curve: Curve | NoPeak
) -> tuple[float | None, float | None]:
    """Return maximum dry density [kg/m³] and optimum [%], drawn or fitted."""
    drawn = record.curve.drawn if record.curve is not None else None
    if drawn is not None:
        unit = record.units.density
        if unit is None:
            return None, None
        return to_si(drawn.maximum_dry_density, unit), float(
            drawn.optimum_water_content
        )
    if isinstance(curve, Curve):
        return curve.peak_dry_density, curve.peak_water_content
    return None, None


def report_unit(record: MoistureDensity, inputs: Inputs, method: Method | None) -> str:
    """Return the density unit of the project, else of the laboratory or standard."""
    project = inputs.get(ProjectFacts, record.project)
    lab = inputs.get(LaboratoryFacts, "lab")
    for facts in (project, lab):
        if facts is not None and facts.report_density is not None:
            return fitting_unit(facts.report_density, method)
    return method.default_density_unit if method is not None else "kg/m3"


def known_form(asked: str) -> str:
    """Return the curve type to fit: the default for a drawn peak or unknown type."""
    return asked if asked in FORMS else AUTO


def compute(record: MoistureDensity, inputs: Inputs, method: Method | None) -> Values:
    """Compute a test from its readings and from other records' answers."""
    gravity = gravity_in_mold(gravity_of(record, inputs), method)
    temperature = float(STATED_TEMPERATURE_C)
    if gravity is not None and gravity.water_temperature_c is not None:
        temperature = float(gravity.water_temperature_c)
    temperature = min(max(temperature, COLDEST), WARMEST)
    density = water_density(temperature)
    solids = Solids(float(gravity.value), density) if gravity is not None else None
    points = tuple(
        point_values(record, i, inputs, method, solids)
        for i in range(len(record.points))
    )
    used = points_of_curve(points)
    through = tuple(
        (point.water_content, point.dry_density)
        for point in used
        if point.water_content is not None and point.dry_density is not None
    )
    fits = fits_of(through, solids)
    form = requested_form(record, inputs)
    curve = fits.fit(known_form(form))
    peak, optimum = peak_as_drawn_or_fitted(record, curve)
    lab = inputs.get(LaboratoryFacts, "lab")
    least = lab.oversize_least_percent if lab is not None else None
    coarse = oversize_of(record, inputs)
    return Values(
        points=points,
        on_curve=used,
        gravity=gravity,
        water_temperature_c=temperature,
        water_density=density,
        oversize=coarse,
        requested_form=form,
        fits=fits,
        curve=curve,
        maximum_dry_density=peak,
        optimum_water_content=optimum,
        corrected=correct(
            peak, optimum, coarse, method, None if least is None else float(least)
        ),
        density_unit=report_unit(record, inputs, method),
    )
