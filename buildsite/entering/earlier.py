"""The optimum that a soil is expected to have: by earlier tests, else by its class."""

from collections.abc import Callable, Iterator
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.records import Entry
from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.outcome import method_of
from buildsite.kinds.tests.moisture_density.bench.trend import Expected
from buildsite.record.messages import listed
from buildsite.standards.soils import soil_class

MOST = 10
"""Earlier tests that are computed, the latest: enough for a mean at the bench."""


def expected(archive: Archive, file: str) -> Expected | None:
    """
    Expect an optimum for a test.

    By tests of the same sample at the same effort; else of the same soil and source;
    else of the same class in this project; else by what is typical of its class.
    """
    made = archive.outcome(file)
    if made is None or made.case.method is None:
        return None
    sample = made.case.inputs.get(SampleFacts, made.case.record.sample)
    effort = made.case.method.effort
    others = [
        entry
        for entry in finished(archive, file)
        if effort_of(entry, made.kind.takes) == effort
    ]
    own = made.case.record
    for words, alike in likenesses(archive, own, sample):
        found = optimums(archive, [entry for entry in others if alike(entry)])
        if found:
            ids = listed([id for id, _ in found])
            mean = sum(value for _, value in found) / len(found)
            return Expected(mean, f"{ids}, {words}")
    return by_class(sample, effort)


def finished(archive: Archive, file: str) -> Iterator[Entry]:
    """Complete tests of the same kind, this one apart."""
    kind = archive.entry(file).kind
    for name in archive.files("test"):
        entry = archive.entry(name)
        done = getattr(entry.record, "status", "") == "complete"
        if name != file and done and entry.kind is kind:
            yield entry


def effort_of(entry: Entry, takes: str) -> str:
    """Effort of a test's method, where it is on file."""
    method = method_of(entry.record, takes)
    return method.effort if method is not None else ""


def likenesses(
    archive: Archive, own: Any, sample: SampleFacts | None
) -> Iterator[tuple[str, Callable[[Entry], bool]]]:
    """How near another test is to this one, the nearest first, with words for it."""
    yield "of the same sample", lambda entry: entry.record.sample == own.sample
    if sample is None or not sample.soil_class:
        return

    def soil(entry: Entry) -> Any:
        name = archive.find("sample", entry.record.sample)
        record = archive.entry(name).record if name is not None else None
        return getattr(record, "soil", None)

    def same_class(entry: Entry) -> bool:
        return getattr(soil(entry), "class_", None) == sample.soil_class

    if sample.soil_source:
        yield (
            f"of the same soil ({sample.soil_class}, {sample.soil_source})",
            lambda entry: (
                same_class(entry)
                and getattr(soil(entry), "source", None) == sample.soil_source
            ),
        )
    yield (
        f"of the same class ({sample.soil_class}) in this project",
        lambda entry: same_class(entry) and entry.record.project == own.project,
    )


def optimums(archive: Archive, entries: list[Entry]) -> list[tuple[str, float]]:
    """Optimum of each of the latest tests that has one. [%]"""
    dated = sorted(
        entries, key=lambda entry: (str(entry.record.compacted.on), entry.file)
    )
    found = []
    for entry in dated[-MOST:]:
        made = archive.outcome(entry.file)
        result = made.results.get("optimum_water_content") if made else None
        if made is not None and result is not None:
            found.append((made.id, result.value))
    return found


def by_class(sample: SampleFacts | None, effort: str) -> Expected | None:
    """What is typical of a soil's class: the middle of its range. [%]"""
    soil = soil_class(sample.soil_class) if sample and sample.soil_class else None
    band = soil.water_content(effort) if soil is not None else None
    if soil is None or band is None:
        return None
    low, high = band
    basis = soil.basis("water_content", effort)
    return Expected(
        (low + high) / 2,
        f"typical of {soil.symbol} at {effort} effort, {low:g} to {high:g} % ({basis})",
    )
