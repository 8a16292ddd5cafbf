"""Checks of readings: missing, given twice, units, impossible masses."""

from collections.abc import Iterator
from itertools import pairwise

from buildsite.kinds.limits import HAIR
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.estimates import soil_in_pan, water_added
from buildsite.kinds.tests.moisture_density.model import (
    COLUMNS,
    CONTAINERS,
    SPECIMENS,
    MoistureDensity,
)
from buildsite.kinds.tests.moisture_density.rules.common import (
    has_impossible_density,
    note_if_rejected,
    note_until_complete,
)
from buildsite.kinds.tests.moisture_density.specimens import mold_id
from buildsite.kinds.tests.shared.columns import missing_in, missing_words
from buildsite.kinds.tests.shared.completeness import points_text
from buildsite.kinds.tests.shared.containers import (
    MASSES,
    MOISTURE,
    THREE_MASSES,
    container_rules,
)
from buildsite.kinds.tests.shared.rules.columns import (
    given_twice,
    rules_of,
    step,
    taken_over,
)
from buildsite.record.flags import Doubt, Field, Rule, error, note, warning
from buildsite.record.units import from_si, to_si

MASS_FORMS = ("mold_and_wet_soil", "wet_density", "dry_density")


def fields_written(part: object, names: tuple[str, ...]) -> list[str]:
    """Return those of some fields that are written."""
    return [name for name in names if getattr(part, name) is not None]


@error("no-points", "common practice")
def no_points(case: Test) -> Iterator[Doubt]:
    """A test without points."""
    if not case.record.points:
        yield Doubt(
            field=("points",),
            found="no points",
            expected="one line for each compacted specimen",
            mend="enter the bench sheet, or set the status to in-progress",
            severity=note_until_complete(case),
        )


def missing_reading(case: Test) -> Iterator[Doubt]:
    """A point without the readings for its density or water content."""
    severity = note_until_complete(case)
    mend = ENTER_LATER if severity is not None else TAKE_FROM_SHEET
    for i, point in enumerate(case.record.points):
        if point.rejected is None:
            for field, found, expected in missing_at(case.record, i):
                yield Doubt(field, found, expected, mend, severity)
    weighed = [point for point in case.record.points if point.mold_and_wet_soil]
    if case.record.mold_mass is None and any(p.mold_mass is None for p in weighed):
        yield Doubt(
            field=("mold_mass",),
            found="not stated",
            expected="the mass of the empty mold, as weighed for this test",
            mend="enter mold_mass, weighed on the same balance as the filled mold",
            severity=severity,
        )


ENTER_LATER = "enter it as soon as it is read"
TAKE_FROM_SHEET = (
    "take it from the bench sheet; if it was never read, reject the point and state why"
)


def missing_at(record: MoistureDensity, i: int) -> Iterator[tuple[Field, str, str]]:
    """Yield field, found and expected for each missing reading of a point."""
    point, place = record.points[i], ("points", i)
    if not fields_written(point, MASS_FORMS):
        yield place, "no mass of the specimen", "mold and wet soil, as weighed"
    if point.water_content is not None:
        return
    if not point.all_containers:
        yield place, "no water content", "the masses of a moisture container"
    for line in record.container_lines:
        missing = missing_words(line.part, MOISTURE) if line.field[:2] == place else ""
        if missing:
            label = line.part.container
            which = f"container {label}" if label else "the container"
            yield line.field, f"{which}: {missing} missing", THREE_MASSES


UNITS = {
    "compacted": "mold and soil",
    "moisture": "the moisture containers",
    "density": "the densities",
    "volume": "mold_volume",
}
"""Entries of `units`, and what each is the unit of."""


@error("two-forms-of-one-value", "record format 1")
def two_forms_of_one_value(case: Test) -> Iterator[Doubt]:
    """A point that states its density or water content in two ways."""
    for line in SPECIMENS.lines(case.record):
        point = line.part
        forms = fields_written(point, MASS_FORMS)
        water = fields_written(point, ("water_content",))
        if any(len(missing_in(one, MASSES)) < 3 for one in point.all_containers):
            water.append("container masses")
        for both in (forms, water):
            if len(both) > 1:
                yield given_twice(line, " and ".join(both))


@warning("volume-stated-and-calibrated", "common practice")
def volume_stated_and_calibrated(case: Test) -> Iterator[Doubt]:
    """A mold volume stated beside a mold with a calibration on file."""
    record = case.record
    named = any(mold_id(record, point) for point in record.points)
    if record.mold_volume is not None and named and not case.inputs.alone:
        yield Doubt(
            field=("mold_volume",),
            found=f"{record.mold_volume} {record.units.volume or ''}".rstrip(),
            expected="no stated volume with a named mold: its calibration is used",
            mend="remove mold_volume, or the mold if its calibration is not on file",
        )


@note("values-transcribed", "ISO/IEC 17025:2017, 7.5.1")
def values_transcribed(case: Test) -> Iterator[Doubt]:
    """Values transcribed from a report, not observed."""
    taken = [point for point in case.values.points if point.transcribed]
    if taken:
        names = sorted({name for point in taken for name in point.transcribed})
        numbers = points_text([point.number for point in taken])
        found = f"{', '.join(names)} at {numbers}"
        yield taken_over(("points", taken[0].number - 1), found)


@error("soil-no-heavier-than-mold", "conservation of mass")
def soil_no_heavier_than_mold(case: Test) -> Iterator[Doubt]:
    """A filled mold that weighs no more than the empty mold."""
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
                mend="enter the mass of mold and soil together: the mold is subtracted "
                "by the program",
                severity=note_if_rejected(point),
            )


@error("more-soil-than-in-pan", "conservation of mass")
def more_soil_than_in_pan(case: Test) -> Iterator[Doubt]:
    """A mold with more soil than was in the pan, with the water added."""
    unit = case.record.units.compacted or "kg"
    for i, point in enumerate(case.record.points):
        pan, water = soil_in_pan(case, i), water_added(case, i)
        filled = case.values.points[i].wet_soil
        if pan is None or water is None or filled is None:
            continue
        if has_impossible_density(case, case.values.points[i]):
            continue
        if filled > (pan + water) * (1 + HAIR):
            shown = f"{from_si(filled, unit):.4g} {unit}"
            yield Doubt(
                field=("points", i, "specimen_mass"),
                found=f"{point.specimen_mass} {unit} in the pan, {shown} in the mold",
                expected="at least what the mold holds, with the water added",
                mend="check the soil in the pan and the mass of mold and soil: either "
                "may be the slip",
                severity=note_if_rejected(point),
            )


FINE = 0.0006
"""Share of the soil in the mold that the balance must show, so that two points weigh
the same by chance in 3 of 100 sound tests at most: 1 g on a 4-in mold. [1]"""


@warning("wet-mass-repeated", "common practice")
def wet_mass_repeated(case: Test) -> Iterator[Doubt]:
    """Two points next to each other with one wet mass: a row read twice."""
    record, unit = case.record, case.record.units.compacted
    masses = [p.mold_and_wet_soil for p in record.points if p.mold_and_wet_soil]
    if unit is None or not masses:
        return
    fine = to_si(step(masses), unit)
    for i, (before, point) in enumerate(pairwise(record.points), start=1):
        mass, soil = point.mold_and_wet_soil, case.values.points[i].wet_soil
        apart = mass is None or mass != before.mold_and_wet_soil
        if apart or soil is None or fine > FINE * soil:
            continue
        if before.rejected or point.rejected:
            continue
        if mold_id(record, before) == mold_id(record, point):
            yield Doubt(
                field=("points", i, "mold_and_wet_soil"),
                found=f"{mass} {unit}, as for point {i}",
                expected="another mass: two points rarely weigh the same",
                mend="check both points against the bench sheet; accept the flag if "
                "they do weigh the same",
            )


def no_container(case: Test) -> Iterator[Field]:
    """Yield the containers without a number."""
    for line in case.record.container_lines:
        if line.part.container is None:
            yield (*line.field, "container")


def no_water_added(case: Test) -> Iterator[Field]:
    """Yield the points without the water added."""
    for i, point in enumerate(case.record.points):
        if point.water_added_ml is None and point.mold_and_wet_soil is not None:
            yield ("points", i, "water_added_ml")


AT_POINTS = {"container": no_container, "water_added_ml": no_water_added}
"""Laboratory requirements that are checked point by point."""


RULES: tuple[Rule[Test], ...] = (
    no_points,
    *rules_of(COLUMNS, UNITS, missing=missing_reading),
    two_forms_of_one_value,
    volume_stated_and_calibrated,
    values_transcribed,
    *container_rules(CONTAINERS.lines),
    soil_no_heavier_than_mold,
    more_soil_than_in_pan,
    wet_mass_repeated,
)
