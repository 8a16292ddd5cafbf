"""Results of earlier tests of the same or a similar soil."""

from collections.abc import Callable, Iterable, Iterator
from math import fsum
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.entries import Entry
from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.bench_spec import EarlierMean
from buildsite.kinds.outcome import method_of
from buildsite.record.messages import join_choices
from buildsite.standards.method import Method

MOST = 10
"""Number of the latest earlier tests to compute: enough for a mean at the bench."""


def earlier_mean(archive: Archive, file: str) -> EarlierMean:
    """
    Return the function that gives the mean of a result over similar earlier tests.

    These are tests at the same effort of the same sample, else of the same soil and
    source, else of the same class in this project.
    """

    def mean(result: str) -> tuple[float, str] | None:
        made = archive.outcome(file)
        if made is None:
            return None
        sample = made.case.inputs.get(SampleFacts, sample_of(made.case.record))
        effort = effort_of(made.case.method)
        others = [
            entry
            for entry in finished(archive, file)
            if effort_of(method_of(entry.record, made.kind.standards_of)) == effort
        ]
        for words, is_similar in similarities(archive, made.case.record, sample):
            found = values_of(archive, filter(is_similar, others), result)
            if found:
                ids = join_choices([id for id, _ in found])
                return fsum(value for _, value in found) / len(found), f"{ids}, {words}"
        return None

    return mean


def sample_of(record: Any) -> str:
    """Return the sample that a record names; blank where it names none."""
    return getattr(record, "sample", None) or ""


def finished(archive: Archive, file: str) -> Iterator[Entry]:
    """Yield the other complete tests of the same kind."""
    kind = archive.entry(file).kind
    for name in archive.files("test"):
        entry = archive.entry(name)
        done = getattr(entry.record, "status", "") == "complete"
        if name != file and done and entry.kind is kind:
            yield entry


def effort_of(method: Method | None) -> str:
    """Return the compactive effort of a method, or an empty text."""
    cell = method.optional("effort") if method is not None else None
    return cell.value if cell is not None else ""


def similarities(
    archive: Archive, own: Any, sample: SampleFacts | None
) -> Iterator[tuple[str, Callable[[Entry], bool]]]:
    """Yield the conditions for a similar test, in words and as functions."""
    same = sample_of(own)
    if same:
        yield "of the same sample", lambda entry: sample_of(entry.record) == same
    if sample is None or not sample.soil_class:
        return

    def soil(entry: Entry) -> Any:
        name = archive.find("sample", sample_of(entry.record))
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


def values_of(
    archive: Archive, entries: Iterable[Entry], result: str
) -> list[tuple[str, float]]:
    """Return a result of the latest tests that have it, with their ids."""
    found = []
    for entry in sorted(entries, key=by_day)[-MOST:]:
        made = archive.outcome(entry.file)
        if made is not None and result in made.results:
            found.append((made.id, made.results[result].value))
    return found


def by_day(entry: Entry) -> tuple[str, str]:
    """Return the sort key for tests by day."""
    act = getattr(entry.record, entry.record.work.act)
    return str(act.on), entry.file
