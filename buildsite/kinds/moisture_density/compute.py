"""From readings to water contents, densities, a curve and its peak. SI throughout."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from buildsite.kinds.answers import (
    LaboratoryFacts,
    OversizeFact,
    ProjectFacts,
    SampleFacts,
    SpecificGravityFact,
)
from buildsite.kinds.kind import Inputs
from buildsite.kinds.limits import above
from buildsite.kinds.moisture_density.model import MoistureDensity
from buildsite.kinds.moisture_density.specimens import PointValues, point_values
from buildsite.kinds.reporting import fitting_unit
from buildsite.kinds.sieves import same_sieve
from buildsite.record.units import to_si
from buildsite.soil import oversize
from buildsite.soil.curves import AUTO, FORMS, Curve, NoPeak, Solids, fit
from buildsite.soil.water import COLDEST, WARMEST, water_density
from buildsite.standards.tables import Method

STATED_TEMPERATURE_C = Decimal(20)
"""Temperature of the water of the zero-air-voids line where the record is silent."""


@dataclass(frozen=True, slots=True)
class Corrected:
    """Results for the whole soil, oversize put back."""

    maximum_dry_density: float  # [kg/m³]
    optimum_water_content: float  # [%]
    assumed: tuple[str, ...]  # which values of the oversize were not measured


@dataclass(frozen=True, slots=True)
class Values:
    """All that was computed of one test."""

    points: tuple[PointValues, ...]
    gravity: SpecificGravityFact | None
    water_temperature_c: float
    water_density: float
    oversize: OversizeFact | None
    asked: str  # form of curve asked for, or "drawn"
    curve: Curve | NoPeak
    maximum_dry_density: float | None  # [kg/m³]
    optimum_water_content: float | None  # [%]
    corrected: Corrected | None
    density_unit: str  # for the report

    @property
    def solids(self) -> Solids | None:
        """What the zero-air-voids line rests on."""
        if self.gravity is None:
            return None
        return Solids(float(self.gravity.value), self.water_density)

    @property
    def no_peak(self) -> tuple[str, str] | None:
        """Why no peak is reported, as a stable reason and in words; None if one is."""
        if self.maximum_dry_density is not None:
            return None
        if isinstance(self.curve, NoPeak) and self.asked != "drawn":
            return self.curve.reason, self.curve.words
        return "no-unit", "units.density does not say in what the drawn peak is written"

    @property
    def used(self) -> tuple[PointValues, ...]:
        """Points that make the curve, driest first."""
        return tuple(
            sorted(
                (
                    point
                    for point in self.points
                    if not point.rejected and point.dry_density is not None
                ),
                key=lambda point: (point.water_content or 0.0, point.number),
            )
        )


def gravity_of(record: MoistureDensity, inputs: Inputs) -> SpecificGravityFact | None:
    """Specific gravity of the test itself, else of its sample."""
    stated = record.specific_gravity
    if stated is not None and stated.test is not None:
        return inputs.get(SpecificGravityFact, stated.test)
    if stated is not None and stated.value is not None:
        return SpecificGravityFact(
            stated.value,
            stated.basis or "assumed",
            stated.water_temperature_c,
            record.id,
        )
    sample = inputs.get(SampleFacts, record.sample)
    return sample.specific_gravity if sample is not None else None


def oversize_of(record: MoistureDensity, inputs: Inputs) -> OversizeFact | None:
    """Oversize of the test itself, else of its sample."""
    stated = record.oversize
    if stated is not None and stated.test is not None:
        return inputs.get(OversizeFact, stated.test)
    if stated is not None and stated.percent_retained is not None:
        return OversizeFact(
            stated.sieve or "",
            stated.percent_retained,
            stated.bulk_specific_gravity,
            stated.bulk_basis,
            stated.water_content,
            stated.absorption,
            record.id,
        )
    sample = inputs.get(SampleFacts, record.sample)
    return sample.oversize if sample is not None else None


def asked_form(record: MoistureDensity, inputs: Inputs) -> str:
    """Form of curve that the record asks for, else the laboratory, else `auto`."""
    if record.curve is not None and record.curve.drawn is not None:
        return "drawn"
    if record.curve is not None and record.curve.form is not None:
        return record.curve.form
    lab = inputs.get(LaboratoryFacts, "lab")
    return lab.curve if lab is not None else "auto"


def peak_of(
    record: MoistureDensity, curve: Curve | NoPeak
) -> tuple[float | None, float | None]:
    """Maximum dry density [kg/m³] and optimum [%]: as drawn by a person, or fitted."""
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


TAKEN_DRY = "gravel taken dry"
"""How a method that corrects so says it in its row: the oversize brings no water."""

ASSUMED_OVERSIZE_WATER = 2.0
"""Water content of oversize that nobody measured [%]: the figure that North Dakota's
edition of AASHTO T 224 (2011) fixes. The report says that it was assumed."""


def correct(
    density: float | None,
    optimum: float | None,
    coarse: OversizeFact | None,
    method: Method | None,
    least: float | None,
) -> Corrected | None:
    """Put the oversize back, where there is enough of it and not too much."""
    if density is None or optimum is None or coarse is None or method is None:
        return None
    percent = float(coarse.percent_retained)
    if percent <= (least if least is not None else method.oversize_least_percent):
        return None
    limit = method.cell("oversize_limit")
    if above(percent, limit, method) or coarse.bulk_specific_gravity is None:
        return None
    # What another sieve held back is not what was left out of the mold.
    if coarse.sieve and not same_sieve(coarse.sieve, method.oversize_sieve):
        return None
    water, assumed = oversize_water(coarse, method)
    bulk = float(coarse.bulk_specific_gravity)
    if coarse.bulk_basis == "SSD":
        absorption, guessed = absorption_of(coarse)
        assumed = (*assumed, *guessed)
        bulk = oversize.oven_dry_bulk(bulk, absorption)
    return Corrected(
        oversize.total_dry_density(density, percent, bulk),
        oversize.total_water_content(optimum, percent, water),
        assumed,
    )


def absorption_of(coarse: OversizeFact) -> tuple[float, tuple[str, ...]]:
    """
    Absorption of the oversize [%], and whether it had to be assumed.

    Where none is stated, its water content stands in: stones from a moist soil hold
    about what they absorb.
    """
    if coarse.absorption is not None:
        return float(coarse.absorption), ()
    if coarse.water_content is not None:
        return float(coarse.water_content), ("absorption",)
    return ASSUMED_OVERSIZE_WATER, ("absorption",)


def oversize_water(
    coarse: OversizeFact, method: Method
) -> tuple[float, tuple[str, ...]]:
    """Water content of the oversize [%], and whether it had to be assumed."""
    if coarse.water_content is not None:
        return float(coarse.water_content), ()
    if method.oversize_correction == TAKEN_DRY:
        return 0.0, ()
    fixed = method.oversize_water_content_percent
    return (ASSUMED_OVERSIZE_WATER if fixed is None else fixed), ("water content",)


def report_unit(record: MoistureDensity, inputs: Inputs, method: Method | None) -> str:
    """Unit of reported densities: the project's, the laboratory's, the standard's."""
    project = inputs.get(ProjectFacts, record.project)
    lab = inputs.get(LaboratoryFacts, "lab")
    for facts in (project, lab):
        if facts is not None and facts.report_density is not None:
            return fitting_unit(facts.report_density, method)
    return method.default_density_unit if method is not None else "kg/m3"


def fit_points(
    form: str, points: Sequence[PointValues], solids: Solids | None
) -> Curve | NoPeak:
    """
    Fit the points that count.

    A drawn peak, and a form that nobody knows (a flag says so), get the default curve.
    """
    pairs = [
        (point.water_content, point.dry_density)
        for point in points
        if point.water_content is not None and point.dry_density is not None
    ]
    return fit_pairs(form, pairs, solids)


def fit_pairs(
    form: str, pairs: list[tuple[float, float]], solids: Solids | None
) -> Curve | NoPeak:
    """Fit water contents [%] and dry densities [kg/m³] by the form that was asked."""
    return fit(form if form in FORMS else AUTO, pairs, solids)


def compute(record: MoistureDensity, inputs: Inputs, method: Method | None) -> Values:
    """Work out a whole test from its readings and the answers it got."""
    gravity = gravity_of(record, inputs)
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
    form = asked_form(record, inputs)
    curve = fit_points(form, [point for point in points if not point.rejected], solids)
    peak, optimum = peak_of(record, curve)
    lab = inputs.get(LaboratoryFacts, "lab")
    least = lab.oversize_least_percent if lab is not None else None
    coarse = oversize_of(record, inputs)
    return Values(
        points=points,
        gravity=gravity,
        water_temperature_c=temperature,
        water_density=density,
        oversize=coarse,
        asked=form,
        curve=curve,
        maximum_dry_density=peak,
        optimum_water_content=optimum,
        corrected=correct(
            peak, optimum, coarse, method, None if least is None else float(least)
        ),
        density_unit=report_unit(record, inputs, method),
    )
