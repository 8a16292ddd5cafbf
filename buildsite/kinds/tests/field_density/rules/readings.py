"""Checks of the readings of a field density: what is missing, what is stated twice."""

from collections.abc import Callable, Iterator, Mapping

from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.holes import apparatus_facts, apparatus_id
from buildsite.kinds.tests.field_density.model import CONTAINERS, FieldDensity
from buildsite.kinds.tests.field_density.water import (
    OVEN_CHECK,
    gauge_readings,
    is_by_gauge,
    waters,
    way_of,
)
from buildsite.kinds.tests.shared.completeness import gap_severity
from buildsite.kinds.tests.shared.containers import THREE_MASSES, disagreement
from buildsite.kinds.tests.shared.rules import columns
from buildsite.kinds.tests.shared.rules.demands import missing_fields
from buildsite.record.flags import Doubt, Field


def in_the_oven(record: FieldDensity) -> bool:
    """Whether soil of the test was dried in an oven."""
    return way_of(record) == "oven" or record.oven_check is not None


def is_weighed(record: FieldDensity) -> bool:
    """Whether the soil itself is weighed: not by a gauge."""
    return record.apparatus != "nuclear-gauge"


Asks = Callable[[FieldDensity], bool]


def where(name: str, asked: Asks) -> Callable[[Test], Iterator[Field]]:
    """Return the check of a demand that holds only for some field tests."""

    def missing(case: Test) -> Iterator[Field]:
        if asked(case.record):
            yield from missing_fields(case.record, name)

    return missing


def oven_check_missing(case: Test) -> Iterator[Field]:
    """The oven's check is flagged as a preliminary water content."""
    yield from ()


DEMANDED: Mapping[str, Callable[[Test], Iterator[Field]]] = {
    "oven": where("oven", in_the_oven),
    "dried": where("dried", in_the_oven),
    "equipment.oven": where("equipment.oven", in_the_oven),
    "equipment.moisture_balance": where(
        "equipment.moisture_balance", lambda record: bool(record.containers)
    ),
    "equipment.balance": where("equipment.balance", is_weighed),
    "equipment.sieve": where("equipment.sieve", lambda record: bool(record.coarse)),
    OVEN_CHECK: oven_check_missing,
}
"""Demands of the laboratory that not every field test can meet."""


def unread(record: FieldDensity, *names: str) -> list[str]:
    """Return the words of readings that are missing."""
    return [name.replace("_", " ") for name in names if getattr(record, name) is None]


def hole_readings(case: Test) -> list[str]:
    """Return what is missing of the density, in words."""
    record = case.record
    if record.wet_density is not None or record.dry_density is not None:
        return []
    if record.apparatus == "nuclear-gauge":
        read = [one for one in gauge_readings(record) if one.wet_density is not None]
        return [] if read else ["wet density of the gauge"]
    if record.apparatus == "drive-cylinder":
        missing = unread(record, "cylinder_and_wet_soil")
        return [*missing, *not_calibrated(case, case.values.dug.volume, "the cylinder")]
    soil = [] if record.wet_soil is not None else ["wet soil"]
    if soil and record.container_and_wet_soil is not None:
        soil = unread(record, "container_mass")
    if record.apparatus == "balloon":
        return [*unread(record, "volume_before", "volume_after"), *soil]
    missing = [*unread(record, "apparatus_before", "apparatus_after"), *soil]
    return [*missing, *not_calibrated(case, case.values.dug.sand_density, "the sand")]


def not_calibrated(case: Test, known: float | None, what: str) -> list[str]:
    """
    Return that a calibration is missing, in words.

    Equipment that gives no answer at all is flagged as such.
    """
    record, facts = case.record, apparatus_facts(case.record, case.inputs)
    answered = facts is not None or not apparatus_id(record) or case.inputs.alone
    return [f"calibration of {what}"] if known is None and answered else []


def water_missing(record: FieldDensity) -> bool:
    """Whether no water content was read, in the field or in the oven."""
    check = record.oven_check
    in_oven = check is not None and (check.containers or check.water_content)
    if record.containers or record.water_content is not None or in_oven:
        return False
    if record.coarse is not None and record.coarse.water_passing is not None:
        return False
    read = [one for one in gauge_readings(record) if one.water is not None]
    return not (is_by_gauge(record) and read)


def missing_reading(case: Test) -> Iterator[Doubt]:
    """A field test lacks readings of its density or of its water content."""
    record = case.record
    missing = hole_readings(case)
    if missing:
        yield Doubt(
            field=("apparatus",),
            found=f"{', '.join(missing)} missing",
            expected=f"the readings of a {record.apparatus.replace('-', ' ')}",
            mend="enter them from the field sheet",
            severity=gap_severity(case),
        )
    if water_missing(record):
        yield Doubt(
            field=("containers",),
            found="no water content",
            expected="containers, a stated water content, or that of a gauge",
            mend="enter it from the field sheet",
            severity=gap_severity(case),
        )
    yield from columns.gaps(case, CONTAINERS, THREE_MASSES)


def containers_disagree(case: Test) -> Iterator[Doubt]:
    """Containers of one soil that differ by over 10 % of their mean, or 1 point."""
    water = case.values.water
    yield from disagreement(("containers",), waters(water.containers))
    yield from disagreement(("oven_check", "containers"), waters(water.checked))
