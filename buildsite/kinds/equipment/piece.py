"""A piece of equipment, and what each of its calibrations found wrong."""

from collections.abc import Iterator, Sequence
from dataclasses import field
from datetime import date
from functools import cached_property
from typing import Any

from buildsite.kinds.equipment.calibrations import (
    Nonconformity,
    Series,
    in_force,
    series_of,
)
from buildsite.kinds.kind import Case, Inputs, Kind
from buildsite.kinds.traces import Standard
from buildsite.standards.method import Method
from buildsite.standards.tables import find
from buildsite.values import dataclass

Faults = tuple[Nonconformity, ...]


@dataclass(frozen=True)
class Look:
    """
    One calibration that may have found something wrong, and the uses it concerns.

    `since`: the last good calibration before it, None where there was none. What was
    found concerns the days from `start` until the calibration; if it lasts, also those
    until `until`.
    """

    series: Series
    index: int
    on: date
    since: date | None
    start: date
    until: date

    @property
    def calibration(self) -> Any:
        """The calibration itself."""
        return self.series.calibrations[self.index]

    @property
    def settled(self) -> bool:
        """Whether the tests that it concerns were assessed."""
        return self.calibration.tests_judged is not None

    @property
    def again(self) -> str:
        """The options of `calibrate` that name its series, with a blank before them."""
        return f" {self.series.again}" if self.series.again else ""

    def concerns(self, parts: Sequence[str]) -> bool:
        """Whether a test that used these parts of the equipment relied on it."""
        return self.series.part in ("", *parts)


@dataclass(frozen=True)
class Piece:
    """The record of a piece of equipment."""

    file: str
    kind: Kind[Any, Any]
    record: Any
    _faults: dict[tuple[object, ...], Faults] = field(
        default_factory=dict, compare=False, repr=False
    )

    @cached_property
    def case(self) -> Case[Any, Any]:
        """Return its case: equipment asks nothing of other records."""
        inputs = Inputs()
        values = self.kind.compute(self.record, inputs, None)
        return Case(self.record, inputs, None, values)

    def faults(self, look: Look, standard: Standard | None) -> Faults:
        """Return the faults that a calibration found, for a standard or (None) any."""
        key = (look.series.at, look.index, standard)
        if key not in self._faults:
            method = find(*standard) if standard is not None else None
            asked = standard is None or method is not None
            found = self.faults_by(look, method) if asked else ()
            self._faults[key] = tuple(found)
        return self._faults[key]

    def faults_by(self, look: Look, method: Method | None) -> Iterator[Nonconformity]:
        """Yield the faults that a calibration found, for a method or (None) any."""
        kind, index = self.kind, look.index
        if not look.series.part:
            yield from kind.wrong(self.case, index, method) if kind.wrong else ()
        elif method is None and kind.wrong_part is not None:
            yield from kind.wrong_part(self.case, look.series.part, index)

    @cached_property
    def series(self) -> tuple[Series, ...]:
        """Return the series of calibrations that tests rely on."""
        return tuple(one for one in series_of(self.record) if one.relied_on)

    @cached_property
    def looks(self) -> tuple[Look, ...]:
        """Return every calibration with the uses it concerns, by series and date."""
        return tuple(look for series in self.series for look in self.looks_of(series))

    def looks_of(self, series: Series) -> Iterator[Look]:
        """Yield the calibrations of a series, the earliest first."""
        calibrations = series.calibrations
        order = sorted(range(len(calibrations)), key=lambda i: (calibrations[i].on, i))
        later = [*(calibrations[i].on for i in order), date.max][1:]
        good = list[date]()
        for i, until in zip(order, later, strict=True):
            one = calibrations[i]
            since = good[-1] if good else None
            start = one.on if one.state == "as left" else since or date.min
            start = one.wrong_since or start
            look = Look(series, i, one.on, since, start, until)
            lasts = any(each.lasts for each in self.faults(look, None))
            if not one.found_wrong and not lasts:
                good.append(one.on)
            yield look

    def in_force(self, look: Look, on: date) -> bool:
        """Whether a calibration is the one of its series in force on a day."""
        return in_force(look.series.calibrations, on) == look.index
