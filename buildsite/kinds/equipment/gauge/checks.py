"""Checks of a nuclear gauge: its blocks, its leak tests, its standard counts."""

from collections.abc import Iterator
from typing import Any

from buildsite.kinds.equipment.calibrations import Nonconformity, unsettled
from buildsite.kinds.equipment.found_changed import EXACT
from buildsite.kinds.equipment.gauge.counts import COUNTS, Judged, limit_of
from buildsite.kinds.equipment.gauge.model import Gauge
from buildsite.kinds.kind import Case
from buildsite.record.flags import Doubt, Rule, warning
from buildsite.record.units import to_si, unit
from buildsite.standards.cells import UNCHECKED
from buildsite.standards.method import Method
from buildsite.standards.tables import limit

Counted = Case[Gauge, tuple[Judged, ...]]

D6938 = f"ASTM D6938 ({UNCHECKED})"


def errors(record: Gauge, i: int) -> Iterator[tuple[int, Nonconformity]]:
    """Return the blocks of a calibration that the gauge read too far off."""
    most, name = limit("gauge_block_error"), record.units.density
    for k, one in enumerate(record.calibrations[i].checks):
        off = to_si(one.measured, name) - to_si(one.known, name)
        if abs(off) > most.si * EXACT:
            shown = unit(name).shown
            yield (
                k,
                Nonconformity(
                    f"{one.measured} {shown} read on a block of {one.known} {shown}",
                    f"within {most} ({most.also}), {most.basis}",
                    lasts=True,
                ),
            )


def faults(case: Counted, i: int, method: Method | None) -> Iterator[Nonconformity]:
    """Return the blocks that a gauge read too far off, for any method."""
    if method is None:
        for _, fault in errors(case.record, i):
            yield fault


@warning("gauge-off", D6938)
def gauge_off(case: Counted) -> Iterator[Doubt]:
    """A gauge read a block of known density too far off."""
    for i, _ in unsettled(case.record.calibrations):
        for k, fault in errors(case.record, i):
            yield Doubt(
                field=("calibrations", i, "checks", k),
                found=fault.words,
                expected=fault.required,
                mend="have the gauge calibrated anew, and assess the tests since the "
                "calibration before, listed on its page",
            )


@warning("leak-test-failed", "common practice: the licence states what is to be done")
def leak_test_failed(case: Counted) -> Iterator[Doubt]:
    """A gauge whose leak test failed was not taken out of service."""
    record = case.record
    for i, one in enumerate(record.leak_tests):
        gone = record.out_of_use is not None or record.away_since(one.on) is not None
        if one.result == "failed" and not gone:
            yield Doubt(
                field=("leak_tests", i, "result"),
                found=f"failed on {one.on}, and in service",
                expected="out of service on that day",
                mend="stop using it, keep people away and tell the radiation safety "
                f"officer, whose word counts; then `buildsite calibrate {record.id} "
                "--what service`",
            )


def far_off(record: Gauge, one: Judged) -> Iterator[tuple[str, str, str]]:
    """Yield each count beyond its limit: what was found, the limit, its source."""
    for name, off in zip(COUNTS, one.off, strict=False):
        most = limit_of(record, name)
        if abs(off) > most.percent * EXACT:
            yield (
                f"{name} count {getattr(one.counts, name)}, {off:+.1f} % off the mean "
                "of the last ones",
                f"within {most.words}",
                most.basis,
            )


@warning("standard-count-outside", D6938)
def count_outside(case: Counted) -> Iterator[Doubt]:
    """A standard count is off the mean, and neither repeated nor the gauge put away."""
    record, every = case.record, case.values
    for i, one in enumerate(every):
        day = one.counts.on
        later = [each for each in every[i + 1 :] if each.counts.on == day]
        if one.is_good or later or is_put_away(record, every, i):
            continue
        for found, expected, basis in far_off(record, one):
            yield Doubt(
                field=("counts", one.index),
                found=f"{found}, {day}" + (", repeated" if one.repeated else ""),
                expected=expected,
                mend=f"take it out of service: `buildsite calibrate {record.id} --what "
                "service`"
                if one.repeated
                else "check that block and surroundings are as usual, and repeat the "
                f"counts once: `buildsite calibrate {record.id} --what counts`",
                basis=basis,
            )


def is_put_away(record: Gauge, every: tuple[Judged, ...], i: int) -> bool:
    """Whether the gauge was taken out of service before it counted again."""
    day = every[i].counts.on
    following = every[i + 1].counts.on if i + 1 < len(every) else None
    gone = [one.on for one in record.service if one.state == "out"]
    gone += [record.out_of_use.on] if record.out_of_use is not None else []
    return any(
        day <= on and (following is None or on <= following) for on in gone
    ) or bool(record.away_since(day))


RULES: tuple[Rule[Case[Any, Any]], ...] = (gauge_off, leak_test_failed, count_outside)
