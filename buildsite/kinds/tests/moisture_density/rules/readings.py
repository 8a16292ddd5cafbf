"""Readings: which are missing or given twice, their units, and what masses allow."""

from collections.abc import Iterator
from decimal import Decimal

from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.model import MoistureDensity, Point
from buildsite.kinds.tests.moisture_density.rules.common import (
    at_point,
    containers_at,
    each_container,
    unfinished,
)
from buildsite.kinds.tests.moisture_density.specimens import mold_id
from buildsite.kinds.tests.shared.columns import Line
from buildsite.kinds.tests.shared.completeness import listed
from buildsite.kinds.tests.shared.containers import container_rules
from buildsite.kinds.tests.shared.rules.columns import Column, too_coarse
from buildsite.record.flags import Doubt, Field, Rule, Severity

MASS_FORMS = ("mold_and_wet_soil", "wet_density", "dry_density")
CONTAINER_MASSES = ("container_mass", "container_and_wet", "container_and_dry")


def given(part: object, names: tuple[str, ...]) -> list[str]:
    """Which of some fields are written."""
    return [name for name in names if getattr(part, name) is not None]


def no_points(case: Test) -> Iterator[Doubt]:
    """A test without a single point."""
    if not case.record.points:
        yield Doubt(
            field=("points",),
            found="no points",
            expected="a line for each specimen compacted",
            mend="enter the bench sheet, or set the status to in-progress",
            severity=unfinished(case),
        )


def missing_reading(case: Test) -> Iterator[Doubt]:
    """A point whose density or water content no reading tells."""
    severity = unfinished(case)
    mend = ENTER_LATER if severity is not None else LOST
    for i, point in enumerate(case.record.points):
        if point.rejected is None:
            for field, found, expected in wanting(i, point):
                yield Doubt(field, found, expected, mend, severity)
    weighed = [point for point in case.record.points if point.mold_and_wet_soil]
    if case.record.mold_mass is None and any(p.mold_mass is None for p in weighed):
        yield Doubt(
            field=("mold_mass",),
            found="nothing",
            expected="the empty mold as weighed for this test",
            mend="enter mold_mass, from the same balance as the filled mold",
            severity=severity,
        )


ENTER_LATER = "enter it as soon as it is read"
LOST = (
    "take it from the bench sheet; if it was never read, reject the point and say why"
)


def wanting(i: int, point: Point) -> Iterator[tuple[Field, str, str]]:
    """Say where a reading of a point is wanting, what stands there, and what should."""
    lead: Field = ("points", i)
    if not given(point, MASS_FORMS):
        yield lead, "no mass of the specimen", "mold_and_wet_soil, as weighed"
    if point.water_content is not None:
        return
    containers = list(containers_at(i, point))
    if not containers:
        yield lead, "no water content", "the masses of a moisture container"
    for field, one in containers:
        missing = [name for name in CONTAINER_MASSES if not_read(one, name)]
        if missing:
            which = f"container {one.container}" if one.container else "the container"
            yield field, f"{which} without {', '.join(missing)}", "three masses"


def not_read(part: object, name: str) -> bool:
    """Whether a mass, or every one of a list, is wanting."""
    value = getattr(part, name)
    return value is None or value == ()


def missing_unit(case: Test) -> Iterator[Doubt]:
    """Values whose unit the record does not name."""
    record = case.record
    inner = [name for point in record.points for name in given(point, POINT_VALUES)]
    used = {
        "compacted": record.mold_mass is not None or any(n in COMPACTED for n in inner),
        "moisture": any(
            given(one, CONTAINER_MASSES) for _, _, one in each_container(case)
        ),
        "density": any(n in DENSITIES for n in inner)
        or (record.curve is not None and record.curve.drawn is not None),
        "volume": record.mold_volume is not None,
    }
    for name, needed in used.items():
        if needed and getattr(record.units, name) is None:
            yield Doubt(
                field=("units", name),
                found="nothing",
                expected=f"the unit of {UNIT_OF[name]}",
                mend=f"add {name} to units, as the bench sheet's column says",
            )


COMPACTED = ("mold_and_wet_soil", "mold_mass", "specimen_mass")
DENSITIES = ("wet_density", "dry_density")
POINT_VALUES = (*COMPACTED, *DENSITIES)
UNIT_OF = {
    "compacted": "mold and soil",
    "moisture": "the moisture containers",
    "density": "the densities",
    "volume": "mold_volume",
}


def two_forms_of_one_value(case: Test) -> Iterator[Doubt]:
    """A point that gives its density, or its water content, in two ways."""
    for i, point in enumerate(case.record.points):
        forms = given(point, MASS_FORMS)
        water = given(point, ("water_content",))
        if any(given(one, CONTAINER_MASSES) for one in point.all_containers):
            water.append("container masses")
        for both in (forms, water):
            if len(both) > 1:
                yield Doubt(
                    field=("points", i),
                    found=" and ".join(both),
                    expected="one of them",
                    mend="keep what was observed, and take out what follows from it",
                    severity=at_point(point),
                )


def volume_stated_and_calibrated(case: Test) -> Iterator[Doubt]:
    """A stated mold volume beside a mold whose calibration is on file."""
    record = case.record
    named = any(mold_id(record, point) for point in record.points)
    if record.mold_volume is not None and named and not case.inputs.alone:
        yield Doubt(
            field=("mold_volume",),
            found=f"{record.mold_volume} {record.units.volume or ''}".rstrip(),
            expected="nothing beside a named mold: its calibration counts",
            mend="take mold_volume out, or the mold if its calibration is not on file",
        )


def values_transcribed(case: Test) -> Iterator[Doubt]:
    """Points whose values were taken over from a report, not observed."""
    taken = [point for point in case.values.points if point.transcribed]
    if taken:
        names = sorted({name for point in taken for name in point.transcribed})
        numbers = listed([point.number for point in taken])
        yield Doubt(
            field=("points", taken[0].number - 1),
            found=f"{', '.join(names)} at {numbers}",
            expected="masses as observed",
            mend="nothing, if the observations are lost: the report says so",
        )


def container_lines(record: MoistureDensity) -> Iterator[Line]:
    """Every container of every point."""
    for i, point in enumerate(record.points):
        for field, one in containers_at(i, point):
            yield Line(field, one, f"point {i + 1}", point.rejected is not None)


def soil_no_heavier_than_mold(case: Test) -> Iterator[Doubt]:
    """A mold that weighs no more with soil in it than empty."""
    unit = case.record.units.compacted or ""
    for i, point in enumerate(case.record.points):
        own = point.mold_mass is not None
        mold = point.mold_mass if own else case.record.mold_mass
        whole = point.mold_and_wet_soil
        if mold is not None and whole is not None and whole <= mold:
            yield Doubt(
                field=("points", i, "mold_and_wet_soil"),
                found=f"{whole} {unit}",
                expected=f"more than the empty mold, {mold} {unit}",
                mend="weigh mold and soil together, or look for a mold taken away "
                "twice",
                severity=at_point(point),
            )


def column(case: Test, name: str) -> Iterator[tuple[Field, Decimal | None]]:
    """Every reading of one of the container masses."""
    for _, field, one in each_container(case):
        value = getattr(one, name)
        for reading in value if isinstance(value, tuple) else (value,):
            yield (*field, name), reading


def columns(case: Test) -> Iterator[Column]:
    """Mold and soil, then each mass of the containers."""
    units = case.record.units
    compacted: list[tuple[Field, Decimal | None]] = [
        (("points", i, "mold_and_wet_soil"), point.mold_and_wet_soil)
        for i, point in enumerate(case.record.points)
    ]
    yield Column("resolution_compacted", units.compacted, compacted)
    for name in CONTAINER_MASSES:
        yield Column("resolution_moisture", units.moisture, [*column(case, name)])


def no_container(case: Test) -> Iterator[Field]:
    """Containers that nobody named."""
    for _, field, one in each_container(case):
        if one.container is None:
            yield (*field, "container")


def no_water_added(case: Test) -> Iterator[Field]:
    """Points whose water nobody wrote down."""
    for i, point in enumerate(case.record.points):
        if point.water_added_ml is None and point.mold_and_wet_soil is not None:
            yield ("points", i, "water_added_ml")


AT_POINTS = {"container": no_container, "water_added_ml": no_water_added}
"""Demands that are met point by point."""


RULES: tuple[Rule[Test], ...] = (
    Rule("no-points", Severity.ERROR, "common practice", no_points),
    Rule("missing-reading", Severity.ERROR, "common practice", missing_reading),
    Rule("missing-unit", Severity.ERROR, "common practice", missing_unit),
    Rule(
        "two-forms-of-one-value",
        Severity.ERROR,
        "record format 1",
        two_forms_of_one_value,
    ),
    Rule(
        "volume-stated-and-calibrated",
        Severity.WARNING,
        "common practice",
        volume_stated_and_calibrated,
    ),
    Rule(
        "values-transcribed",
        Severity.NOTE,
        "ISO/IEC 17025:2017, 7.5.1",
        values_transcribed,
    ),
    too_coarse(columns),
    *container_rules(container_lines),
    Rule(
        "soil-no-heavier-than-mold",
        Severity.ERROR,
        "conservation of mass",
        soil_no_heavier_than_mold,
    ),
)
