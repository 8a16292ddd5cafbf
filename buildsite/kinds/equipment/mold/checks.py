"""Checks of a mold's calibrations."""

from collections.abc import Iterator
from typing import Any

from buildsite.kinds.equipment.calibrations import unsettled
from buildsite.kinds.equipment.mold.volumes import cubic_centimetres
from buildsite.kinds.kind import Case
from buildsite.record.flags import Doubt, Rule, error, note, warning
from buildsite.standards.cells import UNCHECKED
from buildsite.standards.tables import limit

AGREEMENT_PERCENT = 0.5
"""Two volumes of one mold agree within this."""

LEAST_DIAMETERS = 6  # three at the top, three at the bottom
LEAST_HEIGHTS = 3


ANNEX = f"annex on mold volume of ASTM D698 and D1557 ({UNCHECKED})"


@warning("mold-volumes-disagree", ANNEX)
def volumes_disagree(case: Case[Any, Any]) -> Iterator[Doubt]:
    """Volumes by water and by dimensions differ by more than 0.5 %."""
    for i, one in enumerate(case.values):
        apart = one.difference_percent
        if apart is not None and apart > AGREEMENT_PERCENT:
            yield Doubt(
                field=("calibrations", i, "water"),
                found=f"{cubic_centimetres(one.by_water)} cm³ by water, "
                f"{cubic_centimetres(one.by_dimensions)} cm³ by dimensions: "
                f"difference {apart:.2f} %",
                expected=f"difference of at most {AGREEMENT_PERCENT} %",
                mend="measure again; check for a bubble under the plate or a worn rim",
            )


@error("calibration-unreadable", "conservation of mass")
def calibration_unreadable(case: Case[Any, Any]) -> Iterator[Doubt]:
    """The readings of a water filling are impossible."""
    for i, one in enumerate(case.record.calibrations):
        if one.water is not None and case.values[i].by_water is None:
            water = one.water
            yield Doubt(
                field=("calibrations", i, "water"),
                found=f"{water.empty_with_plates} empty, {water.full_with_plates} "
                f"full, {water.temperature_c} °C",
                expected="full heavier than empty, water between 0 and 40 °C",
                mend="check for interchanged readings",
            )


@note("calibration-without-volume", "common practice")
def calibration_without_volume(case: Case[Any, Any]) -> Iterator[Doubt]:
    """A calibration has no volume."""
    for i, one in enumerate(case.record.calibrations):
        if one.volume is None and one.water is None and one.dimensions is None:
            yield Doubt(
                field=("calibrations", i),
                found=f"no volume on {one.on}",
                expected="water, dimensions, or the certificate's volume",
                mend="enter the measurements; tests of that period use the nominal "
                "volume",
            )


@warning("too-few-mold-dimensions", ANNEX)
def too_few_dimensions(case: Case[Any, Any]) -> Iterator[Doubt]:
    """Too few diameters or heights were measured for the volume of a mold."""
    for i, one in enumerate(case.record.calibrations):
        if one.dimensions is None:
            continue
        across, up = len(one.dimensions.diameters), len(one.dimensions.heights)
        if across < LEAST_DIAMETERS or across % 2 or up < LEAST_HEIGHTS:
            yield Doubt(
                field=("calibrations", i, "dimensions"),
                found=f"{across} diameters and {up} heights",
                expected=f"at least {LEAST_DIAMETERS} diameters, half at the top and "
                f"half at the bottom, and {LEAST_HEIGHTS} heights",
                mend="measure the others",
            )


def changes(case: Case[Any, Any], i: int) -> Iterator[tuple[str, str]]:
    """Return the volume found and the one before, if it changed too much."""
    calibrations, values = case.record.calibrations, case.values
    dated = sorted(
        (one.on, k)
        for k, one in enumerate(calibrations)
        if values[k].used is not None and not one.found_wrong
    )
    place = (calibrations[i].on, i)
    if calibrations[i].state != "as found" or place not in dated[1:]:
        return
    before = dated[dated.index(place) - 1][1]
    was, now = values[before].used, values[i].used
    if abs(now / was - 1) * 100 > limit("mold_changed").si:
        yield (
            f"{cubic_centimetres(now)} cm³",
            f"within {limit('mold_changed')} of {cubic_centimetres(was)} cm³ on "
            f"{calibrations[before].on}",
        )


@warning("mold-found-changed", f"ISO/IEC 17025:2017, 6.4.9 and 7.10 ({UNCHECKED})")
def found_changed(case: Case[Any, Any]) -> Iterator[Doubt]:
    """The volume of a mold as found differs from the calibration before."""
    for i, _ in unsettled(case.record.calibrations):
        for now, was in changes(case, i):
            yield Doubt(
                field=("calibrations", i),
                found=now,
                expected=was,
                mend="measure again; if confirmed, assess every test since then, then "
                f"`buildsite calibrate {case.record.id} --judged "
                f"{case.record.calibrations[i].on} --by CODE --reason TEXT`",
            )


RULES: tuple[Rule[Case[Any, Any]], ...] = (
    volumes_disagree,
    calibration_unreadable,
    calibration_without_volume,
    too_few_dimensions,
    found_changed,
)
